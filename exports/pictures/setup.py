"""How a line is set up, from the side: bosses to scale, gaps, bearings, bar, clear room, spans and torch side."""

from itertools import pairwise

from estimator.estimate import Estimate
from exports.format import by_key, number
from exports.pictures.paper import MARGIN, WIDTH, cut, ems, head, notes
from exports.pictures.setup_parts import Setup, View, bearings, ends, view_of
from exports.pictures.svg import HAIR, INK, SOFT, Drawing

__all__ = ["setup_of_line"]

STEEL, BAR, BEARING = "#dfe4e9", "#8b96a1", "#1d5a8a"
WALL = 3.0  # thickness of a closed end as drawn [mm on paper]
HALF = 2.2  # half the width of a bearing as drawn [mm on paper]
DRIVE = 12.0  # length of the drive as drawn [mm on paper]
ROW = 5.4  # height of a row of dimensions [mm on paper]
TYPE, SMALL = 2.6, 2.4
ROOMS = (("clear_machine_mm", 0, -1.0), ("clear_far_mm", 1, 1.0))


def setup_of_line(line: Setup, estimate: Estimate) -> str:
    """Return the side view of a line of the estimate document, as SVG; the machine's side is on the left."""
    view, mounts = view_of(line), line.bores[0]["setup"]["mounts"]
    title, about = f"Set-up of line {line.name}", str(estimate.get("reference", ""))
    scale = f"Bosses to scale, 1 : {number(1 / view.scale, 1)}. Bearings, drive and bar: symbols, not to scale. In mm."
    key = f"{len(bearings(line.bores))} bearings, mounts {mounts}; {_bar(line)}."
    drawing = Drawing(WIDTH, title, f"{title}, {about}. {key} {scale}")
    y = head(drawing, title, ", ".join(part for part in (about, scale) if part), key)
    half = view.scale * max(bore["given"]["outside_diameter_mm"] for bore in line.bores) / 2
    axis = y + 8 + half
    _bosses(drawing, line, view, axis, half)
    _held(drawing, line, view, axis, half)
    y = _lengths(drawing, line, view, axis + half + 7)
    y = _rooms(drawing, line, view, y)
    y = _spans(drawing, line, view, y + 2)
    said = dict.fromkeys(f"{bore['name']}: {one}" for bore in line.bores for one in bore["setup"]["notes"])
    return drawing.finish(notes(drawing, y + 2, list(said)))


def _bar(line: Setup) -> str:
    free = [bore["name"] for bore in line.bores if bore["setup"]["bar"] == "overhung"]
    return f"the bar is overhung in {', '.join(free)}" if free else "the bar stands between bearings in every bore"


def _bosses(drawing: Drawing, line: Setup, view: View, axis: float, half: float) -> None:
    """Draw the walls of every bore above and below it, undamaged bores hatched, closed ends hatched."""
    drawing.group("bosses", text_anchor="middle")
    for bore in line.bores:
        (start, end), given = map(view.x, ends(bore)), bore["given"]
        outer, inner = (view.scale * given[key] / 2 for key in ("outside_diameter_mm", "nominal_diameter_mm"))
        for top in (axis - outer, axis + inner):
            drawing.rect(start, top, end - start, outer - inner, fill=STEEL, stroke=INK, stroke_width=0.3)
        if given.get("part_of") is None:
            drawing.text((start + end) / 2, axis - half - 2, cut(bore["name"], 24, 3), 3, font_weight="bold")
    drawing.group("datums")
    for name, start, end in line.datums:
        middle = view.x((start + end) / 2)
        drawing.text(middle, axis - half - 2, cut(name, 22, SMALL), SMALL, fill=SOFT, text_anchor="middle")
        wide, tall = view.scale * (end - start), half * 0.6
        for top in (axis - half, axis + half - tall):
            drawing.rect(view.x(start), top, wide, tall, fill=drawing.hatch("datum"), stroke=SOFT, stroke_width=0.3)
    drawing.group("blind")
    for bore in (one for one in line.bores if one["setup"]["blind"]):
        outer = view.scale * bore["given"]["outside_diameter_mm"] / 2
        paint = drawing.hatch("unmeasured")
        drawing.rect(view.x(ends(bore)[1]), axis - outer, WALL, 2 * outer, fill=paint, stroke=INK, stroke_width=0.3)


def _held(drawing: Drawing, line: Setup, view: View, axis: float, half: float) -> None:
    """Draw drive, bar and bearings, and name the sides."""
    places = [view.x(place) for place in bearings(line.bores)]
    inner = view.scale * min(bore["given"]["nominal_diameter_mm"] for bore in line.bores) / 2
    thick = min(2.4, inner)
    last = max([places[-1] + HALF, *(view.x(ends(bore)[1]) for bore in line.bores)])
    begin = places[0] - HALF - 1
    drawing.group("bar")
    drawing.rect(begin - 1, axis - thick / 2, last - begin + 1, thick, fill=BAR, stroke=INK, stroke_width=0.2)
    drawing.rect(begin - DRIVE, axis - 4, DRIVE, 8, fill=STEEL, stroke=INK, stroke_width=0.4)
    drawing.text(begin - DRIVE / 2, axis + 1, "drive", TYPE, text_anchor="middle")
    drawing.group("bearings")
    high = max(3.0, inner * 0.9)
    for x in places:
        drawing.rect(x - HALF, axis - high, 2 * HALF, 2 * high, fill="none", stroke=BEARING, stroke_width=0.5)
        drawing.line(x - HALF, axis - high, x + HALF, axis + high, stroke=BEARING, stroke_width=0.3)
        drawing.line(x - HALF, axis + high, x + HALF, axis - high, stroke=BEARING, stroke_width=0.3)
    drawing.group("sides")
    drawing.text(MARGIN, axis - half - 2, "drive side", TYPE, fill=SOFT)
    drawing.text(WIDTH - MARGIN, axis - half - 2, "far side", TYPE, fill=SOFT, text_anchor="end")


def _dimension(drawing: Drawing, begin: float, end: float, y: float, said: str, colour: str = INK) -> None:
    """Draw a dimension line with its number, or without it where it does not fit."""
    drawing.line(begin, y, end, y, stroke=colour, stroke_width=0.25)
    for x in (begin, end):
        drawing.line(x, y - 1.1, x, y + 1.1, stroke=colour, stroke_width=0.25)
    if TYPE * ems(said) <= abs(end - begin):
        drawing.text((begin + end) / 2, y - 0.8, said, TYPE, fill=colour, text_anchor="middle")


def _lengths(drawing: Drawing, line: Setup, view: View, y: float) -> float:
    """Draw lengths of bores and gaps between them; return where the row ends."""
    drawing.group("lengths")
    faces = sorted([*map(ends, line.bores), *((start, end) for _, start, end in line.datums)])
    for start, end in faces:
        _dimension(drawing, view.x(start), view.x(end), y, number(end - start, 0))
    for (_, end), (start, _) in pairwise(faces):
        if start > end:
            _dimension(drawing, view.x(end), view.x(start), y, number(start - end, 0), SOFT)
    return y + ROW


def _rooms(drawing: Drawing, line: Setup, view: View, y: float) -> float:
    """Draw the clear room in front of each face that was given, cut off at the sheet's edge; return where they end."""
    drawing.group("rooms")
    for bore in (one for one in line.bores if one["given"].get("part_of") is None):
        boss = [bore, *(one for one in line.bores if one["given"].get("part_of") == bore["name"])]
        faces = min(ends(one)[0] for one in boss), max(ends(one)[1] for one in boss)
        for key, side, way in ROOMS:
            room = by_key(bore["setup"])[key]
            if room is None:
                continue
            face = view.x(faces[side])
            end = face + way * view.scale * room
            seen = min(max(end, MARGIN), WIDTH - MARGIN)
            drawing.line(face, y, seen, y, stroke_width=0.25)
            for x in dict.fromkeys((face, *([end] if seen == end else []))):  # no mark where the sheet cuts it off
                drawing.line(x, y - 1.1, x, y + 1.1, stroke_width=0.25)
            said = f"{bore['name']}: {number(room, 0)} clear"
            drawing.text(face - way * 1.5, y + 0.9, said, TYPE, text_anchor="start" if way < 0 else "end")
            y += ROW
    return y


def _spans(drawing: Drawing, line: Setup, view: View, y: float) -> float:
    """Draw for each bore how far the insert stands from its bearings, and the torch's side; return where they end."""
    drawing.group("spans")
    for bore in line.bores:
        setup = bore["setup"]
        tip = view.x(setup["insert_mm"])
        drawing.line(MARGIN, y - 3.6, WIDTH - MARGIN, y - 3.6, stroke=HAIR, stroke_width=0.2)
        drawing.text(MARGIN, y + 0.9, cut(bore["name"], 18, TYPE), TYPE, font_weight="bold")
        for span, way in ((setup["span_before_mm"], -1.0), (setup["span_after_mm"], 1.0)):
            if span is not None:
                end = view.x(setup["insert_mm"] + way * span)
                _dimension(drawing, tip, end, y, number(span, 0), BEARING)
        drawing.circle(tip, y, 0.8, fill=INK)
        far = setup["torch_side"] == "far"
        torch = f"torch, {'far' if far else 'drive'} side: {number(setup['reach_mm'], 0)}"
        drawing.text(WIDTH - MARGIN, y + 0.9, cut(torch, 37, SMALL), SMALL, text_anchor="end")
        y += ROW + 0.8
    return y
