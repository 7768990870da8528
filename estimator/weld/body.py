"""Rings of metal round a bore: what each holds, what of it meets the air, and how each is tied to the next.

Geometry alone: volumes, faces and links hold for any steel and any loss, so a bore's are made once. The plate's rings
have the shares of `plate.py`; what heat meets on its way round the bore to where the plate goes on, beyond circles of
one temperature, is a resistance on the link across the edge.
"""

import functools
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.formula import Why, formula
from estimator.weld.plate import Edges, area_within, edge_within, share_at

__all__ = ["WALL", "Body", "body_of", "fin_length"]

Array = npt.NDArray[np.float64]

WALL, AWAY = 9, 15  # rings of boss and of plate; more than 25 nodes and the solver starts threads, at a price
FAR = 7.0  # reaches of a fin: nothing arrives there
STRETCH = 5.0  # how much wider the plate's rings become, as a power of e
FIRST = math.expm1(STRETCH / AWAY) / math.expm1(STRETCH)  # of that way: the plate's first ring
BESIDE = 1.04  # nodes beside an edge at which the plate's share jumps
BARE = 1 + 1e-9  # times the boss's radius: no plate is left there
SLICES = (np.arange(16) + 0.5) / 16  # of a link, over which its share is averaged

RINGS = "finite volumes on rings, with the share of each that lies in the plate; checked against three dimensions"
SERIES = "two limits blended as Churchill and Usagi do, AIChE J. 18 (1972) 1121"


@dataclass(frozen=True, eq=False)
class Body:
    """Radii of the nodes [m], volume of each [m³], its loss area [m²], conductance to the next over conductivity."""

    radii: Array
    volume: Array
    area: Array
    link: Array
    why: Why | None = None

    def __eq__(self, other: object) -> bool:
        """Return whether two are of the same rings."""
        if not isinstance(other, Body):
            return False
        mine, theirs = ((one.radii, one.volume, one.area, one.link) for one in (self, other))
        return all(np.array_equal(here, there) for here, there in zip(mine, theirs, strict=True))

    __hash__ = object.__hash__

    def __str__(self) -> str:
        """Return what it is, for explanations."""
        return f"the boss in its plate as {len(self.radii)} rings of metal"


@formula(
    "fin_length",
    "length of a fin, Incropera 3.6; of two plates the outer faces lose",
    "published",
    unit="m",
)
def fin_length(conductivity: float, plate: float, faces: int, surface_loss: float) -> float:
    """How far heat reaches along a plate that loses it from its faces. [m]"""
    return (conductivity * plate / (faces * surface_loss)) ** 0.5


def _radii(outside: float, inside: float, fin: float, edges: Edges) -> Array:
    """Return the nodes: even steps of the logarithm through the wall, widening steps through the plate. [m]"""
    rim = outside / 2
    wall = inside / 2 * (outside / inside) ** np.linspace(0, 1, WALL + 1)
    whole = FAR * fin
    span = min(edges.reach - rim, whole) if edges.ends == "round" else whole
    if span <= rim * (BARE - 1):
        return wall
    share = span / whole
    most = AWAY - 1 if edges.ends == "lug" else AWAY  # a lug's edge takes a node more
    count = min(most, max(1, math.ceil(share / FIRST)))
    stretch = STRETCH * (1 - math.log(share) / math.log(AWAY * FIRST)) if share > AWAY * FIRST else 0.0
    steps = np.arange(1, count + 1) / count
    away = rim + span * (np.expm1(stretch * steps) / math.expm1(stretch) if stretch > 0 else steps)
    return np.concatenate((wall, _at_edge(away, rim, edges) if edges.ends == "lug" else away))


def _at_edge(away: Array, rim: float, edges: Edges) -> Array:
    """Return the plate's nodes with a face between two of them at the edge, where a lug's share jumps. [m]"""
    low, high = edges.reach / BESIDE, edges.reach * BESIDE
    if low <= rim * BARE or high >= away[-2]:
        return away
    rest = np.delete(away, int(np.argmin(np.abs(away[:-1] - edges.reach))))
    return np.sort(np.append(rest[(rest < low) | (rest > high)], (low, high)))


def _narrowing(outside: float, inside: float, length: float, plate: float) -> float:
    """Return what heat meets from a long boss into a thinner plate, beyond the rings' own, times conductivity. [1/m]

    Two limits, blended as Churchill and Usagi do (AIChE J. 18 (1972) 1121). A thick wall: flow narrows from a wide
    strip to a thin one (Yovanovich, in Rohsenow, Handbook of Heat Transfer, ch. 3, from memory). A thin wall: arms on
    both sides of the plate, heated evenly and drained at the root, stand above it by the mean of a parabola.
    """
    arm, share = max(length - plate, 0.0) / 2, min(plate / length, 1.0)
    along = 2 * arm**3 / (3 * math.pi / 4 * (outside**2 - inside**2) * length**2)
    across = math.log(1 / math.sin(math.pi / 2 * share)) / (math.pi * math.pi * outside)
    return math.hypot(along, across)


def _links(radii: Array, sizes: tuple[float, float, float, float], edges: Edges, plates: int, bent: float) -> Array:
    """Return the conductance from each node to the next, over conductivity. [m]"""
    outside, inside, length, plate = sizes
    steps = np.log(radii[1:] / radii[:-1])
    resistance = steps / (2 * math.pi * length)
    if len(radii) == WALL + 1:
        return 1 / resistance
    at = radii[WALL:-1, None] * np.exp(steps[WALL:, None] * SLICES)
    resistance[WALL:] = steps[WALL:] / (plates * 2 * math.pi * plate) * (1 / share_at(edges, at)).mean(axis=1)
    resistance[WALL] += _narrowing(outside, inside, length, plates * plate)
    across = min(max(WALL, int(np.searchsorted(radii, edges.reach)) - 1), len(radii) - 2)
    resistance[across] += bent / (plates * 2 * math.pi * plate)
    return 1 / resistance


def _metal(radii: Array, sizes: tuple[float, float, float, float], edges: Edges, plates: int) -> tuple[Array, Array]:
    """Return the volume of each ring and what of it meets the air. [m³, m²]"""
    outside, inside, length, plate = sizes
    rim, faces = outside / 2, _faces_of(plates)
    bounds = np.concatenate((radii[:1], np.sqrt(radii[1:] * radii[:-1]), radii[-1:]))
    away = np.maximum(bounds, rim)
    boss, sheet = math.pi * np.diff(np.minimum(bounds, rim) ** 2), np.diff(area_within(edges, away))
    area = 2 * boss + plates * (faces * sheet + plate * np.diff(edge_within(edges, away)))
    if len(radii) == WALL + 1:
        area[WALL] += math.pi * outside * plates * plate
    # between two plates the boss sees only what is as warm as itself
    area[WALL] += math.pi * outside * max(length - plates * plate, 0.0) if plates == 1 else 0.0
    # the bore's wall sees itself: it loses no more than its two open ends would
    area[0] += math.pi * inside * min(length, inside / 2)
    return boss * length + plates * plate * sheet, area


def _faces_of(plates: int) -> int:
    """Return the faces of a plate that lose heat: of two plates the outer ones alone."""
    return 2 if plates == 1 else 1


@functools.lru_cache(maxsize=256)
def _known(sizes: tuple[float, float, float, float], edges: Edges, plates: int, fin: float, bent: float) -> Body:
    """Return a body that may have been met before: bores of a line are often alike."""
    outside, inside, _, _ = sizes
    radii = _radii(outside, inside, fin, edges)
    return Body(radii, *_metal(radii, sizes, edges, plates), _links(radii, sizes, edges, plates, bent))


@formula("body", RINGS, "computed")
def body_of(
    outside: float,
    inside: float,
    length: float,
    plate: float,
    fin_length: float,
    ends: str,
    reach: float,
    neck: float,
    plates: int,
    bend: float,
    bend_decay: float,
) -> Body:
    """The boss and its plate as rings of metal.

    Parameters
    ----------
    outside, inside, length
        Of the boss; the inside after clean-up. [m]
    plate, plates
        Thickness of the plate round it, and whether there are two. [m, -]
    fin_length
        How far heat reaches along the plate. [m]
    ends, reach, neck
        On which sides the plate ends, how near, and how wide a lug goes on; zero where it has no such. [-, m, m]
    bend, bend_decay
        What heat meets on its way round the bore, and how it falls with the reach. [-, -]
    """
    sizes = (float(outside), float(inside), float(length), float(plate))
    edges = Edges(ends, float(reach), float(neck))
    bent = bend * math.exp(-bend_decay * reach / fin_length) if bend else 0.0
    return _known(sizes, edges, int(plates), float(fin_length), float(bent))
