"""The boss in its plate as rings round the bore: heat flows outward through them and is lost where they meet the air.

Finite volumes on nodes (`body.py`): the first on the bore's surface, one on the boss's outside, the last far out in the
plate or at its end. The rings' few equations are solved once by their modes; a layer or a wait of any length is then
exact.
"""

import functools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.formula import Why, formula
from estimator.weld.body import WALL, Body
from estimator.weld.chain import decays_of

__all__ = ["WALL", "Ring", "ring_of"]

Array = npt.NDArray[np.float64]

NODES = 16  # losses at which many rings are solved: those between are then right to the last digits
VOLUMES = (
    "conservation of heat on rings: Patankar, Numerical Heat Transfer and Fluid Flow (1980) ch. 4, "
    "with the exact resistance of a cylinder between nodes (Incropera eq. 3.32)"
)


@dataclass(frozen=True, eq=False)
class Ring:
    """A boss and its plate as rings; arrays hold one set a scenario before the last axes, where there are several.

    `capacity`: heat capacity of each ring [J/K]; `lost`: loss of each to the air [W/K]; `decay`: rate of each mode
    [1/s]; `modes`: rise of each node (rows) in each mode (columns) [K].
    """

    capacity: Array
    lost: Array
    decay: Array
    modes: Array
    why: Why | None = None

    @property
    def bore(self) -> Array:
        """Return each mode's rise at the bore's surface; by reciprocity also what heat brought in there excites."""
        return self.modes[..., 0, :]

    @property
    def rim(self) -> Array:
        """Return the same at the boss's outside."""
        return self.modes[..., WALL, :]

    def __eq__(self, other: object) -> bool:
        """Return whether two have the same rings."""
        if not isinstance(other, Ring):
            return False
        return np.array_equal(self.modes, other.modes) and np.array_equal(self.decay, other.decay)

    __hash__ = object.__hash__

    def __str__(self) -> str:
        """Return what it is, for explanations."""
        return f"the boss in its plate as {self.modes.shape[-1]} rings"


@functools.lru_cache(maxsize=256)
def _known(body: Body, heat: float, conductivity: float, loss: float) -> Ring:
    """Return the rings of a body that may have been met before: bores of a line are often alike."""
    return _ring(body, heat, conductivity, loss)


def _ring(body: Body, heat: float, conductivity: float, loss: Any) -> Ring:  # noqa: ANN401  # a number or an array
    """Return the rings of a body; `heat` is its capacity per volume."""
    capacity, lost = heat * body.volume, np.asarray(loss, dtype=float)[..., None] * body.area
    return Ring(capacity, lost, *decays_of(capacity, lost, conductivity * body.link))


def _between(body: Body, heat: float, conductivity: float, loss: Array) -> Ring:
    """Return the rings of a body at many losses, through a few where they are solved.

    Rates and shapes are smooth in the loss, so that a Chebyshev series through its nodes has them to the last digits
    (Trefethen, Approximation Theory and Approximation Practice, ch. 8).
    """
    least, most = float(loss.min()), float(loss.max())
    angles = (np.arange(NODES) + 0.5) * math.pi / NODES
    few = _ring(body, heat, conductivity, (least + most) / 2 + (most - least) / 2 * np.cos(angles))
    pointed = few.modes * np.sign(few.bore)[..., None, :]  # a shape and its negative are the same one
    weights = 2 / NODES * np.cos(np.outer(np.arange(NODES), angles))
    weights[0] /= 2
    series = np.polynomial.chebyshev.chebvander((2 * loss - least - most) / (most - least), NODES - 1)
    decay = series @ (weights @ few.decay)
    modes = series @ (weights @ pointed.reshape(NODES, -1))
    return Ring(few.capacity, loss[..., None] * body.area, decay, modes.reshape(*loss.shape, *pointed.shape[1:]))


@formula("boss", VOLUMES, "published")
def ring_of(
    body: Body,
    density: float,
    specific_heat: float,
    conductivity: float,
    surface_loss: Any,  # noqa: ANN401  # a number or an array
) -> Ring:
    """The boss and its plate as rings, solved by their modes.

    Parameters
    ----------
    body
        Volumes, faces and links of the rings.
    density, specific_heat, conductivity
        Of the steel, at its mean temperature. [kg/m³, J/kg/K, W/m/K]
    surface_loss
        To the air, from faces, edges, the boss's outside and the bore; may be an array. [W/m²/K]
    """
    heat = density * specific_heat
    if isinstance(surface_loss, np.ndarray):
        many = surface_loss.size > NODES and np.ptp(surface_loss) > 0
        return (_between if many else _ring)(body, heat, conductivity, surface_loss)
    return _known(body, heat, conductivity, float(surface_loss))
