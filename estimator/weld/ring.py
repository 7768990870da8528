"""The boss in its plate as rings round the bore: heat flows outward through them and is lost where they meet the air.

Finite volumes on nodes: the first on the bore's surface, one on the boss's outside, the last far out in the plate. The
rings' few equations are solved once by their modes; a layer or a wait of any length is then exact.
"""

import functools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.bore.survey import Survey
from estimator.formula import Why, formula
from estimator.inputs import Inputs
from estimator.tables import Tables

__all__ = ["WALL", "Ring", "boss_in_plate", "ring_of"]

Array = npt.NDArray[np.float64]

WALL, AWAY = 9, 15  # rings of boss and of plate; more than 25 nodes and the solver starts threads, at a price
FAR = 7.0  # reaches of a fin: nothing arrives there
STRETCH = 5.0  # how much wider the plate's rings become, as a power of e

VOLUMES = (
    "conservation of heat on rings: Patankar, Numerical Heat Transfer and Fluid Flow (1980) ch. 4, "
    "with the exact resistance of a cylinder between nodes (Incropera eq. 3.32)"
)


@dataclass(frozen=True, eq=False)
class Ring:
    """A boss and its plate as rings; arrays hold one set a scenario before the last axes, where there are several.

    `radii`: of the nodes [m]; `capacity`: heat capacity of each ring [J/K]; `lost`: loss of each to the air [W/K];
    `decay`: rate of each mode [1/s]; `modes`: rise of each node (rows) in each mode (columns) [K].
    """

    radii: Array
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
        return f"the boss in its plate as {self.radii.shape[-1]} rings"


def _column(value: Any) -> Array:  # noqa: ANN401  # a number or an array
    return np.asarray(value, dtype=float)[..., None]


def _radii(outside: float, inside: float, plate: float, conductivity: float, loss: Any) -> Array:  # noqa: ANN401  # a number or an array
    """Return the nodes: even steps of the logarithm through the wall, widening steps through the plate. [m]"""
    wall = inside / 2 * (outside / inside) ** np.linspace(0, 1, WALL + 1)
    reach = FAR * np.sqrt(conductivity * plate / (2 * _column(loss)))
    away = outside / 2 + reach * np.expm1(STRETCH * np.arange(1, AWAY + 1) / AWAY) / math.expm1(STRETCH)
    return np.concatenate((np.broadcast_to(wall, (*away.shape[:-1], WALL + 1)), away), axis=-1)


def _faces(radii: Array) -> Array:
    """Return the radii that bound each node's ring: geometric means between nodes, the ends themselves. [m]"""
    between = np.sqrt(radii[..., 1:] * radii[..., :-1])
    return np.concatenate((radii[..., :1], between, radii[..., -1:]), axis=-1)


def _narrowing(outside: float, inside: float, length: float, plate: float, conductivity: float) -> float:
    """Return what heat meets on its way from a long boss into a thinner plate, beyond the rings' own. [K/W]

    Two limits, blended as Churchill and Usagi do (AIChE J. 18 (1972) 1121). A thick wall: flow narrows from a wide
    strip to a thin one (Yovanovich, in Rohsenow, Handbook of Heat Transfer, ch. 3, from memory). A thin wall: arms on
    both sides of the plate, heated evenly and drained at the root, stand above it by the mean of a parabola.
    """
    arm, share = max(length - plate, 0.0) / 2, min(plate / length, 1.0)
    along = 2 * arm**3 / (3 * conductivity * math.pi / 4 * (outside**2 - inside**2) * length**2)
    across = math.log(1 / math.sin(math.pi / 2 * share)) / (math.pi * conductivity * math.pi * outside)
    return math.hypot(along, across)


def _rings(
    outside: float,
    inside: float,
    length: float,
    plate: float,
    heat: float,
    conductivity: float,
    loss: Any,  # noqa: ANN401  # a number or an array
) -> tuple[Array, Array, Array, Array]:
    """Return radii, capacities, losses and the conductances between neighbours; `heat` is per volume. [m, J/K, W/K]"""
    radii = _radii(outside, inside, plate, conductivity, loss)
    edges, rim, column = _faces(radii), outside / 2, _column(loss)
    boss = math.pi * np.diff(np.minimum(edges, rim) ** 2)
    sheet = math.pi * np.diff(edges**2) - boss
    capacity = heat * (boss * length + sheet * plate)
    lost = 2 * column * (boss + sheet)
    lost[..., WALL] += column[..., 0] * math.pi * outside * max(length - plate, 0.0)
    # the bore's wall sees itself: it loses no more than its two open ends would
    lost[..., 0] += column[..., 0] * math.pi * inside * min(length, inside / 2)
    thickness = np.where(np.arange(WALL + AWAY) < WALL, length, plate)
    resistance = np.log(radii[..., 1:] / radii[..., :-1]) / (2 * math.pi * conductivity * thickness)
    resistance[..., WALL] += _narrowing(outside, inside, length, plate, conductivity)
    return radii, capacity, lost, 1 / resistance


def _solved(capacity: Array, lost: Array, between: Array) -> tuple[Array, Array]:
    """Return rates and modes of the rings, each mode scaled so that heat brought in excites it by its own rise."""
    count = capacity.shape[-1]
    out = lost.copy()
    out[..., 1:] += between
    out[..., :-1] += between
    matrix, at = np.zeros((*capacity.shape, count)), np.arange(count)
    matrix[..., at, at] = out / capacity
    beside = -between / np.sqrt(capacity[..., 1:] * capacity[..., :-1])
    matrix[..., at[1:], at[:-1]] = beside  # the lower triangle is all that is read
    decay, modes = np.linalg.eigh(matrix)
    return decay, modes / np.sqrt(capacity)[..., None]


@functools.lru_cache(maxsize=256)
def _known(*shape: float) -> Ring:
    """Return the rings of a shape that may have been met before: bores of a line are often alike."""
    return _ring(*shape)


def _ring(*shape: Any) -> Ring:  # noqa: ANN401  # numbers, the last perhaps an array
    radii, capacity, lost, between = _rings(*shape)
    return Ring(radii, capacity, lost, *_solved(capacity, lost, between))


@formula("boss", VOLUMES, "published")
def ring_of(
    outside: float,
    inside: float,
    length: float,
    plate: float,
    density: float,
    specific_heat: float,
    conductivity: float,
    surface_loss: Any,  # noqa: ANN401  # a number or an array
) -> Ring:
    """The boss and its plate as rings, solved by their modes.

    Parameters
    ----------
    outside, inside, length
        Of the boss; the inside after clean-up. [m]
    plate
        Thickness of the plate round it, which never ends. [m]
    density, specific_heat, conductivity
        Of the steel, at its mean temperature. [kg/m³, J/kg/K, W/m/K]
    surface_loss
        To the air, from faces, the boss's outside and the bore; may be an array. [W/m²/K]
    """
    shape = (outside, inside, length, plate, density * specific_heat, conductivity)
    known = not isinstance(surface_loss, np.ndarray)
    return _known(*map(float, (*shape, surface_loss))) if known else _ring(*shape, surface_loss)


STEEL = ("steel_density", "specific_heat", "conductivity")


def boss_in_plate(survey: Survey, outside: float, plate: float, facts: Tables, inputs: Inputs) -> Ring:
    """Return the rings of a bore's boss and plate on the day; sizes in metres."""
    density, specific, conductivity = (facts.constant(name) for name in STEEL)
    sizes = (outside, survey.sizes.cleanup, survey.bore.length, plate)
    return ring_of(*sizes, density, specific, conductivity, inputs.surface_loss)
