"""The numbers of a line below its views: one row a station, one row an axis to choose from."""

from collections.abc import Sequence

from estimator.document.lines import Line
from exports.format import bare, by_key, number, perhaps
from exports.pictures.line_parts import choice_look, name_of
from exports.pictures.paper import MARGIN, cut
from exports.pictures.svg import HAIR, INK, SOFT, Drawing

__all__ = ["choices", "stations"]

RIGHT, ROW, SIZE = 174.0, 4.6, 2.6
NAME = 47.0  # width of the column of names [mm]
NONE = "–"


def stations(drawing: Drawing, line: Line, y: float) -> float:
    """Draw one row a station: where it lies, its centres, what the chosen axis asks of it; return where it ends."""
    chosen = [axis for axis in line.get("axes") or [] if axis["choice"] == line.get("chosen")]
    asked = [one for axis in chosen for one in axis["bores"]]
    by_name = {one["name"]: one for one in asked}
    heads = ["position", "original x, y", "read x, y", "axis x, y", "shift", "clean-up Ø"]
    rows = []
    for count, one in enumerate(line["stations"], 1):
        datum = one.get("kind") == "datum"
        name = name_of(one)
        to = by_key({} if datum else by_name.get(name, {}))
        cells = [
            _at(one.get("position_mm"), 1),
            _pair(one.get("original_x_mm"), one.get("original_y_mm")),
            NONE if datum else _pair(one.get("worn_x_mm"), one.get("worn_y_mm")),
            _pair(to.get("x_mm"), to.get("y_mm")),
            _at(to.get("shift_mm"), 2),
            NONE if to.get("cleanup_mm") is None else bare("cleanup_mm", to["cleanup_mm"], "metric"),
        ]
        rows.append((f"{count}", f"{name}{' (datum)' if datum else ''}", cells))
    drawing.group("stations")
    return _table(drawing, y, f"Stations, mm; axis: {line.get('chosen') or 'none chosen'}", heads, rows, 6.0)


def choices(drawing: Drawing, line: Line, y: float) -> float:
    """Draw one row an axis: whether it may be taken, weld metal, where it runs; return where it ends."""
    axes = line.get("axes") or []
    if not axes:
        return y
    rows = []
    for axis in axes:
        volume = perhaps(axis.get("required_volume_mm3"))
        cells = [
            {True: "yes", False: "no"}.get(axis.get("feasible"), NONE),
            NONE if volume is None else number(volume / 1000, 1),
            _pair(axis.get("x_mm"), axis.get("y_mm")),
            _pair(axis.get("tilt_x_mm_m"), axis.get("tilt_y_mm_m")),
        ]
        mark = " (chosen)" if axis.get("choice") == line.get("chosen") else ""
        rows.append(("", f"{axis.get('choice', '')}{mark}", cells))
    heads = ["keeps the rules", "weld metal, cm³", "x, y at 0, mm", "tilt x, y, mm/m"]
    drawing.group("choices")
    for count in range(len(axes)):
        at = y + 4.6 + ROW * (count + 1) - 1
        drawing.line(MARGIN, at, MARGIN + 9, at, **choice_look(line, count))
    return _table(drawing, y, "Axes to choose from", heads, rows, 11.0)


def _at(value: float | None, places: int) -> str:
    return NONE if value is None else number(value, places).replace("-", "−")


def _pair(x: float | None, y: float | None) -> str:
    return NONE if x is None and y is None else f"{_at(x, 2)}, {_at(y, 2)}"


def _table(
    drawing: Drawing,
    y: float,
    title: str,
    heads: Sequence[str],
    rows: Sequence[tuple[str, str, list[str]]],
    indent: float,
) -> float:
    """Draw a table: a number, a name, figures to the right of their columns; return where it ends."""
    y += 4
    wide = (RIGHT - MARGIN - NAME) / len(heads)
    drawing.text(MARGIN, y, cut(title, NAME + 8, 2.4), SIZE, font_weight="bold")
    for column, said in enumerate(heads, 1):
        drawing.text(MARGIN + NAME + column * wide, y, said, SIZE, fill=SOFT, text_anchor="end")
    drawing.line(MARGIN, y + 1.4, RIGHT, y + 1.4, stroke=INK, stroke_width=0.3)
    y += 0.6
    for lead, name, cells in rows:
        y += ROW
        if lead:
            drawing.text(MARGIN, y, lead, SIZE, font_weight="bold")
        drawing.text(MARGIN + indent, y, cut(name, NAME - indent, SIZE), SIZE)
        for column, cell in enumerate(cells, 1):
            drawing.text(MARGIN + NAME + column * wide, y, cell, SIZE, text_anchor="end")
        drawing.line(MARGIN, y + 1.3, RIGHT, y + 1.3, stroke=HAIR, stroke_width=0.15)
    return y + 4
