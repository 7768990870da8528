"""Neighbouring beads: how far they overlap, what is missing at the bore's ends, how an own arc moved the wire's row."""

from collections.abc import Sequence

from estimator.either import above_zero, everywhere, whole_up
from estimator.formula import formula
from estimator.tables.messages import Message, say
from estimator.weld.arc import DING

__all__ = [
    "SLACK",
    "after_dwell",
    "cleans_up",
    "dwell_height",
    "dwells_due",
    "end_shortfall",
    "left_to_bore",
    "moved",
    "overlap",
    "short_ends",
    "still_short",
]


@formula("overlap", "definition: what of a bead's width lies over its neighbour", "computed")
def overlap(step_ratio: float) -> float:
    """Share of a bead's width that overlaps the bead before. [-]"""
    return 1 - step_ratio


@formula(
    "end_shortfall",
    DING + "; the heights of the beads that reach over the face, added up, against the even layer",
    "computed",
    unit="m",
)
def end_shortfall(
    layer_thickness: float, bead_height: float, bead_width: float, step: float, turns_over: float
) -> float:
    """Thickness that a layer is short of at the bore's face, where the end bead is round and alone. [m]

    Half of `turns_over` lies beyond each face, so the first bead's middle is half a step less that far inside it.
    """
    place, height = (1 - turns_over) / 2 * step, 0 * bead_height
    for _ in range(REACH):
        if everywhere(2 * place >= bead_width):  # none of them reaches over the face any more
            break
        height = height + above_zero(1 - (2 * place / bead_width) ** 2) * bead_height
        place = place + step
    return above_zero(layer_thickness - height)


REACH = 12  # beads counted from the end: a dozen steps reach further than any bead is wide


DWELL = DING + "; two turns at one place make one bead of twice the section, of the same width to height"


@formula("dwell_height", DWELL, "computed", unit="m")
def dwell_height(bead_height: float) -> float:
    """Height that a whole turn without a step adds to the end bead. [m]"""
    return (2**0.5 - 1) * bead_height


@formula(
    "end_shortfall", "definition: what is missing at the face less what the dwell adds there", "computed", unit="m"
)
def after_dwell(end_shortfall: float, dwell_height: float) -> float:
    """Thickness that a layer with a dwell is short of at the bore's face; below zero it stands proud. [m]"""
    return end_shortfall - dwell_height


@formula("dwell_layers", "definition: whole turns that add what is missing beyond what boring takes off", "computed")
def dwells_due(shortfall: float, machining_left: float, dwell_height: float) -> int:
    """Layers in which the arc must dwell for a whole turn at both ends. [-]"""
    due: int = whole_up(above_zero(shortfall - machining_left) / dwell_height)
    return due


@formula("shortfall", "definition: a layer that stands proud makes up for those that are short", "computed", unit="m")
def still_short(end_shortfall: float) -> float:
    """Thickness a side that all layers together are short of at the bore's face. [m]"""
    return above_zero(end_shortfall)


def cleans_up(shortfall: float, valley: float, left: float) -> bool:
    """Return whether boring takes off what the ends are short of, and the deepest valley of the last layer. [m]"""
    return bool(max(float(shortfall), float(valley)) <= float(left) * (1 + SLACK))


SLACK = 1e-9  # relative: ends filled to just what boring takes off clean up


@formula("depth", "geometry: half the difference of two diameters", "computed", unit="m")
def left_to_bore(finish: float, end: float) -> float:
    """Weld metal a side that boring to size takes off the last layer. [m]"""
    return (finish - end) / 2


@formula("moved", "definition: ratio less one", "computed")
def moved(own: float, table: float) -> float:
    """By what share the shop's own arc moved a figure of the tables. [-]"""
    return own / table - 1


def short_ends(layers: Sequence[float], left: float, rings: bool) -> list[Message]:
    """Return a warning where the layers' ends together stay short by more than is left to bore. [m]"""
    shortfall = sum(layers)
    if shortfall <= left * (1 + SLACK):
        return []
    return [say("short_ends_rings" if rings else "short_ends", short=shortfall, left=left)]
