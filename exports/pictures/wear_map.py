"""The wall of a bore unrolled: wear a side by clock and depth, in colour and in numbers."""

from collections.abc import Iterable
from itertools import groupby, pairwise

from estimator.document.bore import Bore
from exports.format import counted, field, shown
from exports.pictures.paper import MARGIN, WIDTH, asked, head, notes, ticks
from exports.pictures.shades import Band, bands
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing
from exports.pictures.wear import (
    HALF_PLACE,
    Grid,
    Place,
    along_edges,
    as_read,
    clock_said,
    ends_said,
    grid_of,
    round_edges,
    said_depth,
    said_mm,
)
from exports.pictures.wear_numbers import Laid, band_of, draw_numbers, numbering

__all__ = ["wear_map"]

LEFT, WIDE, LOW, HIGH = 24.0, 122.0, 48.0, 150.0  # where the map lies, and how high it may be [mm]
SHORT = {1: "wear a side", 2: "over nominal"}  # what a number is, on the scale
ROW = 9.0  # height of a row where there is room [mm]
SMALL = 2.6  # size of the numbers on the axes [mm]
BAR = 151.0  # where the scale stands [mm]
STEP = 5.0  # height of a band of the scale [mm]
EDGE = 10.0  # words nearer to the edge than that end there [mm]
FEW = 13  # so many stations are marked one by one
THREE = 120.0  # a three-point gauge repeats after that [degrees]
NO_MAP = "No wear map: one worst diameter is known, but not where the wear lies."
UNMEASURED = "No wear map: nothing was measured."
SEEN = "Depth counts from the face on the drive side. A cell is as large as the wall it stands for; 0 is nominal."
DIAMETERS = (
    "Read as diameters, so the clock covers 0° to 180°: a number is how far the diameter is beyond nominal. "
    "Which of its two ends is worn is not known."
)
ANVILS = "Read with a three-point gauge, so the clock covers 0° to 120°: a diameter stands for three places."
NO_LENGTH = "The length of the bore is not given; the outer rows end where they stand."


def wear_map(bore: Bore) -> str:
    """Return the unrolled wear map of a bore of the estimate document, as SVG.

    Each cell is as large as the wall it stands for in the reckoning of volume. Where cells are too many for numbers,
    some are numbered, the deepest always; where the document has no map, the drawing says so.
    """
    title = f"Wear map of bore {bore.get('name', '')}"
    grid, length = grid_of(bore), field(bore, "given", "length_mm")
    grid = as_read(grid) if grid else None
    deepest = grid.deepest() if grid else []
    if grid is None or not deepest:
        return _empty(title, bore, NO_MAP if grid is None else UNMEASURED)
    key = _key(grid, deepest)
    drawing = Drawing(WIDTH, title, f"{title}, {asked(bore)}. {key}.")
    about = [asked(bore), f"{grid.what}, from readings of {grid.kind}"]
    top = head(drawing, title, "; ".join(part for part in about if part), key) + 8
    laid = _laid(grid, length, top)
    said = _cells(drawing, laid)
    _clock_axis(drawing, laid)
    _depth_axis(drawing, laid, length)
    bar = _scale_bar(drawing, laid)
    return drawing.finish(notes(drawing, max(laid.y[-1] + 16, bar + 4), [*said, *_remarks(bore, grid)]))


def _key(grid: Grid, deepest: list[Place]) -> str:
    """Return where the deepest wear is, in words."""
    row, column, wear = deepest[0]
    if wear < HALF_PLACE:
        return "No wear: no place is beyond nominal"
    more = f"; the same at {counted(len(deepest) - 1, 'more place')}" if len(deepest) > 1 else ""
    where = f"at {clock_said(grid.clock[column], grid.turn)}, {said_depth(grid.depth[row])} mm deep"
    what = (
        f"Largest diameter {said_mm(wear)} mm beyond nominal"
        if grid.share > 1
        else f"Deepest wear {said_mm(wear)} mm a side"
    )
    return f"{what}, {where}{more}"


def _empty(title: str, bore: Bore, why: str) -> str:
    drawing = Drawing(WIDTH, title, f"{title}, {asked(bore)}. {why}")
    return drawing.finish(head(drawing, title, asked(bore), why) + 4)


def _laid(grid: Grid, length: float | None, top: float) -> Laid:
    """Return the map on its sheet, high enough for a number in its thinnest row if the sheet allows."""
    around, along = round_edges(grid), along_edges(grid, length)
    thinnest, span = min(b - a for a, b in pairwise(along)), along[-1] - along[0]
    high = min(HIGH, max(LOW, ROW * span / thinnest)) if thinnest > 0 else HIGH
    x = [LEFT + WIDE * (edge - around[0]) / grid.turn for edge in around]
    y = [top + high * (edge - along[0]) / span for edge in along]
    return Laid(grid, bands(grid.deepest()[0].wear), x, y)


def _paint(drawing: Drawing, scale: list[Band], wear: float | None) -> str:
    if wear is None:
        return drawing.hatch("unmeasured")
    return drawing.hatch("under") if wear < -HALF_PLACE else band_of(scale, wear).colour


def _cells(drawing: Drawing, laid: Laid) -> list[str]:
    """Draw the cells, their numbers and a frame about the deepest; return what must be said of the numbers."""
    how, grid = numbering(laid), laid.grid
    edges = {"stroke": PAPER, "stroke_width": "0.3"} if how.roomy else {"shape_rendering": "crispEdges"}
    drawing.group("cells", **edges)
    for number, row in enumerate(grid.cells):
        top, high = laid.y[number], laid.y[number + 1] - laid.y[number]
        for paint, first, after in _runs([_paint(drawing, laid.scale, wear) for wear in row], not how.roomy):
            drawing.rect(laid.x[first], top, laid.x[after] - laid.x[first], high, fill=paint)
    drawing.group("frame")
    drawing.rect(LEFT, laid.y[0], WIDE, laid.y[-1] - laid.y[0], fill="none", stroke=INK, stroke_width=0.3)
    draw_numbers(drawing, laid, how)
    kept = [(how.rows, grid.depth, "depth"), (how.columns, grid.clock, "clock position")]
    fewer = [f"{len(some)} of {counted(len(every), name)}" for some, every, name in kept if len(some) < len(every)]
    return [f"For want of room {' and '.join(fewer)} are numbered, the deepest place among them."] if fewer else []


def _runs(paints: list[str], together: bool) -> Iterable[tuple[str, int, int]]:
    """Return paint, first column and the column after; neighbours of one paint together where cells are many."""
    if not together:
        return [(paint, at, at + 1) for at, paint in enumerate(paints)]
    found, at = [], 0
    for paint, same in groupby(paints):
        count = len(list(same))
        found.append((paint, at, at + count))
        at += count
    return found


def _clock_axis(drawing: Drawing, laid: Laid) -> None:
    """Draw degrees below the map and hours above it."""
    grid, turn = laid.grid, laid.grid.turn
    start, low = round_edges(grid)[0], laid.y[-1]
    close = min(b - a for a, b in pairwise([*grid.clock, grid.clock[0] + turn])) * WIDE / turn
    one_by_one = len(grid.clock) < FEW and close > SMALL * 3
    drawing.group("clock", text_anchor="middle")
    for angle in grid.clock if one_by_one else [n * turn / 12 for n in range(12)]:
        x = LEFT + WIDE * ((angle - start) % turn) / turn
        drawing.line(x, low, x, low + 1.2)
        drawing.text(x, low + 4.4, f"{round(angle, 1):g}°", SMALL)
    quarter, hours = (30.0, "") if turn == THREE else (90.0, " o'clock")
    for number in range(round(turn // quarter)):
        x = LEFT + WIDE * ((number * quarter - start) % turn) / turn
        drawing.line(x, laid.y[0] - 1.6, x, laid.y[0], stroke_width=0.4)
        anchor = "end" if x > LEFT + WIDE - EDGE else "middle"
        drawing.text(x, laid.y[0] - 2.8, ends_said(number * quarter, turn) + hours, 3, text_anchor=anchor)
    drawing.text(LEFT + WIDE / 2, low + 9.4, "clock, clockwise seen from the drive side", 3, fill=SOFT)


def _depth_axis(drawing: Drawing, laid: Laid, length: float | None) -> None:
    """Draw the depths to the left of the map: the stations, or round steps where they are many."""
    edges, grid = along_edges(laid.grid, length), laid.grid
    high = (laid.y[-1] - laid.y[0]) / (edges[-1] - edges[0])
    close = min((b - a for a, b in pairwise(grid.depth)), default=edges[-1]) * high
    stations = grid.depth if close > SMALL * 1.3 else ticks(edges[0], edges[-1], 10)
    drawing.group("depth", text_anchor="end")
    for depth in stations:
        y = laid.y[0] + (depth - edges[0]) * high
        drawing.line(LEFT - 1.2, y, LEFT, y)
        drawing.text(LEFT - 2, y + 0.95, said_depth(depth), SMALL)
    middle = (laid.y[0] + laid.y[-1]) / 2
    turned = f"rotate(-90 {MARGIN + 3} {middle:.3f})"
    drawing.text(MARGIN + 3, middle, "depth, mm", 3, fill=SOFT, text_anchor="middle", transform=turned)


def _scale_bar(drawing: Drawing, laid: Laid) -> float:
    """Draw the scale with its numbers, deepest on top, and what the hatches mean; return where it ends."""
    top = laid.y[0]
    drawing.group("scale")
    drawing.text(BAR, top - 2.8, f"{SHORT[laid.grid.share]}, mm", SMALL, fill=SOFT)
    for number, band in enumerate(reversed(laid.scale)):
        drawing.rect(BAR, top + number * STEP, 6, STEP, fill=band.colour, stroke=INK, stroke_width=0.2)
        drawing.text(BAR + 7.2, top + number * STEP + 0.95, said_mm(band.high), SMALL)
    y = top + len(laid.scale) * STEP
    drawing.text(BAR + 7.2, y + 0.95, said_mm(0.0), SMALL)
    cells = [wear for row in laid.grid.cells for wear in row]
    meant = [("under", "under nominal")] if any(w is not None and w < -HALF_PLACE for w in cells) else []
    meant += [("unmeasured", "not measured")] if None in cells else []
    for name, said in meant:
        y += 3
        drawing.rect(BAR, y, 6, STEP, fill=drawing.hatch(name), stroke=HAIR, stroke_width=0.3)
        drawing.text(BAR, y + STEP + 3.2, said, SMALL)
        y += STEP + 4
    return y


def _remarks(bore: Bore, grid: Grid) -> list[str]:
    """Return what a reader must know of these numbers."""
    said = [SEEN, *{"diameter": [DIAMETERS], "three-point": [ANVILS]}.get(grid.kind, [])]
    deepest, side = field(bore, "wear", "max_radial_wear_mm"), field(bore, "given", "wear")
    if side == "one-sided" and deepest is not None and grid.share > 1:
        wear = shown("max_radial_wear_mm", deepest, "metric")
        said.append(f"Taken as one-sided wear, as stated: up to {wear} a side.")
    return [*said, NO_LENGTH] if field(bore, "given", "length_mm") is None else said
