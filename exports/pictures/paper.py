"""What all drawings share: the sheet's width, its head, notes below, wrapped text, round steps."""

import math
import textwrap
from collections.abc import Sequence
from itertools import pairwise

from estimator.document.bore import Bore
from exports.format import field, shown
from exports.phrases import printable
from exports.pictures.svg import HAIR, INK, SOFT, Drawing

__all__ = [
    "MARGIN",
    "WIDTH",
    "apart",
    "asked",
    "cut",
    "fits",
    "head",
    "notes",
    "prose",
    "round_factor",
    "round_step",
    "ticks",
]

WIDTH, MARGIN = 180.0, 6.0  # fits A4 and Letter upright with margins of 15 mm [mm]
SIGN, PROSE = 0.6, 0.55  # width of a sign by the height of its type, in numbers and names, and on average in sentences
CAPITAL, BOLD = 0.75, 1.15  # width of a capital letter; bold type is that much wider
EAST = "\u2e80"  # signs from here on are as wide as high
FACTORS = (1, 2, 5, 10, 20, 50)


def fits(width: float, size: float) -> int:
    """Return how many signs of a size fit a width. [mm]"""
    return max(1, int(width / (SIGN * size)))


def prose(text: str, width: float, size: float) -> list[str]:
    """Return a sentence as lines that fit a width. [mm]"""
    return textwrap.wrap(printable(text), max(1, int(width / (PROSE * size))))


def ems(text: str) -> float:
    """Return about how wide a text is by the height of its type; rather too wide, whatever the face. [-]"""
    return sum(1.0 if sign in "MW@%" or sign > EAST else CAPITAL if sign.isupper() else SIGN for sign in text)


def cut(text: str, width: float, size: float) -> str:
    """Return a text, shortened where it would run over a width. [mm]"""
    said = printable(text)
    if size * ems(said) <= width:
        return said
    while said and size * ems(said + "…") > width:
        said = said[:-1]
    return said.rstrip() + "…"


def head(drawing: Drawing, title: str, about: str, *keys: str) -> float:
    """Draw the head of a sheet, the lines that matter most last; return where the sheet goes on. [mm]"""
    inner, y = drawing.width - 2 * MARGIN, 5.5
    lines = textwrap.wrap(printable(title), fits(inner, BOLD * 5), max_lines=2, placeholder="…") or [""]
    for line in lines:
        y += 5.5
        drawing.text(MARGIN, y - 1.5, line, min(5.0, inner / (BOLD * ems(line) or 1)), font_weight="bold")
    for line in textwrap.wrap(printable(about), fits(inner, 3), max_lines=2, placeholder="…"):
        y += 4.2
        drawing.text(MARGIN, y - 0.5, line, 3, fill=SOFT)
    drawing.line(MARGIN, y + 2.4, drawing.width - MARGIN, y + 2.4, stroke=INK, stroke_width=0.5)
    y += 3.4
    for line in (line for key in keys for line in prose(key, inner, BOLD * 3.4)):
        y += 4.8
        drawing.text(MARGIN, y, line, 3.4, font_weight="bold")
    return y + 3


def notes(drawing: Drawing, y: float, said: Sequence[str]) -> float:
    """Draw notes below a hairline; return where they end. [mm]"""
    drawing.group("notes")
    drawing.line(MARGIN, y, drawing.width - MARGIN, y, stroke=HAIR, stroke_width=0.3)
    y += 1
    for note in said:
        for line in prose(note, drawing.width - 2 * MARGIN, 2.8):
            y += 4
            drawing.text(MARGIN, y, line, 2.8, fill=SOFT)
        y += 0.6
    return y + 4


def asked(bore: Bore) -> str:
    """Return what was asked of a bore, as far as the document says."""
    nominal, length = (field(bore, "given", key) for key in ("nominal_diameter_mm", "length_mm"))
    said = [] if nominal is None else [f"nominal Ø {shown('nominal_diameter_mm', nominal, 'metric')}"]
    said += [] if field(bore, "given", "tolerance") is None else [bore["given"]["tolerance"]]
    said += [] if length is None else [f"{shown('length_mm', length, 'metric')} long"]
    return ", ".join(said)


def round_factor(most: float, factors: Sequence[int] = FACTORS) -> int:
    """Return the largest round factor up to `most`; the smallest where none is. [-]"""
    return max((one for one in factors if one <= most * (1 + 1e-9)), default=factors[0])


def round_step(span: float, most: int) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that parts a span into so many or fewer."""
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(step for m in (1, 2, 5, 10) if math.ceil(span / (step := m * power) - 1e-9) <= most)


def ticks(low: float, high: float, most: int) -> list[float]:
    """Return round values from low to high. [as given]"""
    if not high > low:
        return [low]
    step = round_step(high - low, most)
    return [n * step for n in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]


def apart(wanted: Sequence[float], gap: float) -> list[float]:
    """Return places near those wanted, in their order from above, none nearer than a gap to another. [mm]"""
    order = sorted(range(len(wanted)), key=lambda n: wanted[n])
    placed = list(wanted)
    for before, here in pairwise(order):
        placed[here] = max(placed[here], placed[before] + gap)
    shift = sum(placed[n] - wanted[n] for n in order) / max(1, len(order))
    return [place - shift for place in placed]
