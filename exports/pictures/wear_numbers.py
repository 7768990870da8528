"""The numbers on a wear map: which cells have one, where it stands, and a frame about the deepest place."""

from itertools import pairwise
from typing import NamedTuple

from exports.pictures.shades import Band, text_on
from exports.pictures.svg import INK, PAPER, Drawing
from exports.pictures.wear import HALF_PLACE, Grid, said_mm

__all__ = ["Laid", "Numbering", "band_of", "draw_numbers", "numbering"]

SIZES = (2.6, 2.0)  # of the numbers, and where room is short [mm]
DIGIT = 0.57  # width of a number's sign by its size
TALL = 1.3  # height of a number's plate by its size
LOOSE = 1.7  # where not each cell is numbered, this much of the map to each number


class Laid(NamedTuple):
    """A map on its sheet: the grid, its scale, and the edges of columns and rows. [mm on paper]"""

    grid: Grid
    scale: list[Band]
    x: list[float]
    y: list[float]


class Numbering(NamedTuple):
    """Size of the numbers, rows and columns that have them, whether every cell is as large as its number. [mm]"""

    size: float
    rows: list[int]
    columns: list[int]
    roomy: bool


def band_of(scale: list[Band], wear: float) -> Band:
    """Return the band of a wear; one below nominal has the first. [mm]"""
    return next((band for band in reversed(scale) if wear >= band.low - 1e-9), scale[0])


def numbering(laid: Laid) -> Numbering:
    """Return which cells are numbered: each where there is room, else some, the deepest among them."""
    known = [place.wear for place in laid.grid.measured()]
    longest = max(len(said_mm(wear)) for wear in (min(known), max(known)))
    row, column, _ = laid.grid.deepest()[0]
    for size in SIZES:
        wide, high = DIGIT * size * longest + 0.4, TALL * size
        if _least(laid.x) >= wide and _least(laid.y) >= high:
            break
    else:
        size = SIZES[0]
        wide, high = DIGIT * size * longest + 1.6, TALL * size
    rows, columns = _apart(laid.y, high, row), _apart(laid.x, wide, column)
    return Numbering(size, rows, columns, _least(laid.x) >= wide and _least(laid.y) >= high)


def _least(edges: list[float]) -> float:
    return min(b - a for a, b in pairwise(edges))


def _apart(edges: list[float], need: float, first: int) -> list[int]:
    """Return the cells that are numbered along one way: all, or outwards from one that must be."""
    middles = [(a + b) / 2 for a, b in pairwise(edges)]
    if _least(edges) >= need:
        return list(range(len(middles)))
    found = [first]
    for way in (range(first + 1, len(middles)), range(first - 1, -1, -1)):
        last = middles[first]
        for n in way:
            if abs(middles[n] - last) >= LOOSE * need:
                found.append(n)
                last = middles[n]
    return sorted(found)


def _plate(said: str, size: float) -> tuple[float, float]:
    """Return half the width and half the height of a number's plate. [mm]"""
    return (DIGIT * size * len(said) + 1.0) / 2, TALL * size / 2


def _middle(laid: Laid, row: int, column: int, half: float = 0.0, tall: float = 0.0) -> tuple[float, float]:
    """Return the middle of a cell, moved inwards where something of that half size would reach over the map's edge."""
    x, y = (laid.x[column] + laid.x[column + 1]) / 2, (laid.y[row] + laid.y[row + 1]) / 2
    x = min(max(x, laid.x[0] + half), laid.x[-1] - half)
    return x, min(max(y, laid.y[0] + tall), laid.y[-1] - tall)


def draw_numbers(drawing: Drawing, laid: Laid, how: Numbering) -> None:
    """Draw the frame, then the numbers, on a plate of the cell's colour where the cell is smaller than they are."""
    _frame(drawing, laid, how)
    drawing.group("numbers", text_anchor="middle")
    for row, column, wear in laid.grid.measured():
        if row not in how.rows or column not in how.columns:
            continue
        said, under = said_mm(wear), wear < -HALF_PLACE
        half, tall = _plate(said, how.size)
        x, y = _middle(laid, row, column) if how.roomy else _middle(laid, row, column, half + 0.8, tall + 0.8)
        colour = PAPER if under else band_of(laid.scale, wear).colour
        if under or not how.roomy:
            edge = {"stroke": PAPER, "stroke_width": "0.15"}
            drawing.rect(x - half, y - tall, 2 * half, 2 * tall, rx=0.5, fill=colour, **edge)
        drawing.text(x, y + 0.36 * how.size, said, how.size, fill=text_on(colour))


def _frame(drawing: Drawing, laid: Laid, how: Numbering) -> None:
    """Draw a frame about the deepest place, light within dark so that it shows on any colour."""
    row, column, wear = laid.grid.deepest()[0]
    if wear < HALF_PLACE:
        return
    wide, high = (laid.x[column + 1] - laid.x[column]) / 2 - 0.5, (laid.y[row + 1] - laid.y[row]) / 2 - 0.5
    if not how.roomy:
        half, tall = _plate(said_mm(wear), how.size)
        wide, high = half + 0.8, tall + 0.8
    x, y = _middle(laid, row, column, wide, high)
    drawing.group("deepest", fill="none")
    for colour, width in ((INK, 1.0), (PAPER, 0.4)):
        drawing.rect(x - wide, y - high, 2 * wide, 2 * high, stroke=colour, stroke_width=width)
