"""Bosses in plates that end: shapes with what a solver in three dimensions says of them, and the engine's answer.

The solver: finite volumes in radius, angle and depth, the plate's outline by cut cells, implicit Euler; more than three
times its cells move a wait by 2 % and cooling by 0.2 %. Computed 2026-11; nothing of the engine is used in it.
"""

from dataclasses import dataclass

import numpy as np

from estimator.book.pricebook import read_pricebook
from estimator.weld import heat
from estimator.weld.body import Body, body_of, fin_length
from estimator.weld.loss import AIR, cooling_surface, still_air_loss, welding_surface
from estimator.weld.ring import Ring, ring_of

__all__ = ["BEND", "BY_TEMPERATURE", "SHAPES", "Shape", "course", "course_by_temperature", "waited"]

BEND = {"none": 0.0, "side": 0.5, "corner": 1.25, "strip": 0.55, "lug": 2.3, "round": 0.0}
DECAY, K, H, RHO, ZERO = 2.7, 43.0, 12.0, 7850.0, 273.15
PARTS = 200  # small layers, each of which ends at the limit: the bore is held there


@dataclass(frozen=True)
class Shape:
    """A boss in a plate that ends, how it is welded, and what three dimensions say: wait and cooling. [mm, min, W]"""

    name: str
    boss: tuple[float, float, float]  # inside, outside, length
    plate: float
    ends: str
    reach: float
    arc: float
    power: float
    wait: float
    cool: float
    neck: float = 0.0
    plates: int = 1

    @property
    def body(self) -> Body:
        """Return its rings of metal."""
        inside, outside, length = (size / 1000 for size in self.boss)
        fin = fin_length(K, self.plate / 1000, 2 if self.plates == 1 else 1, H)
        edges = (self.ends, self.reach / 1000, self.neck / 1000, self.plates)
        return body_of(outside, inside, length, self.plate / 1000, fin, *edges, BEND[self.ends], DECAY)

    def __str__(self) -> str:
        """Return its name."""
        return self.name


USUAL, BIG, SMALL = (90.0, 170.0, 70.0), (120.0, 220.0, 100.0), (50.0, 90.0, 60.0)
# With one conductivity, heat and loss (43, 480, 12): limit 250, air 20, cooled to 40 degC.
SHAPES = (
    Shape("endless", USUAL, 30, "none", 0, 90, 1960, 31.7, 73.1),
    Shape("round 150", USUAL, 30, "round", 150, 32, 1960, 37.9, 169.1),
    Shape("round 200", USUAL, 30, "round", 200, 90, 1960, 111.6, 162.6),
    Shape("round 300", USUAL, 30, "round", 300, 90, 1960, 46.9, 140.0),
    Shape("lug 100", USUAL, 30, "lug", 100, 90, 1960, 232.8, 135.1),
    Shape("lug 150", USUAL, 30, "lug", 150, 90, 1960, 122.1, 134.2),
    Shape("lug 200", USUAL, 30, "lug", 200, 90, 1960, 73.4, 130.6),
    Shape("lug 150, neck 160", USUAL, 30, "lug", 150, 90, 1960, 156.6, 145.3, neck=160),
    Shape("lug 120, sides spread by 20 deg", USUAL, 30, "lug", 120, 90, 1960, 136.5, 118.6),
    Shape("lug 100 on a wide plate", USUAL, 30, "lug", 100, 90, 1960, 220.6, 119.6),
    Shape("square end of a bar", USUAL, 30, "lug", 120, 90, 1960, 157.6, 135.8),
    Shape("side 150", USUAL, 30, "side", 150, 90, 1960, 47.8, 90.4),
    Shape("side 100", USUAL, 30, "side", 100, 90, 1960, 65.1, 89.1),
    Shape("side 87", USUAL, 30, "side", 87, 90, 1960, 72.2, 88.2),
    Shape("corner 120", USUAL, 30, "corner", 120, 90, 1960, 94.9, 106.3),
    Shape("strip 300 wide", USUAL, 30, "strip", 150, 90, 1960, 70.2, 116.1),
    Shape("strip 200 wide", USUAL, 30, "strip", 100, 90, 1960, 124.0, 120.8),
    Shape("bare hub", (90.0, 170.0, 150.0), 150, "round", 85, 32, 1960, 58.8, 250.5),
    Shape("thick lug", USUAL, 70, "lug", 140, 90, 1960, 58.0, 209.2),
    Shape("big boss, side 200", BIG, 40, "side", 200, 240, 1960, 27.0, 127.7),
    Shape("big boss, lug 180", BIG, 40, "lug", 180, 240, 1960, 166.0, 183.1),
    Shape("small boss, lug 75", SMALL, 20, "lug", 75, 32, 1500, 118.0, 85.4),
    Shape("small boss, strip 160 wide", SMALL, 20, "strip", 80, 32, 1500, 62.0, 75.3),
    Shape("box of two plates", (90.0, 170.0, 250.0), 20, "strip", 275, 90, 1960, 6.5, 188.8, plates=2),
    Shape("lug 150, flush with a face", USUAL, 30, "lug", 150, 90, 1960, 126.3, 133.6),
)
# Wait and cooling with properties by temperature (EN 1993-1-2), radiation at 0.8 and air that rises along 0.3 m.
BY_TEMPERATURE = {
    "endless": (15.1, 72.6),
    "round 150": (19.1, 167.4),
    "lug 100": (139.4, 136.2),
    "lug 150": (70.6, 135.1),
    "side 150": (26.3, 90.3),
    "corner 120": (56.1, 106.0),
    "strip 300 wide": (41.3, 118.6),
    "bare hub": (26.0, 247.6),
    "small boss, lug 75": (77.0, 86.3),
    "thick lug": (30.1, 211.9),
    "round 300": (26.5, 146.3),
    "big boss, side 200": (0.0, 127.0),
}


def waited(ring: Ring, arc: float, power: float, allowed: float) -> tuple[float, heat.Warmth]:
    """Return the wait of a bore that is held at its limit once it has reached it, and how warm all is then. [s]"""
    cold = heat.Warmth(ring, np.zeros(ring.decay.shape))
    free = heat.free_time(cold, power, arc, allowed)
    warm, total = heat.welded(cold, power, free), free
    for _ in range(PARTS if free < arc else 0):
        part = (arc - free) / PARTS
        held = heat.held_time(warm, power, part, allowed)
        warm, total = heat.held(warm, power, part, held), total + held
    return total - arc, warm


def course(shape: Shape) -> tuple[float, float]:
    """Return the engine's wait and cooling with one conductivity, heat and loss. [min]"""
    ring = ring_of(shape.body, RHO, 480.0, K, H)
    wait, warm = waited(ring, 60 * shape.arc, shape.power, 230.0)
    return wait / 60, heat.cooldown(warm, 20.0) / 60


def course_by_temperature(shape: Shape, limit: float = 250.0, air: float = 20.0) -> tuple[float, float]:
    """Return the engine's wait and cooling to 40 degC with its two sets of constants. [min]"""
    facts, ambient = read_pricebook().facts, air + ZERO
    still = [facts.constant(name) for name in ("emissivity", *AIR)]
    hot, warm = (
        [facts.constant(f"{prefix}{name}") for name in ("specific_heat", "conductivity")] for prefix in ("welding_", "")
    )
    surface = welding_surface(ambient, limit + ZERO, facts.constant("welding_loss_share"))
    ring = ring_of(shape.body, RHO, hot[0], hot[1], still_air_loss(surface, ambient, *still))
    wait, welded = waited(ring, 60 * shape.arc, shape.power, limit - air)
    surface = cooling_surface(ambient, heat.bore_rise(welded), 40.0 - air)
    left = ring_of(shape.body, RHO, warm[0], warm[1], still_air_loss(surface, ambient, *still))
    return wait / 60, heat.cooldown(heat.cooling(welded, left), 40.0 - air) / 60
