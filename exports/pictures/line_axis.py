"""A line of bores from two sides: original centres, middles of the readings, axes; offsets drawn larger."""

from itertools import pairwise

from estimator.document.lines import Line, Station
from estimator.estimate import Estimate
from exports.format import bare, by_key, counted, field, number, perhaps
from exports.pictures.line_parts import (
    LEFT,
    WIDE,
    Sheet,
    axis_offset,
    choice_look,
    ends,
    middle,
    name_of,
    sheet_of,
    spread_of,
)
from exports.pictures.line_tables import choices, stations
from exports.pictures.paper import MARGIN, PROSE, WIDTH, apart, cut, head, notes, ticks
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing

__all__ = ["line_of_bores"]

ZONE = "#e9edf1"
TALLEST = 20.0  # of a bore in the strip [mm on paper]
HUNDRED = 100  # numbers of three digits are set smaller
READ = "middle of the readings"
ROOM = 12.0  # a name needs at least [mm]
VIEWS = (("x", "3 o'clock side upwards"), ("y", "12 o'clock upwards"))


def line_of_bores(line: Line, estimate: Estimate) -> str:
    """Return the views of a line of the estimate document, as SVG.

    One strip with the bores along the line, then the offsets across (x) and up (y) from the wire or bar, drawn larger
    by a round factor that the drawing states; tables below hold the same in numbers.
    """
    title = f"Line {line.get('name', '')}"
    about = str(estimate.get("reference", ""))
    if not line.get("stations"):
        why = "No picture of the line: no stations along it are given."
        drawing = Drawing(WIDTH, title, why)
        return drawing.finish(head(drawing, title, about, why) + 4)
    line = {**line, "stations": sorted(line["stations"], key=middle)}
    sheet = sheet_of(line)
    keys = (_chosen(line), f"Offsets are drawn × {number(sheet.factor, 0)} against the length of the line.")
    drawing = Drawing(WIDTH, title, f"{title}, {about}. {' '.join(keys)}")
    y = head(drawing, title, ", ".join(part for part in (about, _count(line)) if part), *keys)
    y = _strip(drawing, line, sheet, y + 4)
    y = _meaning(drawing, line, y + 4)
    for way, said in VIEWS:
        y = _view(drawing, line, sheet, way, said, y + 9)
    _positions(drawing, line, sheet, y)
    y = choices(drawing, line, stations(drawing, line, y + 14))
    return drawing.finish(notes(drawing, y + 2, _remarks(line)))


def _count(line: Line) -> str:
    bores = sum(1 for one in line["stations"] if one.get("kind") != "datum")
    datums = len(line["stations"]) - bores
    return ", ".join([counted(bores, "bore"), *([counted(datums, "datum")] if datums else [])])


def _chosen(line: Line) -> str:
    """Return which axis was chosen and what it saves."""
    if not line.get("chosen"):
        return "No axis was chosen."
    said, saves = f"Chosen axis: {line['chosen']}", line.get("saves")
    if saves and saves.get("required_volume_mm3") is not None:
        volume = number(saves["required_volume_mm3"] / 1000, 1)
        mass = perhaps(saves.get("deposit_mass_kg"))
        weld = "" if mass is None else f" ({bare('deposit_mass_kg', mass, 'metric')} kg laid)"
        said += f"; saves {volume} cm³ of weld metal{weld} against {saves.get('against', 'the other')}"
    return f"{said}."


def _strip(drawing: Drawing, line: Line, sheet: Sheet, y: float) -> float:
    """Draw the stations along the line, numbered, as high as their diameters allow; return where the strip ends."""
    largest = max((one.get("nominal_mm") or 0.0 for one in line["stations"]), default=0.0)
    scale = min(sheet.along, TALLEST / largest) if largest > 0 else 0.0
    half = max(4.0, scale * largest / 2)
    axis = y + 6 + half
    middles = sorted(sheet.x(middle(one)) for one in line["stations"])
    room = min((b - a for a, b in pairwise(middles)), default=WIDE) - 2
    drawing.group("strip", text_anchor="middle")
    for count, one in enumerate(line["stations"], 1):
        begin, end = (sheet.x(at) for at in ends(one))
        wide, high = max(end - begin, 0.8), max(scale * (one.get("nominal_mm") or 0.0), 5.0)
        paint = drawing.hatch("datum") if one.get("kind") == "datum" else ZONE
        drawing.rect(begin, axis - high / 2, wide, high, fill=paint, stroke=INK, stroke_width=0.3)
        x = begin + wide / 2
        drawing.circle(x, y + 2, 2.1, fill=PAPER, stroke_width=0.3)
        drawing.text(x, y + 3, f"{count}", 2.8 if count < HUNDRED else 2.0, font_weight="bold")
        if room > ROOM:
            drawing.text(x, axis + half + 3.6, cut(name_of(one), room, 2.6), 2.6)
    drawing.line(LEFT - 5, axis, LEFT + WIDE + 5, axis, stroke_dasharray="7 1.2 0.9 1.2")
    drawing.text(LEFT + WIDE + 7, axis + 1, "wire or bar", 2.6, fill=SOFT, text_anchor="start")
    return axis + half + (3.6 if room > ROOM else 0)


def _meaning(drawing: Drawing, line: Line, y: float) -> float:
    """Draw what the marks mean, only those that occur."""
    drawing.group("meaning")
    x, held = LEFT, line["stations"]
    for draw, said, there in (
        (_ring, "original centre", any(one.get("original_x_mm") is not None for one in held)),
        (_diamond, READ, any(one.get("worn_x_mm") is not None for one in held)),
        (_zone_mark, "position tolerance", any(one.get("position_tolerance_mm") for one in held)),
        (_datum_mark, "datum", any(one.get("kind") == "datum" for one in held)),
    ):
        if not there:
            continue
        draw(drawing, x, y)
        drawing.text(x + 3.6, y + 1, said, 2.8, fill=SOFT)
        x += 10 + PROSE * 2.8 * len(said)
    return y + 2


def _ring(drawing: Drawing, x: float, y: float) -> None:
    drawing.circle(x, y, 1.3, fill=PAPER, stroke_width=0.4, data_mark="original")


def _diamond(drawing: Drawing, x: float, y: float) -> None:
    places = [(x, y - 1.5), (x + 1.5, y), (x, y + 1.5), (x - 1.5, y)]
    drawing.path(places, True, fill=INK, stroke=PAPER, stroke_width=0.2, data_mark="worn")


def _zone_mark(drawing: Drawing, x: float, y: float) -> None:
    drawing.rect(x - 2.4, y - 1.4, 4.8, 2.8, fill=ZONE, stroke=SOFT, stroke_width=0.2)


def _datum_mark(drawing: Drawing, x: float, y: float) -> None:
    drawing.rect(x - 2.4, y - 1.4, 4.8, 2.8, fill=drawing.hatch("datum"), stroke=SOFT, stroke_width=0.2)


def _view(drawing: Drawing, line: Line, sheet: Sheet, way: str, said: str, top: float) -> float:
    """Draw one view: zones, axes, centres; return where it ends."""
    places = [end for one in line["stations"] for end in ends(one)]
    span = min(places), max(places)
    low, high = spread_of(line, way, span)
    zero = top + 3 + sheet.rise(high)
    bottom = zero - sheet.rise(low) + 3
    drawing.group(f"view-{way}")
    drawing.text(LEFT, top - 2, f"{way}: {said}, mm", 2.8, font_weight="bold")
    drawing.rect(LEFT - 3, top, WIDE + 6, bottom - top, fill="none", stroke=HAIR, stroke_width=0.3)
    for at in ticks(low, high, 5 if bottom - top > 16 else 2):  # noqa: PLR2004  # room for five numbers [mm]
        y = zero - sheet.rise(at)
        drawing.line(LEFT - 4.2, y, LEFT - 3, y)
        drawing.text(LEFT - 5, y + 0.9, number(at, 2).replace("-", "−"), 2.4, text_anchor="end")
    drawing.line(LEFT - 3, zero, LEFT + WIDE + 3, zero, stroke=SOFT, stroke_width=0.2)
    for one in line["stations"]:
        _zone(drawing, one, sheet, way, zero)
    _axes(drawing, line, sheet, way, zero, span)
    for one in line["stations"]:
        for kind, mark in (("original", _ring), ("worn", _diamond)):
            off = by_key(one).get(f"{kind}_{way}_mm")
            if off is not None and not (kind == "worn" and one.get("kind") == "datum"):
                mark(drawing, sheet.x(middle(one)), zero - sheet.rise(off))
    return bottom


def _zone(drawing: Drawing, one: Station, sheet: Sheet, way: str, zero: float) -> None:
    """Draw the tolerance zone about an original centre; a datum's hatched, at least a strip."""
    at, tolerance = by_key(one).get(f"original_{way}_mm"), one.get("position_tolerance_mm")
    datum = one.get("kind") == "datum"
    if at is None or not (tolerance or datum):
        return
    begin, end = (sheet.x(place) for place in ends(one))
    high = max(sheet.rise(tolerance or 0.0), 1.6 if datum else 0.0)
    paint = drawing.hatch("datum") if datum else ZONE
    drawing.rect(
        begin, zero - sheet.rise(at) - high / 2, max(end - begin, 0.8), high,
        fill=paint, stroke=SOFT, stroke_width=0.2, data_zone=name_of(one),
    )  # fmt: skip


def _axes(drawing: Drawing, line: Line, sheet: Sheet, way: str, zero: float, span: tuple[float, float]) -> None:
    """Draw the axes with a label at the end of each, the chosen one uppermost."""
    held = [(n, axis) for n, axis in enumerate(line.get("axes") or []) if by_key(axis).get(f"{way}_mm") is not None]
    held.sort(key=lambda one: one[1].get("choice") == line.get("chosen"))
    last = [zero - sheet.rise(axis_offset(axis, way, span[1]) or 0.0) for _, axis in held]
    for (n, axis), end, label in zip(held, last, apart(last, 3.8), strict=True):
        look = choice_look(line, n)
        begin = zero - sheet.rise(axis_offset(axis, way, span[0]) or 0.0)
        name = str(axis.get("choice", ""))
        drawing.line(LEFT, begin, LEFT + WIDE, end, data_axis=name, **look)
        drawing.line(LEFT + WIDE + 0.6, end, LEFT + WIDE + 5, label, stroke=SOFT, stroke_width=0.2)
        weight = {"font_weight": "bold"} if name == line.get("chosen") else {}
        room = WIDTH - MARGIN - (LEFT + WIDE + 6)
        drawing.text(LEFT + WIDE + 6, label + 0.9, cut(name, room, 2.4), 2.6, fill=str(look["stroke"]), **weight)


def _positions(drawing: Drawing, line: Line, sheet: Sheet, y: float) -> None:
    """Draw the positions along the line below the last view."""
    places = [end for one in line["stations"] for end in ends(one)]
    drawing.group("positions", text_anchor="middle")
    for at in ticks(min(places), max(places), 8):
        x = sheet.x(at)
        drawing.line(x, y, x, y + 1.2)
        drawing.text(x, y + 4.2, f"{at:g}".replace("-", "−"), 2.6)
    drawing.text(LEFT + WIDE / 2, y + 8.6, "position along the line, mm", 2.8, fill=SOFT)


def _remarks(line: Line) -> list[str]:
    said = ["Offsets count from the wire or bar, seen from the drive side: x to 3 o'clock, y to 12 o'clock."]
    if any(one.get("worn_x_mm") is not None for one in line["stations"]):
        said.append(
            "The middle of the readings is their mean: deep wear on one side moves it less than the hole's centre."
        )
    for axis in line.get("axes") or []:
        if field(axis, "feasible") is False:
            reasons = "; ".join(map(str, axis.get("reasons") or [])) or "no reason given"
            said.append(f"Not allowed: {axis.get('choice', 'an axis')}: {reasons}.")
    if not line.get("axes"):
        said.append("There are no axes to choose from; none is drawn.")
    if not any(one.get("position_tolerance_mm") for one in line["stations"]):
        said.append("No position tolerance is given; no zones are drawn.")
    return said
