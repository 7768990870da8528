"""Bosses in plates by other means than the engine's: a model in two dimensions, and the one lump of former days.

`python -m tests.published.bosses` prints how far the engine lies off both, shape by shape.
"""

import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.optimize import brentq
from scipy.sparse import coo_matrix, diags
from scipy.sparse.linalg import splu

from estimator.weld import heat
from estimator.weld.body import Body, body_of, fin_length
from estimator.weld.ring import Ring, ring_of

Array = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.int64]

RHO, C, K, H, POWER = 7850.0, 480.0, 43.0, 12.0, 1890.0
TRAVEL, STEP = 0.006, 0.0035  # of the arc [m/s], from bead to bead [m]
GAP, LIMIT, COLD = (
    480.0,
    238.0,
    28.0,
)  # work between layers [s]; interpass limit and measuring, over the surroundings [K]
LAYERS = 3
DT = 3.0  # [s]


def endless_body(outside: float, inside: float, length: float, plate: float, conductivity: float, loss: float) -> Body:
    """Return the rings of a boss in a plate that never ends."""
    fin = fin_length(conductivity, plate, 2, loss)
    return body_of(outside, inside, length, plate, fin, "none", 0.0, 0.0, 1, 0.0, 0.0)


def endless(outside: float, inside: float, length: float, plate: float, *steel: Any) -> Ring:
    """Return a boss in a plate that never ends; `steel`: density, specific heat, conductivity, loss."""
    body = endless_body(outside, inside, length, plate, steel[2], float(np.mean(steel[3])))
    return ring_of(body, *steel)


@dataclass(frozen=True)
class Boss:
    """Sizes of a boss in a plate. [m]"""

    plate: float
    outside: float
    inside: float
    length: float

    @property
    def ring(self) -> Ring:
        """Return it as the engine has it."""
        return endless(self.outside, self.inside, self.length, self.plate, RHO, C, K, H)

    @property
    def body(self) -> Body:
        """Return its rings of metal."""
        return endless_body(self.outside, self.inside, self.length, self.plate, K, H)

    @property
    def arc(self) -> float:
        """Return the arc time of a layer. [s]"""
        return (self.length / STEP + 1) * math.pi * self.inside / TRAVEL

    def __str__(self) -> str:
        """Return its sizes in millimetres."""
        sizes = (1e3 * size for size in (self.outside, self.inside, self.length, self.plate))
        return "{:.0f} over {:.0f} x {:.0f} in {:.0f} mm".format(*sizes)


BOSSES = (
    Boss(0.030, 0.170, 0.097, 0.070),  # the usual job
    Boss(0.045, 0.210, 0.113, 0.095),
    Boss(0.015, 0.170, 0.097, 0.070),  # a heavy boss in a thin plate
    Boss(0.030, 0.250, 0.097, 0.070),
    Boss(0.020, 0.080, 0.045, 0.040),
    Boss(0.030, 0.130, 0.097, 0.070),
    Boss(0.060, 0.170, 0.097, 0.070),
    Boss(0.030, 0.170, 0.097, 0.030),
    Boss(0.030, 0.170, 0.097, 0.150),
    Boss(0.030, 0.170, 0.097, 0.300),
    Boss(0.015, 0.250, 0.097, 0.150),
)


# ---------------------------------------------------------------- two dimensions


@dataclass(frozen=True)
class Mesh:
    """Rings of half a boss and half its plate, cut at the plate's middle: edges along radius and length. [m]"""

    radii: Array
    depths: Array
    live: npt.NDArray[np.bool_]

    @property
    def middles(self) -> tuple[Array, Array]:
        """Return the middles of the cells."""
        return (self.radii[1:] + self.radii[:-1]) / 2, (self.depths[1:] + self.depths[:-1]) / 2


def mesh_of(boss: Boss, wall: int = 20, away: int = 48, deep: int = 24) -> Mesh:
    """Return a mesh that is fine near the bore and where boss and plate meet; the plate is sixteen fins wide."""
    far = 16 * math.sqrt(K * boss.plate / (2 * H))
    widening = np.expm1(5 * np.arange(1, away + 1) / away) / math.expm1(5)
    inner = boss.inside / 2 * (boss.outside / boss.inside) ** np.linspace(0, 1, wall + 1)
    radii = np.concatenate((inner, boss.outside / 2 + far * widening))
    low = min(boss.plate, boss.length) / 2
    within = max(3, round(deep * low / (boss.length / 2)))
    depths = np.linspace(0, low, within + 1)
    if boss.length > boss.plate:
        depths = np.concatenate((depths, np.linspace(low, boss.length / 2, deep - within + 4)[1:]))
    middle = (depths[1:] + depths[:-1]) / 2
    live = (np.arange(len(radii) - 1)[:, None] < wall) | (middle < boss.plate / 2)
    return Mesh(radii, depths, live)


def _links(mesh: Mesh, number: Numbers) -> Iterator[tuple[Numbers, Numbers, Array]]:
    """Yield pairs of neighbours and the conductance between them. [W/K]"""
    (across, along), deep = mesh.middles, np.diff(mesh.depths)
    face = math.pi * np.diff(mesh.radii**2)
    outward = 2 * math.pi * K * deep[None, :] / np.log(across[1:] / across[:-1])[:, None]
    lengthwise = K * face[:, None] / np.diff(along)[None, :]
    for one, other, between in (
        (number[:-1], number[1:], outward),
        (number[:, :-1], number[:, 1:], lengthwise),
    ):
        both = (one >= 0) & (other >= 0)
        yield one[both], other[both], between[both]


def _lost(boss: Boss, mesh: Mesh) -> Array:
    """Return the loss of each cell to the air: at faces, at the boss's outside, at the bore. [W/K]"""
    face, deep = math.pi * np.diff(mesh.radii**2), np.diff(mesh.depths)
    solid = np.pad(mesh.live, ((0, 1), (0, 1)))
    ends = mesh.live & ~solid[:-1, 1:]
    rims = mesh.live & ~solid[1:, :-1]
    rims[-1] = False  # the plate goes on
    lost: Array = H * (ends * face[:, None] + rims * 2 * math.pi * mesh.radii[1:, None] * deep)
    lost[0] += H * 2 * math.pi * mesh.radii[0] * deep * min(1.0, boss.inside / 2 / boss.length)
    return lost


def response(boss: Boss, lasting: float) -> tuple[Array, Array]:
    """Return times and the bore's mean rise for one watt that comes in evenly from the start. [s, K/W]

    Implicit Euler on rings of the section, solved by sparse LU; nothing of the engine is used.
    """
    mesh = mesh_of(boss)
    number = np.full(mesh.live.shape, -1)
    number[mesh.live] = np.arange(mesh.live.sum())
    lost = _lost(boss, mesh)[mesh.live]
    rows, columns, values = [], [], []
    for one, other, between in _links(mesh, number):
        rows += [one, one, other, other]
        columns += [one, other, other, one]
        values += [between, -between, between, -between]
    shape = (len(lost), len(lost))
    flow = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape)
    face, deep = math.pi * np.diff(mesh.radii**2), np.diff(mesh.depths)
    capacity = (RHO * C * face[:, None] * deep)[mesh.live]
    step = splu((diags(capacity / DT) + flow + diags(lost)).tocsc())
    share, inner = deep / deep.sum(), number[0]
    fed = np.zeros(len(lost))
    fed[inner] = share / 2
    skin = math.log(mesh.middles[0][0] / mesh.radii[0]) / (2 * math.pi * K * boss.length)  # first middle to surface
    warm, rises = np.zeros(len(lost)), [0.0]
    for _ in range(math.ceil(lasting / DT)):
        warm = step.solve(capacity / DT * warm + fed)
        rises.append(float(warm[inner] @ share) + skin)
    times = np.array([DT * number for number in range(len(rises))], dtype=float)
    return times, np.array(rises, dtype=float)


class Told:
    """A boss by its response: any course of steady powers is a sum of it, each begun and ended."""

    def __init__(self, boss: Boss, lasting: float = 20_000.0) -> None:
        """Compute the response once."""
        self.boss = boss
        self.times, self.rises = response(boss, lasting)

    def rise(self, course: list[tuple[float, float]], time: float) -> float:
        """Return the bore's rise at a time after a course of powers and how long each lasts. [K]"""
        ends = np.cumsum([0.0, *(lasting for _, lasting in course)])
        powers = [0.0, *(power for power, _ in course), 0.0]
        begun = np.interp(np.maximum(time - ends, 0.0), self.times, self.rises)
        return float(np.dot(np.diff(powers), begun))

    def layers(self) -> tuple[list[float], float]:
        """Return the waits in layers laid one after another, and the time to cool after them. [s]"""
        course, waits = list[tuple[float, float]](), []
        for number in range(LAYERS):
            course += [(0.0, GAP)] if number else []
            begun, arc = sum(lasting for _, lasting in course), self.boss.arc
            free = self._reached([*course, (POWER, arc)], begun, begun + arc) - begun
            course.append((POWER, free))
            left = arc - free
            spread = left if left < DT else self._spread(course, begun + free, left)
            course.append((POWER * left / spread if left else 0.0, spread))
            waits.append(spread - left)
        done = sum(lasting for _, lasting in course)
        cold = brentq(lambda time: self.rise(course, time) - COLD, done + DT, done + 12_000.0)
        return waits, float(cold) - done

    def _reached(self, course: list[tuple[float, float]], low: float, high: float) -> float:
        if self.rise(course, high) <= LIMIT:
            return high
        return float(brentq(lambda time: self.rise(course, time) - LIMIT, low, high))

    def _spread(self, course: list[tuple[float, float]], begun: float, left: float) -> float:
        def over(spread: float) -> float:
            return self.rise([*course, (POWER * left / spread, spread)], begun + spread) - LIMIT

        return float(brentq(over, left, 20 * left)) if over(left) > 0 else left


# ---------------------------------------------------------------- the lump


def lump(boss: Boss, conductivity: float = K, loss: float = H) -> tuple[float, float, float]:
    """Return capacity, conductance and time constant of a boss as one lump in its plate. [J/K, W/K, s]"""
    capacity = math.pi / 4 * (boss.outside**2 - boss.inside**2) * boss.length * RHO * C
    return capacity, 4 * math.pi * conductivity * boss.plate, RHO * C * boss.plate / (2 * loss)


def lumped(boss: Boss, power: float, time: float, conductivity: float = K, loss: float = H) -> float:
    """Return the rise of the lump: bursts of heat, each at E exp(-t/tau) / (B + 4 pi k s t), summed. [K]

    Rosenthal, Trans. ASME 68 (1946) 849, with the boss as a lump: at once all heat is in the boss, later in the plate.
    """
    capacity, conductance, constant = lump(boss, conductivity, loss)
    points, weights = np.polynomial.legendre.leggauss(24)
    span = math.log1p(conductance * time / capacity)
    ratio, at = capacity / (conductance * constant), span * (points + 1) / 2
    return float(power / conductance * span * (weights / 2 @ np.exp(-ratio * np.expm1(at))))


def lumped_wait(boss: Boss) -> float:
    """Return the wait that the lump asks for in all, were all heat spread evenly. [s]"""
    arc, passes = boss.arc * LAYERS, GAP * (LAYERS - 1)
    if lumped(boss, POWER * arc / (arc + passes), arc + passes) <= LIMIT:
        return 0.0
    spread = brentq(lambda time: lumped(boss, POWER * arc / time, time) - LIMIT, arc + passes, 1e7)
    return float(spread) - arc - passes


# ---------------------------------------------------------------- the engine


def rise(boss: Boss, on: float, times: Array) -> Array:
    """Return the bore's rise by the engine at some times, the arc burning until `on`. [K]"""
    cold = heat.Warmth(boss.ring, np.zeros(boss.ring.decay.shape))
    warm = heat.welded(cold, POWER, np.minimum(times, on))  # pyrefly: ignore[bad-argument-type] # arrays of numbers
    found: Array = heat.bore_temperature(0.0, heat.cooled(warm, np.maximum(times - on, 0.0)))  # pyrefly: ignore[bad-argument-type, bad-assignment] # arrays of numbers
    return found


def layers(boss: Boss) -> tuple[list[float], float]:
    """Return the engine's waits in layers laid one after another, and its time to cool after them. [s]"""
    warm, waits = heat.Warmth(boss.ring, np.zeros(boss.ring.decay.shape)), []
    for number in range(LAYERS):
        warm = heat.cooled(warm, GAP) if number else warm
        free = heat.free_time(warm, POWER, boss.arc, LIMIT)
        warm, left = heat.welded(warm, POWER, free), boss.arc - free
        held = heat.held_time(warm, POWER, left, LIMIT)
        warm = heat.held(warm, POWER, left, held)
        waits.append(held - left)
    return waits, heat.cooldown(warm, COLD)


WELDED = 1945.0  # [s]
TIMES = np.array([60.0, 300.0, 600.0, 1200.0, WELDED, 2400.0, 3600.0, 6000.0])


def report() -> Iterator[str]:
    """Yield a line for each shape: how the engine and the lump lie against two dimensions."""
    yield f"{'boss and plate':30} rise/2-D      cool/2-D   waits of {LAYERS} layers [min]: 2-D, engine, lump"
    for boss in BOSSES:
        told, ours = Told(boss), layers(boss)
        exact = np.array([told.rise([(POWER, WELDED)], float(time)) for time in TIMES])
        ratio, (waits, cold) = rise(boss, WELDED, TIMES) / exact, told.layers()
        said = f"{sum(waits) / 60:6.1f} {sum(ours[0]) / 60:6.1f} {lumped_wait(boss) / 60:6.1f}"
        yield f"{boss!s:30} {ratio.min():.3f} to {ratio.max():.3f}  {ours[1] / cold:.3f}      {said}"


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in report())
