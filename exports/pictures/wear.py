"""The wear of a bore as the document tells it, laid out for drawing: which place on the wall a cell stands for."""

import math
from itertools import pairwise
from typing import NamedTuple

from estimator.document.bore import Bore
from estimator.job.readings import TURNS
from exports.format import bare, field

__all__ = [
    "HALF_PLACE", "Grid", "Place", "along_edges", "as_read", "clock_said", "ends_said", "grid_of", "has_map",
    "round_edges", "said_depth", "said_mm",
]  # fmt: skip

HALF_PLACE = 0.005  # less than that is printed as zero [mm]
FULL = 360.0


class Place(NamedTuple):
    """One cell: its row, its column and the wear there. [mm]"""

    row: int
    column: int
    wear: float


class Grid(NamedTuple):
    """Wear a side on depth x clock, both ascending; None where nothing was measured. [mm, degrees]"""

    kind: str
    turn: float
    clock: list[float]
    depth: list[float]
    cells: list[list[float | None]]

    @property
    def share(self) -> int:
        """How many sides a reading goes across: of a diameter, and of three points, two."""
        return 2 if self.turn < FULL else 1

    @property
    def what(self) -> str:
        """What a reading tells."""
        return "diameter beyond nominal" if self.turn < FULL else "wear a side"

    def measured(self) -> list[Place]:
        """Return every cell that was measured."""
        return [Place(r, c, wear) for r, row in enumerate(self.cells) for c, wear in enumerate(row) if wear is not None]

    def deepest(self) -> list[Place]:
        """Return the cells of deepest wear; several where they are equal, none where nothing was measured."""
        places = self.measured()
        most = max((place.wear for place in places), default=0.0)
        return [place for place in places if place.wear >= most - 1e-9]


def has_map(bore: Bore) -> bool:
    """Return whether the document holds wear by clock and depth; one worst diameter says nothing of either."""
    held = field(bore, "wear", "clock_map")
    return bool(held and held.get("wear_mm") and held["wear_mm"][0]) and held.get("of") != "worst diameter"


def grid_of(bore: Bore) -> Grid | None:
    """Return the wear of a bore by clock and depth, or None where the document has none."""
    if not has_map(bore):
        return None
    held = bore["wear"]["clock_map"]
    turn = TURNS.get(held.get("of"), FULL)
    clock = [at % turn for at in held["clock"]]
    columns = sorted(range(len(clock)), key=clock.__getitem__)
    rows = sorted(range(len(held["depth_mm"])), key=held["depth_mm"].__getitem__)
    along = held["depth_mm"]
    missing = _missing(bore, turn)
    cells = [
        [None if (along[r], clock[c]) in missing else _known(held["wear_mm"][r][c]) for c in columns] for r in rows
    ]
    return Grid(held["of"], turn, [clock[c] for c in columns], [along[r] for r in rows], cells)


def as_read(grid: Grid) -> Grid:
    """Return the wear as it was read: of diameters, how far each is beyond nominal, not half of that."""
    cells = [[None if one is None else one * grid.share for one in row] for row in grid.cells]
    return grid._replace(cells=cells)


def _missing(bore: Bore, turn: float) -> set[tuple[float, float]]:
    """Return the places (depth, clock) where nothing was read; what the engine puts there is not drawn as read."""
    read = field(bore, "given", "readings") or {}
    return {
        (depth, at % turn)
        for depth, row in zip(read.get("depths_mm") or [], read.get("clock_readings_mm") or [], strict=False)
        for at, cell in zip(read.get("clock_deg") or [], row, strict=False)
        if cell is None
    }


def _known(wear: float | None) -> float | None:
    """Return the wear of a cell, None where it is no number."""
    return None if wear is None or math.isnan(wear) else wear


def round_edges(grid: Grid) -> list[float]:
    """Return where the cells of a row begin and end: half the gap to each neighbour round the clock. [degrees]"""
    first = (grid.clock[-1] - grid.turn + grid.clock[0]) / 2
    return [first, *((a + b) / 2 for a, b in pairwise(grid.clock)), first + grid.turn]


def along_edges(grid: Grid, length: float | None) -> list[float]:
    """Return where the rows begin and end: halfway to each neighbour, the outer ones at the faces. [mm]"""
    half = [(a + b) / 2 for a, b in pairwise(grid.depth)]
    if length is not None:
        return [0.0, *half, length]
    reach = half[0] - grid.depth[0] if half else 5.0
    return [grid.depth[0] - reach, *half, grid.depth[-1] + (grid.depth[-1] - half[-1] if half else reach)]


def said_depth(depth: float) -> str:
    """Return a depth as it is printed: to a hundredth, without idle zeros. [mm]"""
    return f"{round(depth, 2):g}"


def said_mm(wear: float) -> str:
    """Return wear as it is printed, with a true minus."""
    return bare("wear_mm", wear, "metric").replace("-", "−")


def _hour(angle: float) -> str:
    minutes = round(angle * 2) % 720
    hour, rest = minutes // 60 or 12, minutes % 60
    return f"{hour}:{rest:02d}" if rest else f"{hour}"


def ends_said(angle: float, turn: float) -> str:
    """Return the hours of the clock that one reading touches: "3", "3 and 9", "12, 4 and 8"."""
    hours = [_hour(angle + n * turn) for n in range(round(FULL / turn))]
    return hours[0] if len(hours) == 1 else f"{', '.join(hours[:-1])} and {hours[-1]}"


def clock_said(angle: float, turn: float) -> str:
    """Return a place on the clock in words: "90° (3 o'clock)", "0° (12 and 6 o'clock)"."""
    return f"{round(angle, 2):g}° ({ends_said(angle, turn)} o'clock)"
