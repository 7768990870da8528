"""The wall of a bore unrolled: wear a side by clock and depth, in colour and in numbers."""

from collections.abc import Iterable
from itertools import groupby, pairwise
from typing import Any, NamedTuple

from exports.format import counted, field, shown
from exports.pictures.paper import MARGIN, SIGN, WIDTH, asked, head, notes, ticks
from exports.pictures.shades import Band, bands, text_on
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing
from exports.pictures.wear import (
    Grid,
    along_edges,
    clock_said,
    ends_said,
    grid_of,
    round_edges,
    said_mm,
)

__all__ = ["wear_map"]

LEFT, WIDE, LOW, HIGH = 24.0, 122.0, 48.0, 150.0  # where the map lies, and how high it may be [mm]
ROW = 9.0  # height of a row where there is room [mm]
TYPE, PLATE = 2.6, 3.4  # size of the numbers, height of the plate below one [mm]
BAR = 155.0  # where the scale stands [mm]
FEW = 13  # so many stations are marked one by one
HALF_PLACE = 0.005  # rounds to zero as printed [mm]
NO_MAP = "No wear map: the document holds one worst diameter, which says nothing of where the wear lies."


class _Field(NamedTuple):
    """A map on its sheet: the grid, its scale, and the edges of columns and rows. [mm on paper]"""

    grid: Grid
    scale: list[Band]
    x: list[float]
    y: list[float]


def wear_map(bore: dict[str, Any]) -> str:
    """Return the unrolled wear map of a bore of the estimate document, as SVG.

    Each cell is as large as the wall it stands for in the reckoning of volume. Where cells are too many for numbers,
    every few are numbered, the deepest always; where the document has no map, the drawing says so.
    """
    title = f"Wear map of bore {bore.get('name', '')}"
    grid = grid_of(bore)
    deepest = grid.deepest() if grid else []
    if grid is None or not deepest:
        return _empty(title, bore, NO_MAP if grid is None else "No wear map: no place of it was measured.")
    key = (
        f"Deepest wear {said_mm(deepest[0].wear)} mm a side, at {clock_said(grid.clock[deepest[0].column], grid.turn)}"
    )
    key += f", {grid.depth[deepest[0].row]:g} mm deep"
    key += f"; as deep at {counted(len(deepest) - 1, 'more place')}" if len(deepest) > 1 else ""
    drawing = Drawing(WIDTH, title, f"{title}, {asked(bore)}. {key}.")
    top = head(drawing, title, f"{asked(bore)}; wear a side, from readings of {grid.kind}", key) + 8
    field_ = _laid(grid, field(bore, "given", "length_mm"), top)
    said = _cells(drawing, field_)
    _clock_axis(drawing, field_)
    _depth_axis(drawing, field_, field(bore, "given", "length_mm"))
    bar = _scale_bar(drawing, field_)
    return drawing.finish(notes(drawing, max(field_.y[-1] + 16, bar + 4), [*said, *_remarks(bore, grid)]))


def _empty(title: str, bore: dict[str, Any], why: str) -> str:
    drawing = Drawing(WIDTH, title, f"{title}, {asked(bore)}. {why}")
    return drawing.finish(head(drawing, title, asked(bore), why) + 4)


def _laid(grid: Grid, length: float | None, top: float) -> _Field:
    """Return the map on its sheet, high enough for a number in its thinnest row if the sheet allows."""
    around, along = round_edges(grid), along_edges(grid, length)
    thinnest = min(b - a for a, b in pairwise(along)) or 1.0
    span = along[-1] - along[0]
    high = min(HIGH, max(LOW, ROW * span / thinnest)) if thinnest > 0 else HIGH
    x = [LEFT + WIDE * (edge - around[0]) / grid.turn for edge in around]
    y = [top + high * (edge - along[0]) / span for edge in along]
    return _Field(grid, bands(max(place.wear for place in grid.deepest())), x, y)


def _paint(drawing: Drawing, scale: list[Band], wear: float | None) -> str:
    if wear is None:
        return drawing.hatch("unmeasured")
    if wear < -HALF_PLACE:
        return drawing.hatch("under")
    return _band(scale, wear).colour


def _band(scale: list[Band], wear: float) -> Band:
    return next((band for band in reversed(scale) if wear >= band.low - 1e-9), scale[0])


def _every(edges: list[float], need: float) -> int:
    """Return how few numbers keep apart: 1 for each cell, else every second, third ..."""
    sizes = [b - a for a, b in pairwise(edges)]
    if min(sizes) >= need or len(sizes) == 1:
        return 1
    mean = (edges[-1] - edges[0]) / len(sizes)
    return max(2, -int(-2 * need // mean))


def _cells(drawing: Drawing, map_: _Field) -> list[str]:
    """Draw the cells, their numbers and a mark about the deepest; return what must be said of the numbers."""
    texts = [said_mm(place.wear) for place in map_.grid.measured()]
    wide = SIGN * TYPE * max(map(len, texts)) + 1.6
    across, down = _every(map_.x, wide), _every(map_.y, TYPE * 1.5)
    dense = across > 1 or down > 1
    drawing.group("cells", **({"shape_rendering": "crispEdges"} if dense else {"stroke": PAPER, "stroke_width": 0.3}))
    for number, row in enumerate(map_.grid.cells):
        top, high = map_.y[number], map_.y[number + 1] - map_.y[number]
        for paint, first, after in _runs([_paint(drawing, map_.scale, wear) for wear in row], dense):
            drawing.rect(map_.x[first], top, map_.x[after] - map_.x[first], high, fill=paint)
    drawing.group("frame")
    drawing.rect(LEFT, map_.y[0], WIDE, map_.y[-1] - map_.y[0], fill="none", stroke=INK, stroke_width=0.3)
    _mark(drawing, map_, dense)
    _numbers(drawing, map_, across, down)
    if not dense:
        return []
    return [f"Numbered: every {_nth(down)} depth, every {_nth(across)} clock position, the deepest place among them."]


def _nth(count: int) -> str:
    ending = "th" if 10 <= count % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(count % 10, "th")  # noqa: PLR2004  # English
    return "single" if count == 1 else f"{count}{ending}"


def _runs(paints: list[str], dense: bool) -> Iterable[tuple[str, int, int]]:
    """Return paint, first column and the column after; neighbours of one paint together where cells are many."""
    if not dense:
        return [(paint, at, at + 1) for at, paint in enumerate(paints)]
    found, at = [], 0
    for paint, same in groupby(paints):
        count = len(list(same))
        found.append((paint, at, at + count))
        at += count
    return found


def _middle(map_: _Field, row: int, column: int, half: float = 0.0, tall: float = 0.0) -> tuple[float, float]:
    """Return the middle of a cell, moved inwards where a plate of that half size would reach over the map's edge."""
    x, y = (map_.x[column] + map_.x[column + 1]) / 2, (map_.y[row] + map_.y[row + 1]) / 2
    x = min(max(x, map_.x[0] + half), map_.x[-1] - half)
    return x, min(max(y, map_.y[0] + tall), map_.y[-1] - tall)


def _mark(drawing: Drawing, map_: _Field, dense: bool) -> None:
    """Draw a frame about the deepest place, light within dark so that it shows on any colour."""
    row, column, wear = map_.grid.deepest()[0]
    wide, high = (map_.x[column + 1] - map_.x[column]) / 2, (map_.y[row + 1] - map_.y[row]) / 2
    if dense:
        wide, high = max(wide, _half(said_mm(wear))) + 0.8, max(high, PLATE / 2) + 0.8
        x, y = _middle(map_, row, column, wide, high)
    else:
        wide, high = wide - 0.5, high - 0.5
        x, y = _middle(map_, row, column)
    drawing.group("deepest", fill="none")
    for colour, width in ((INK, 1.0), (PAPER, 0.4)):
        drawing.rect(x - wide, y - high, 2 * wide, 2 * high, stroke=colour, stroke_width=width)


def _half(said: str) -> float:
    """Return half the width of a number's plate. [mm]"""
    return (SIGN * TYPE * len(said) + 0.8) / 2


def _numbers(drawing: Drawing, map_: _Field, across: int, down: int) -> None:
    """Draw numbers in the middle of their cells, on a plate of the cell's colour where it is smaller than they are."""
    deepest, dense = map_.grid.deepest()[0], across > 1 or down > 1
    drawing.group("numbers", text_anchor="middle")
    for row, column, wear in map_.grid.measured():
        if (row - deepest.row) % down or (column - deepest.column) % across:
            continue
        said, under = said_mm(wear), wear < -HALF_PLACE
        half = _half(said)
        x, y = _middle(map_, row, column, half + 0.8, PLATE / 2 + 0.8) if dense else _middle(map_, row, column)
        colour = PAPER if under else _band(map_.scale, wear).colour
        if under or dense:
            drawing.rect(x - half, y - PLATE / 2, 2 * half, PLATE, rx=0.5, fill=colour, stroke=PAPER, stroke_width=0.15)
        drawing.text(x, y + 0.36 * TYPE, said, TYPE, fill=text_on(colour))


def _clock_axis(drawing: Drawing, map_: _Field) -> None:
    """Draw degrees below the map and hours above it."""
    grid, turn = map_.grid, map_.grid.turn
    start, low = round_edges(grid)[0], map_.y[-1]
    stations = grid.clock if len(grid.clock) < FEW else [n * turn / 12 for n in range(12)]
    drawing.group("clock", text_anchor="middle")
    for angle in stations:
        x = LEFT + WIDE * ((angle - start) % turn) / turn
        drawing.line(x, low, x, low + 1.2)
        drawing.text(x, low + 4.4, f"{angle:g}°", 2.6)
    quarter = 90.0 if turn != 120 else 30.0  # noqa: PLR2004  # three anvils
    for number in range(round(turn // quarter)):
        x = LEFT + WIDE * ((number * quarter - start) % turn) / turn
        drawing.line(x, map_.y[0] - 1.6, x, map_.y[0], stroke_width=0.4)
        drawing.text(x, map_.y[0] - 2.8, f"{ends_said(number * quarter, turn)} o'clock", 3)
    drawing.text(LEFT + WIDE / 2, low + 9.4, "clock, clockwise as seen from the machine's side", 3, fill=SOFT)


def _depth_axis(drawing: Drawing, map_: _Field, length: float | None) -> None:
    """Draw the depths to the left of the map: the stations, or round steps where they are many."""
    edges, grid = along_edges(map_.grid, length), map_.grid
    high = (map_.y[-1] - map_.y[0]) / (edges[-1] - edges[0])
    close = min((b - a for a, b in pairwise(grid.depth)), default=edges[-1]) * high
    stations = grid.depth if close > TYPE * 1.3 else ticks(edges[0], edges[-1], 10)
    drawing.group("depth", text_anchor="end")
    for depth in stations:
        y = map_.y[0] + (depth - edges[0]) * high
        drawing.line(LEFT - 1.2, y, LEFT, y)
        drawing.text(LEFT - 2, y + 0.95, f"{depth:g}", 2.6)
    middle = (map_.y[0] + map_.y[-1]) / 2
    turned = f"rotate(-90 {MARGIN + 3} {middle:.3f})"
    said = "depth, mm"
    drawing.text(MARGIN + 3, middle, said, 3, fill=SOFT, text_anchor="middle", transform=turned)


def _scale_bar(drawing: Drawing, map_: _Field) -> float:
    """Draw the scale with its numbers, deepest on top, and what the hatches mean; return where it ends."""
    top, step = map_.y[0], 5.0
    drawing.group("scale")
    drawing.text(BAR - 4, top - 2.8, "wear a side, mm", 2.6, fill=SOFT)
    for number, band in enumerate(reversed(map_.scale)):
        drawing.rect(BAR - 4, top + number * step, 6, step, fill=band.colour, stroke=INK, stroke_width=0.2)
        drawing.text(BAR + 3.2, top + number * step + 0.95, said_mm(band.high), 2.6)
    y = top + len(map_.scale) * step
    drawing.text(BAR + 3.2, y + 0.95, said_mm(0.0), 2.6)
    cells = [wear for row in map_.grid.cells for wear in row]
    meant = [("under", "under nominal")] if any(w is not None and w < -HALF_PLACE for w in cells) else []
    meant += [("unmeasured", "not measured")] if None in cells else []
    for name, said in meant:
        y += 3
        drawing.rect(BAR - 4, y, 6, step, fill=drawing.hatch(name), stroke=HAIR, stroke_width=0.3)
        drawing.text(BAR - 4, y + step + 3.2, said, 2.6)
        y += step + 4
    return y


def _remarks(bore: dict[str, Any], grid: Grid) -> list[str]:
    """Return what a reader must know of these numbers."""
    said = [
        "Depth counts from the face on the machine's side. A cell is as large as the wall it stands for; 0 is nominal."
    ]
    if grid.kind == "diameter":
        said.append(
            "Read as diameters, so the clock covers 0 to 180 degrees: half of what a diameter is beyond nominal. "
            "Which of its two ends is worn, it does not tell."
        )
    if grid.kind == "three-point":
        said.append(
            "Read with a three-point gauge, so the clock covers 0 to 120 degrees: a number stands for three places."
        )
    deepest, side = field(bore, "wear", "max_radial_wear_mm"), field(bore, "given", "wear")
    if side == "one-sided" and deepest is not None and grid.kind == "diameter":
        wear = shown("max_radial_wear_mm", deepest, "metric")
        said.append(f"The plan takes the wear as one-sided, as said: up to {wear} on one side.")
    if field(bore, "given", "length_mm") is None:
        said.append("The document does not give the length of the bore; the outer rows end where they stand.")
    return said
