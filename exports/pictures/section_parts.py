"""The parts of a section's drawing: scale, clock, readings, labels with leaders, centres."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from estimator.document.wear import Fit
from exports.format import bare, perhaps
from exports.format import number as number_of
from exports.pictures.paper import apart, cut
from exports.pictures.shades import text_on
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing
from exports.pictures.wear import clock_said, ends_said, said_mm

__all__ = ["Axis", "Look", "Scale", "centres", "clock_marks", "labels", "place_said", "polar", "readings"]

COLUMN, RIGHT = 138.0, 174.0  # where labels stand [mm]
RING, NUMBER = 5.5, 8.0  # the ring of numbers lies so far within every line; room of one number [mm]
TAGS = 5.0  # the numbers of the centres stand so far from the middle of them [mm]
MARKS, LARGE_MARKS = 90, 24  # more readings than that have no marks of their own, or small ones


class Look(NamedTuple):
    """How a line looks, and where on the clock its label takes hold. [-, -, mm, degrees]"""

    colour: str
    dash: str
    width: float
    label_at: float

    def stroke(self) -> dict[str, float | str]:
        """Return the line's attributes."""
        dashed: dict[str, float | str] = {"stroke_dasharray": self.dash} if self.dash else {}
        return {"stroke": self.colour, "stroke_width": self.width, **dashed}


class Axis(NamedTuple):
    """Where the axis of a line lies beside the readings' zero: x to 3 o'clock, y to 12 o'clock. [mm]"""

    x: float = 0.0
    y: float = 0.0

    @property
    def away(self) -> float:
        """Return how far it lies from the readings' zero. [mm]"""
        return math.hypot(self.x, self.y)

    @property
    def clock(self) -> float:
        """Return on which side of the readings' zero it lies. [degrees]"""
        return math.degrees(math.atan2(self.x, self.y)) % 360

    def reach(self, radius: float, angle: float) -> float:
        """Return how far a circle about the axis lies from the readings' zero at an angle. [mm, degrees]"""
        sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))
        beside = self.x * cos - self.y * sin
        return self.x * sin + self.y * cos + math.sqrt(max(0.0, radius**2 - beside**2))


def place_said(axis: Axis) -> str:
    """Return the place of an axis in words: "0.63 mm from the zero of the readings (+), at 175° (5:50 o'clock)"."""
    return f"{number_of(axis.away, 2)} mm from the zero of the readings (+), at {clock_said(round(axis.clock), 360.0)}"


class Scale(NamedTuple):
    """How a section is drawn: nominal radius [mm], mm on paper a mm, the factor on distances from nominal.

    `outer` and `inner` are the radii on paper that hold every line; (x, y) is the axis on paper.
    """

    nominal: float
    paper: float
    factor: int
    outer: float
    inner: float
    x: float = 0.0
    y: float = 0.0

    def at(self, x: float, y: float) -> "Scale":
        """Return the same scale about another place."""
        return self._replace(x=x, y=y)

    def radius(self, real: float) -> float:
        """Return the radius on paper of a real radius about the axis: only what is beyond nominal is magnified. [mm]"""
        return self.paper * (self.nominal + self.factor * (real - self.nominal))

    def place(self, angle: float, wear: float) -> tuple[float, float]:
        """Return the place on paper of a point of the wall. [degrees, mm]"""
        return polar(self, angle, self.radius(self.nominal + wear))


def polar(scale: Scale, angle: float, radius: float) -> tuple[float, float]:
    """Return a place on paper by clock and radius on paper: 12 o'clock up, 3 o'clock to the right. [degrees, mm]"""
    turned = math.radians(angle)
    return scale.x + radius * math.sin(turned), scale.y - radius * math.cos(turned)


def clock_marks(drawing: Drawing, scale: Scale) -> None:
    """Draw the hours about the section and the cross of its axis."""
    drawing.group("clock", text_anchor="middle")
    for angle in range(0, 360, 30):
        quarter = angle % 90 == 0
        begin, end = polar(scale, angle, scale.outer + 2), polar(scale, angle, scale.outer + (4.4 if quarter else 3.2))
        drawing.line(*begin, *end, stroke_width=0.5 if quarter else 0.25)
        if quarter:
            x, y = polar(scale, angle, scale.outer + 7.4)
            drawing.text(
                x, y + 1.3, ends_said(angle, 360.0), 3.8, font_weight="bold", data_hour=ends_said(angle, 360.0)
            )
    drawing.group("axis")
    for dx, dy in ((4.0, 0.0), (0.0, 4.0)):
        drawing.line(scale.x - dx, scale.y - dy, scale.x + dx, scale.y + dy, stroke_width=0.25)
    drawing.circle(scale.x, scale.y, 0.7, fill=PAPER, data_centre="axis")


def readings(drawing: Drawing, scale: Scale, clock: Sequence[float], wear: Sequence[float | None], turn: float) -> None:
    """Draw a dot at each reading and its number within the section; every few where there are many."""
    known = [n for n, one in enumerate(wear) if one is not None]
    if not known:
        return
    deepest = max(known, key=lambda n: wear[n] or 0.0)
    numbered = _numbered(clock, known, deepest, scale.inner - RING, turn)
    size = 0.75 if len(clock) <= LARGE_MARKS else 0.4
    share = 1 if round(360 / turn) == 1 else 2  # a diameter is drawn half to each end and said whole
    drawing.group("readings", text_anchor="middle")
    for n in known:
        for end in range(round(360 / turn)):
            x, y = scale.place(clock[n] + end * turn, wear[n] or 0.0)
            if len(clock) <= MARKS:
                drawing.circle(x, y, size, fill=PAPER if end else INK, stroke_width=0.3)
        if n in numbered:
            x, y = polar(scale, clock[n], scale.inner - RING)
            weight = {"font_weight": "bold"} if n == deepest else {}
            drawing.text(x, y + 0.9, said_mm(share * (wear[n] or 0.0)), 2.6, **weight)


def _numbered(clock: Sequence[float], known: Sequence[int], deepest: int, radius: float, turn: float) -> set[int]:
    """Return the readings whose numbers have room on a ring: the deepest, then each that is well apart from those."""
    found = [deepest]
    for n in known:
        gaps = (abs((clock[n] - clock[other] + turn / 2) % turn - turn / 2) for other in found)
        if n != deepest and min(2 * radius * math.sin(math.radians(min(gap, 180) / 2)) for gap in gaps) >= NUMBER:
            found.append(n)
    return set(found)


def labels(drawing: Drawing, scale: Scale, lines: dict[str, tuple[Look, float, str]]) -> None:
    """Draw a label to each line, with a leader from it; outer lines above inner ones."""
    holds = [polar(scale, look.label_at, radius) for look, radius, _ in lines.values()]
    heights = apart([y for _, y in holds], 10.5)
    drawing.group("labels")
    for (name, (look, _, said)), (x, y), high in zip(lines.items(), holds, heights, strict=True):
        drawing.path([(x, y), (COLUMN - 8, high), (COLUMN - 1.5, high)], stroke=SOFT, stroke_width=0.2)
        drawing.circle(x, y, 0.6, fill=look.colour, stroke=PAPER, stroke_width=0.2)
        drawing.line(COLUMN, high - 3.6, COLUMN + 14, high - 3.6, **look.stroke())
        drawing.text(COLUMN, high + 0.6, name, 3.4, fill=look.colour, font_weight="bold")
        drawing.text(COLUMN, high + 4.4, said, 2.8)


def centres(drawing: Drawing, scale: Scale, circles: Sequence[Fit], axis: Axis, top: float) -> float:
    """Draw the line's axis, where beside zero, and the circles' centres; return where the list of them ends. [mm]"""
    placed = [one for one in circles if one.get("offset_mm") is not None and one.get("clock_offset") is not None]
    if not placed and not axis.away:
        return top
    y = scale.y + 34
    drawing.group("centres")
    drawing.text(COLUMN, y, "centres from zero" if axis.away else "centres from the axis", 2.8, font_weight="bold")
    if axis.away:
        _cross(drawing, *polar(scale, axis.clock, scale.paper * scale.factor * axis.away))
        y = _entry(drawing, y, "× axis of the line", f"{number_of(axis.away, 3)} mm at {axis.clock:.0f}°")
    spots = [polar(scale, one["clock_offset"], scale.paper * scale.factor * one["offset_mm"]) for one in placed]
    middle = scale.at(*(sum(way) / len(spots) for way in zip(*spots, strict=True))) if spots else scale
    for number, (one, at) in enumerate(zip(placed, spots, strict=True), 1):
        tag = polar(middle, 45 + 90 * (number - 1), TAGS)
        drawing.line(*at, *tag, stroke=SOFT, stroke_width=0.2)
        drawing.circle(*at, 0.5, fill=INK, data_centre=one["name"])
        drawing.circle(*tag, 1.5, fill=PAPER, stroke=HAIR)
        drawing.text(tag[0], tag[1] + 0.8, f"{number}", 2.2, text_anchor="middle", fill=text_on(PAPER))
        size = perhaps(one.get("diameter_mm"))
        offset = f"{number_of(one['offset_mm'], 3)} mm at {one['clock_offset']:.0f}°"
        offset += "" if size is None else f", Ø {bare('cleanup_mm', size, 'metric')}"
        y = _entry(drawing, y, f"{number} {cut(str(one['name']), RIGHT - COLUMN, 2.4)}", offset)
    return y + 5


def _cross(drawing: Drawing, x: float, y: float) -> None:
    """Draw the mark of the line's axis: a slanting cross, to be told from the upright one at zero."""
    for way in (2.0, -2.0):
        drawing.line(x - 2, y - way, x + 2, y + way, stroke=PAPER, stroke_width=1.1)
    for way in (2.0, -2.0):
        drawing.line(x - 2, y - way, x + 2, y + way, stroke_width=0.45, data_centre="line")


def _entry(drawing: Drawing, y: float, name: str, said: str) -> float:
    """Draw one entry of the list of centres; return where it ends."""
    drawing.text(COLUMN, y + 5.2, name, 2.6)
    drawing.text(COLUMN + 2.5, y + 8.8, said, 2.4, fill=SOFT)
    return y + 8.8
