"""The parts of a line's drawing: what the document says of it, where it lies on the sheet, how its lines look."""

from collections.abc import Iterator
from typing import NamedTuple

from estimator.document.lines import Axis, Line, Station
from exports.format import by_key
from exports.pictures.paper import round_factor
from exports.pictures.svg import INK

__all__ = [
    "FACTORS", "LEFT", "LOOKS", "WIDE", "Sheet", "axis_offset", "choice_look", "ends", "middle", "name_of", "sheet_of",
    "spread_of",
]  # fmt: skip

FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
LEFT, WIDE = 24.0, 118.0  # where positions are drawn [mm on paper]
PANEL = 46.0  # height of a view at most [mm on paper]
LOOKS = (("#9a3b1b", "", 0.9), ("#1d5a8a", "4.2 1.5", 0.5), ("#5a2d73", "1 1.1", 0.6), (INK, "7 1.2 0.9 1.2", 0.4))


class Sheet(NamedTuple):
    """How a line is drawn: its first position, mm on paper a mm along, how much larger offsets are. [mm, -, -]"""

    start: float
    along: float
    factor: int

    def x(self, position: float) -> float:
        """Return the place across the sheet of a position along the line. [mm]"""
        return LEFT + self.along * (position - self.start)

    def rise(self, offset: float) -> float:
        """Return the height on paper of an offset from the wire or bar. [mm]"""
        return self.along * self.factor * offset


def ends(station: Station) -> tuple[float, float]:
    """Return where a station begins and ends along the line: its face on the machine's side stands at its position."""
    return station["position_mm"], station["position_mm"] + (station.get("length_mm") or 0.0)


def name_of(station: Station) -> str:
    """Return the name of a station: a bore's or a datum's."""
    return str(station.get("bore") or station.get("name") or station.get("datum") or "")


def middle(station: Station) -> float:
    """Return the mid-length of a station along the line. [mm]"""
    return sum(ends(station)) / 2


def choice_look(line: Line, number: int) -> dict[str, float | str]:
    """Return how the axis of a choice is drawn: the chosen one stout and whole, each other with dashes of its own."""
    names = [axis.get("choice") for axis in line.get("axes") or []]
    chosen = names.index(line.get("chosen")) if line.get("chosen") in names else -1
    place = 0 if number == chosen else 1 + sum(1 for n in range(number) if n != chosen)
    colour, dash, width = LOOKS[min(place, len(LOOKS) - 1)]
    return {"stroke": colour, "stroke_width": width, **({"stroke_dasharray": dash} if dash else {})}


def axis_offset(axis: Axis, way: str, position: float) -> float | None:
    """Return the offset of an axis at a position, or None where the document has none. [mm]"""
    at, tilt = by_key(axis).get(f"{way}_mm"), by_key(axis).get(f"tilt_{way}_mm_m")
    return None if at is None else at + (tilt or 0.0) * position / 1000


def _offsets(line: Line, way: str, span: tuple[float, float]) -> Iterator[float]:
    yield 0.0
    for station in line.get("stations") or []:
        half = (station.get("position_tolerance_mm") or 0.0) / 2
        for kind in ("original", "worn"):
            at = by_key(station).get(f"{kind}_{way}_mm")
            if at is not None:
                yield from (at - half, at + half) if kind == "original" else (at,)
    for axis in line.get("axes") or []:
        yield from (at for end in span if (at := axis_offset(axis, way, end)) is not None)


def spread_of(line: Line, way: str, span: tuple[float, float]) -> tuple[float, float]:
    """Return the least and the most offset of one view. [mm]"""
    offsets = list(_offsets(line, way, span))
    return min(offsets), max(offsets)


def sheet_of(line: Line) -> Sheet:
    """Return how a line is drawn: the largest round factor by which both views fit their height."""
    places = [end for station in line["stations"] for end in ends(station)]
    first, last = min(places), max(places)
    along = WIDE / (last - first) if last > first else 1.0
    largest = max(high - low for low, high in (spread_of(line, way, (first, last)) for way in "xy"))
    room = PANEL / (along * largest) if largest > 0 else 1.0
    return Sheet(first, along, round_factor(room, FACTORS))
