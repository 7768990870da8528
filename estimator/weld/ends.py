"""The bore's ends in the search: the beads that each way of laying them takes, so that boring cleans them up."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from estimator.weld.bead import SLACK, dwell_height, dwells_due, end_shortfall
from estimator.weld.cases import Ask, EndWay

__all__ = ["LaidEnds", "Shapes", "ends_of"]

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Shapes:
    """Turns over the bore's length, layers and their beads, one after the other: what is laid, step, sizes. [SI]"""

    turns: Array
    layers: Array
    laid: Array
    steps: Array
    width: Array
    height: Array


@dataclass(frozen=True)
class LaidEnds:
    """One way to lay the ends: layers with a dwell, beads of all layers, length of path [m], whether it cleans up."""

    way: EndWay
    dwells: Array
    beads: Array
    path: Array
    fits: Mask


def ends_of(ask: Ask, shapes: Shapes) -> list[LaidEnds]:
    """Return what each way of laying the ends takes; the valley of the last layer must come out in any of them."""
    known: dict[float, LaidEnds] = {}  # ways that lay as many turns beyond the bore take the same
    for way in ask.ways:
        if way.turns_over not in known:
            known[way.turns_over] = _laid(ask, way, shapes)
    return [replace(known[way.turns_over], way=way) for way in ask.ways]


def _laid(ask: Ask, way: EndWay, one: Shapes) -> LaidEnds:
    """Return what one way of laying the ends takes, with as many dwells as it needs, one a layer at most."""
    layers, over = one.layers, float(way.turns_over)
    dwells, fits = _dwells(ask, over, one)
    leaves = one.laid - float(ask.skim)
    built = (leaves * (layers**2 - 1) + one.laid) / layers
    beads, cleanup, turn = layers * (one.turns + over), float(ask.cleanup), float(ask.share) * np.pi
    path = beads * turn * (cleanup - built)
    last = cleanup - 2 * (layers - 1) * leaves - one.laid
    before = (dwells - 1) * (cleanup - leaves * (2 * layers - dwells - 1))
    path = path + 2 * turn * np.where(dwells > 0, last + before, 0.0)
    return LaidEnds(way, dwells, beads + 2 * dwells, path, fits)


def _dwells(ask: Ask, over: float, one: Shapes) -> tuple[Array, Mask]:
    """Return in how many layers the arc dwells, and whether boring then cleans up."""
    if ask.dwells is not None:
        return np.full(len(one.layers), float(ask.dwells)), np.full(len(one.layers), True)
    left = float(ask.left) + one.laid * one.layers - float(ask.skim) * (one.layers - 1) - float(ask.build)
    shape = (one.laid, one.height, one.width, one.steps, over)
    short = one.layers * end_shortfall(*shape)  # pyrefly: ignore[bad-argument-type] # formulas take arrays too
    due: Array = np.asarray(dwells_due(short * (1 - SLACK / 2), left, dwell_height(one.height)))  # pyrefly: ignore[bad-argument-type] # the same
    valley = one.height * (one.steps / one.width) ** 2
    fits: Mask = (due <= one.layers) & (valley <= left * (1 + SLACK))
    return np.minimum(due, one.layers), fits
