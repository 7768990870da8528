"""One section of a bore: nominal, worn, clean-up and weld circles, their distances drawn larger than they are."""

import math
from typing import NamedTuple

from estimator.document.bore import Bore
from estimator.document.wear import Fit
from exports.format import bare, field, shown
from exports.pictures.paper import WIDTH, asked, head, notes, round_factor
from exports.pictures.section_parts import Axis, Look, Scale, centres, clock_marks, labels, place_said, readings
from exports.pictures.svg import INK, Drawing
from exports.pictures.wear import HALF_PLACE, Grid, clock_said, grid_of, said_depth, said_mm

__all__ = ["section"]

CENTRE = 68.0  # where the axis stands across the sheet [mm]
NOMINAL, OUTWARD, INWARD = 38.0, 18.0, 18.0  # radius of the nominal circle, room beyond it and within it [mm on paper]
STEP = 3  # the worn line is drawn from so many degrees to so many

LOOKS = {
    "clean-up": Look("#1d5a8a", "4.2 1.5", 0.5, 30),
    "worn": Look("#9a3b1b", "", 0.8, 52),
    "nominal": Look(INK, "7 1.2 0.9 1.2", 0.35, 74),
    "weld": Look("#5a2d73", "1 1.1", 0.6, 110),
}


class _Outline(NamedTuple):
    """The worn line at one depth: wear by clock, and what is said of it. [mm, degrees]"""

    clock: list[float]
    wear: list[float | None]
    turn: float
    grid: Grid | None
    remarks: list[str]


def section(bore: Bore, depth_index: int | None = None) -> str:
    """Return one section of a bore of the estimate document, as SVG; the one of deepest wear if none is named.

    `depth_index` counts the stations of the wear map by growing depth; an `IndexError` is raised where there is none.
    Distances from the nominal circle are drawn larger by a round factor, which the drawing states. Where the document
    has one worst diameter only, the worn line is a circle and the drawing says so.
    Nominal and worn lie about the readings' zero; clean-up and weld about the axis of the line, where that lies beside.
    """
    nominal = field(bore, "given", "nominal_diameter_mm")
    name = f"Section of bore {bore.get('name', '')}"
    if nominal is None:
        why = "No section: the nominal diameter is not given."
        drawing = Drawing(WIDTH, name, why)
        return drawing.finish(head(drawing, name, "", why) + 4)
    grid = grid_of(bore)
    row = _row(grid, depth_index)
    worn = _worn(bore, grid, row, nominal)
    where = f"{said_depth(grid.depth[row])} mm deep" if grid else "depth not known"
    sizes, axis = _sizes(bore), _axis(bore)
    ends = [size / 2 + off - nominal / 2 for size in sizes.values() for off in (axis.away, -axis.away)]
    scale = _scale(nominal, [*ends, *(w for w in worn.wear if w is not None)])
    title = f"{name}, {where}"
    keys = (_deepest(worn, row), *_beside(axis), _magnified(scale.factor))
    drawing = Drawing(WIDTH, title, f"{title}; {asked(bore)}. {' '.join(keys)}")
    top = head(drawing, title, asked(bore), *keys)
    scale = scale.at(CENTRE, top + 9 + scale.outer)
    _draw(drawing, scale, worn, {"nominal": nominal, **sizes}, axis)
    list_end = centres(drawing, scale, _circles(bore, grid, row), axis, top + 4)
    low = max(scale.y + scale.outer + 12, list_end)
    return drawing.finish(notes(drawing, low, _remarks(bore, worn, sizes)))


def _row(grid: Grid | None, depth_index: int | None) -> int:
    if grid is None:
        return 0
    if depth_index is not None:
        return range(len(grid.depth))[depth_index]
    return grid.deepest()[0].row if grid.measured() else 0


def _worn(bore: Bore, grid: Grid | None, row: int, nominal: float) -> _Outline:
    """Return the worn line of a section; a circle of the largest diameter where the document has no map."""
    if grid is not None:
        said = [
            "Worn line: straight between readings on the clock."
            + (" No line where nothing was measured." if None in grid.cells[row] else "")
        ]
        if grid.turn < 360:  # noqa: PLR2004  # the full clock
            said.append(
                f"Read with a gauge that repeats every {grid.turn:g}°: the drawing repeats with it (open marks)."
            )
        return _Outline(grid.clock, grid.cells[row], grid.turn, grid, said)
    largest = field(bore, "wear", "largest_diameter_mm")
    if largest is None:
        return _Outline([0.0], [None], 360.0, None, ["The wear is not known; no worn line is drawn."])
    said = [
        "One worst diameter only: the worn line is a circle of it. Where the wear lies, at what depth, is not known."
    ]
    return _Outline([0.0], [(largest - nominal) / 2], 360.0, None, said)


def _sizes(bore: Bore) -> dict[str, float]:
    """Return the diameters to work to, as far as the document has them. [mm]"""
    found = {"clean-up": field(bore, "sizes", "cleanup_mm"), "weld": field(bore, "sizes", "weld_mm")}
    return {name: size for name, size in found.items() if size is not None}


def _axis(bore: Bore) -> Axis:
    """Return where the axis of the line lies beside the readings' zero; upon it where the document says nothing."""
    held = field(bore, "sizes", "clock_axis") or {}
    return Axis(held.get("x_mm") or 0.0, held.get("y_mm") or 0.0)


def _beside(axis: Axis) -> list[str]:
    """Say where the axis of the line lies, and which circles are about it."""
    if not axis.away:
        return []
    return [f"Clean-up and weld circles lie about the line's axis (×): {place_said(axis)}."]


def _scale(nominal: float, beyond: list[float]) -> Scale:
    """Return how large the section is drawn: the largest round factor that keeps every line on the sheet."""
    out, within = max([*beyond, 0.0]), -min([*beyond, 0.0])
    paper = min(NOMINAL / (nominal / 2), (NOMINAL + OUTWARD) / (nominal / 2 + out))
    room = min(
        OUTWARD / (paper * out) if out > 0 else math.inf,
        INWARD / (paper * within) if within > 0 else math.inf,
    )
    factor = round_factor(min(room, 50.0))
    radius = paper * nominal / 2
    return Scale(nominal / 2, paper, factor, radius + paper * factor * out, radius - paper * factor * within)


def _deepest(worn: _Outline, row: int) -> str:
    known = [(wear, at) for wear, at in zip(worn.wear, worn.clock, strict=True) if wear is not None]
    if not known:
        return "No wear was measured here."
    wear, at = max(known, key=lambda one: (one[0], -one[1]))
    if worn.grid is None:
        return f"Worst diameter {said_mm(2 * wear)} mm beyond nominal."
    if wear < HALF_PLACE:
        return "No wear here: no place is beyond nominal."
    where = "of the bore" if any(place.row == row for place in worn.grid.deepest()) else "here"
    share = worn.grid.share
    what = f"Largest diameter {where}: {said_mm(share * wear)} mm beyond nominal"
    what = what if share > 1 else f"Deepest wear {where}: {said_mm(wear)} mm a side"
    return f"{what}, at {clock_said(at, worn.turn)}."


def _magnified(factor: int) -> str:
    if factor == 1:
        return "Nothing is magnified (× 1)."
    return f"Distances from the nominal circle are drawn × {factor}."


def _draw(drawing: Drawing, scale: Scale, worn: _Outline, sizes: dict[str, float], axis: Axis) -> None:
    """Draw the circles, the worn line with its readings, the clock, and a label to each line."""
    clock_marks(drawing, scale)
    drawing.group("circles")
    for name, size in sizes.items():
        if name == "nominal" or not axis.away:
            drawing.circle(scale.x, scale.y, scale.radius(size / 2), data_line=name, **LOOKS[name].stroke())
            continue
        about = [scale.place(at, axis.reach(size / 2, at) - scale.nominal) for at in range(0, 360, STEP)]
        drawing.path(about, True, data_line=name, stroke_linejoin="round", **LOOKS[name].stroke())
    drawing.group("worn")
    for part, closed in _parts(worn):
        places = [scale.place(at, wear) for at, wear in part]
        drawing.path(places, closed, data_line="worn", stroke_linejoin="round", **LOOKS["worn"].stroke())
    if worn.grid is not None:
        readings(drawing, scale, worn.clock, worn.wear, worn.turn)
    _labels(drawing, scale, worn, sizes, axis)


def _labels(drawing: Drawing, scale: Scale, worn: _Outline, sizes: dict[str, float], axis: Axis) -> None:
    """Draw a label to each line; the worn line's where it was measured."""
    about = {name: Axis() if name == "nominal" else axis for name in sizes}
    reach = {name: scale.radius(about[name].reach(size / 2, LOOKS[name].label_at)) for name, size in sizes.items()}
    looks = dict(LOOKS)
    said = {name: f"Ø {bare('cleanup_mm', size, 'metric')} mm" for name, size in sizes.items()}
    known = [wear for wear in worn.wear if wear is not None]
    usual = LOOKS["worn"].label_at
    for angle in sorted(range(20, 130, 4), key=lambda one: abs(one - usual)):
        if (wear := _wear_at(worn, angle)) is not None:
            looks["worn"] = LOOKS["worn"]._replace(label_at=angle)
            reach["worn"] = scale.radius(scale.nominal + wear)
            share = worn.grid.share if worn.grid else 1
            ends = f"{said_mm(share * min(known))} to {said_mm(share * max(known))} mm"
            said["worn"] = ends + (" over Ø" if share > 1 else " a side")
            break
    if worn.grid is None and known:
        said["worn"] = f"Ø {bare('largest_diameter_mm', 2 * (scale.nominal + known[0]), 'metric')} mm"
    labels(drawing, scale, {name: (looks[name], reach[name], said[name]) for name in LOOKS if name in reach})


def _wear_at(worn: _Outline, angle: float) -> float | None:
    """Return the wear at an angle, straight between the readings to either side; None beside a place not measured."""
    here = angle % worn.turn
    after = next((n for n, at in enumerate(worn.clock) if at > here), 0)
    before = after - 1
    low, high = worn.wear[before], worn.wear[after]
    gap = (worn.clock[after] - worn.clock[before]) % worn.turn or worn.turn
    share = ((here - worn.clock[before]) % worn.turn) / gap
    if low is None or high is None:
        return low if share == 0 else None
    return low + (high - low) * share


def _parts(worn: _Outline) -> list[tuple[list[tuple[float, float]], bool]]:
    """Return the worn line as pieces of (angle, wear), broken where nothing was measured; closed where whole."""
    stations = [at + n * worn.turn for n in range(round(360 / worn.turn)) for at in worn.clock]
    angles = sorted({*stations, *(float(at) for at in range(0, 360, STEP))})
    wear = [_wear_at(worn, at) for at in angles]
    if None not in wear:
        return [([(at, w) for at, w in zip(angles, wear, strict=True) if w is not None], True)]
    first = wear.index(None)
    pieces: list[list[tuple[float, float]]] = [[]]
    for at, w in [*zip(angles[first:], wear[first:], strict=True), *zip(angles[:first], wear[:first], strict=True)]:
        if w is None:
            pieces.append([])
        else:
            pieces[-1].append((at, w))
    return [(piece, False) for piece in pieces if len(piece) > 1]


def _circles(bore: Bore, grid: Grid | None, row: int) -> list[Fit]:
    """Return the circles that the document has of this section."""
    depth = grid.depth[row] if grid else None
    for one in field(bore, "wear", "clock_sections") or []:
        if depth is None or math.isclose(one["depth_mm"], depth, abs_tol=1e-6):
            return one.get("circles") or []
    return []


def _remarks(bore: Bore, worn: _Outline, sizes: dict[str, float]) -> list[str]:
    said = list(worn.remarks)
    if len(sizes) < 2:  # noqa: PLR2004  # clean-up and weld
        said.append("A size to work to is missing; its circle is not drawn.")
    deepest, diameters = field(bore, "wear", "max_radial_wear_mm"), worn.grid is None or worn.grid.share > 1
    about = field(bore, "wear", "wear_about_axis_mm")
    if _axis(bore).away:
        known = "" if about is None else f": up to {shown('wear_about_axis_mm', about, 'metric')} a side in this bore"
        said.append(f"Wear is drawn from the zero of the readings. The plan counts it from the line's axis{known}.")
        said.append("The line's axis is drawn where it passes the bore's mid-length.")
    if field(bore, "given", "wear") == "one-sided" and deepest is not None and diameters:
        wear = shown("max_radial_wear_mm", deepest, "metric")
        said.append(f"A diameter is drawn half to each end. Taken as one-sided wear, as stated: up to {wear} a side.")
    return [*said, "Clock as seen from the drive side. All numbers are true sizes; only the drawing is magnified."]
