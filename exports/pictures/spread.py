"""The spread of a job as a strip, and what it hangs on as bars; no cost in either."""

from estimator.spread.make import Spread
from exports.format import amount, by_key, number
from exports.pictures.paper import MARGIN, WIDTH, apart, cut, ems, head
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing

__all__ = ["drivers", "spread_strip"]

ENDS = ("p10", "p50", "p90")
STRIPS = (("on_site_h", "hours on site", "h", 1), ("wire_kg", "wire", "kg", 2), ("gas_L", "gas", "L", 0))
HIGH, ROW, NAMES = 6.0, 15.0, 46.0  # height of a strip, of its row, width of the names at the left [mm]
BAR, BARS, MOST_BARS = 5.0, 8.0, 10  # height of a bar, of its row [mm]; how many are drawn
TYPE = 2.8  # height of the figures below a strip [mm]
ROOM = 0.6  # of the strip's own width that is left free on either side


def _strip(drawing: Drawing, y: float, name: str, values: tuple[float, ...], said: tuple[str, ...]) -> None:
    """Draw one figure: a strip from 10 to 90 of 100 jobs, a line at 50."""
    low, middle, high = values
    left, right = MARGIN + NAMES, WIDTH - MARGIN
    wide = max(high - low, 1e-9)
    start, end = low - ROOM * wide, high + ROOM * wide

    def x(value: float) -> float:
        return left + (right - left) * (value - start) / (end - start)

    drawing.text(MARGIN, y + HIGH - 1.6, cut(name, NAMES - 3, 3.2), 3.2)
    drawing.line(left, y + HIGH / 2, right, y + HIGH / 2, stroke=HAIR)
    drawing.rect(x(low), y, x(high) - x(low), HIGH, fill="#c9d0d7", stroke=INK, stroke_width=0.2)
    drawing.line(x(middle), y - 1, x(middle), y + HIGH + 1, stroke_width=0.6)
    gap = TYPE * max(map(ems, said)) + 2
    for place, text in zip(apart([x(value) for value in values], gap), said, strict=True):
        drawing.text(place, y + HIGH + 4, text, TYPE, text_anchor="middle", fill=SOFT)


def spread_strip(spread: Spread, currency: str) -> str:
    """Return the drawing of where 8 in 10 such jobs lie: price before tax, hours, wire, gas."""
    about = "bar: 8 in 10 such jobs; line: as many lie below as above"
    found = by_key(spread)
    drawing = Drawing(WIDTH, "How far the job may come out otherwise", f"{spread['samples']} days drawn; {about}")
    y = head(drawing, "SPREAD", f"{spread['samples']} days drawn; {about}") + 3
    drawing.group("strips")
    if "price" in found:
        price = tuple(found["price"][end] for end in ENDS)
        said = tuple(amount(one, currency) for one in price)
        _strip(drawing, y, "price before tax", tuple(map(float, price)), said)
        y += ROW
    for key, name, unit, places in STRIPS:
        values = tuple(found[key][end] for end in ENDS)
        _strip(drawing, y, name, values, tuple(f"{number(one, places)} {unit}" for one in values))
        y += ROW
    return drawing.finish(y)


def drivers(spread: Spread) -> str:
    """Return the drawing of what the price hangs on: by itself (dark), and with all that it takes part in (light)."""
    about = "share of the price's variance; dark: by itself; light: with all that it takes part in"
    each = spread["drivers"][:MOST_BARS]
    drawing = Drawing(
        WIDTH, "What the price hangs on", "; ".join(f"{one['name']} {one['total_share']:.2f}" for one in each)
    )
    y = head(drawing, "DOUBTS", about) + 3
    left = MARGIN + 1.6 * NAMES
    most = max((max(one["share"], one["total_share"]) for one in each), default=1.0) or 1.0
    room = WIDTH - MARGIN - left - 12
    drawing.group("bars")
    for one in each:
        whole, own = (room * one[key] / most for key in ("total_share", "share"))
        drawing.text(MARGIN, y + BAR - 1.2, cut(one["name"], 1.6 * NAMES - 3, 3.2), 3.2)
        drawing.rect(left, y, max(whole, 0.1), BAR, fill=PAPER, stroke=INK, stroke_width=0.25)
        drawing.rect(left, y + 1, min(own, whole), BAR - 2, fill=INK)
        drawing.text(left + whole + 1.5, y + BAR - 1.2, f"{number(100 * one['total_share'], 0)} %", 3)
        y += BARS
    if not each:
        drawing.text(MARGIN, y + 4, "Nothing moves the price.", 3)
        y += BARS
    return drawing.finish(y + 2)
