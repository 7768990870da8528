"""The bores as found: wear on clock x depth, how well it is known, circles, features, one-sided ways, lines' axes."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from estimator.beside.ways import Ways
from estimator.document.bore import Bore
from estimator.document.lines import Line
from estimator.document.wear import Fit
from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, blank, heading, money_places, note, text, title
from exports.format import by_key, field, has, shown
from exports.pictures.shades import Band, bands
from exports.pictures.wear import HALF_PLACE, Grid, as_read, clock_said, grid_of, said_depth

__all__ = ["sheet"]

ACROSS = 12  # clock positions side by side; further ones in blocks below
WIDTHS = (26.0, *(9.5,) * ACROSS)
COLUMNS, WIDTH = len(WIDTHS), sum(WIDTHS)
FULL = 360
ABOUT = "wear_about_axis_mm"
ABREAST = 9  # signs of a head beside each other
MOST = 6  # of the places that fix a circle are named
PAGE = 36  # lines of one sheet of paper, below its title
READ = {
    "radius": "radii",
    "diameter": "diameters",
    "three-point": "three-point readings",
    "points": "points of a measuring arm",
}

Field = tuple[str, str, str]  # head, key, number format
CIRCLES: tuple[Field, ...] = (
    ("Diameter [mm]", "diameter_mm", "0.000"),
    ("Centre from zero [mm]", "offset_mm", "0.000"),
    ("Towards [°]", "clock_offset", "0"),
    ("Out of round [mm]", "out_of_round_mm", "0.000"),
    ("Tilt [mm/m]", "tilt_mm_m", "0.00"),
)
FEATURES: tuple[Field, ...] = (
    ("Laid [kg]", "fill_mass_kg", "0.000"),
    ("Arc [min]", "arc_time_min", "0.0"),
    ("Grinding [min]", "grinding_min", "0.0"),
    ("Time [min]", "time_min", "0.0"),
)
WAYS: tuple[Field, ...] = (
    ("Bore to [mm]", "cleanup_mm", "0.00"),
    ("Laid [kg]", "deposit_mass_kg", "0.000"),
    ("Starts", "starts", "0"),
    ("Good metal kept [mm³]", "good_metal_kept_mm3", "#,##0"),
    ("On site, change [min]", "on_site_more_min", "0"),
)
AXES: tuple[Field, ...] = (
    ("Weld metal [mm³]", "required_volume_mm3", "#,##0"),
    ("Across at 0 [mm]", "x_mm", "0.00"),
    ("Up at 0 [mm]", "y_mm", "0.00"),
    ("Tilt across [mm/m]", "tilt_x_mm_m", "0.00"),
    ("Tilt up [mm/m]", "tilt_y_mm_m", "0.00"),
)
STATIONS: tuple[Field, ...] = (
    ("Position [mm]", "position_mm", "0.0"),
    ("Original, across [mm]", "original_x_mm", "0.00"),
    ("Original, up [mm]", "original_y_mm", "0.00"),
    ("Readings, across [mm]", "worn_x_mm", "0.00"),
    ("Readings, up [mm]", "worn_y_mm", "0.00"),
    ("Axis, across [mm]", "x_mm", "0.00"),
    ("Axis, up [mm]", "y_mm", "0.00"),
    ("Axis from original [mm]", "shift_mm", "0.00"),
    ("Bore to [mm]", "cleanup_mm", "0.00"),
    ("Wear a side [mm]", ABOUT, "0.00"),
)


def _said(words: str, look: str = "text") -> Row:
    return text(words, COLUMNS, WIDTH, look)


def _heads(first: str, fields: Sequence[Field], *more: str) -> Row:
    """Return the header of a table, each name set as the figures or words below it."""
    names = [name for name, _, _ in fields]
    tall = max(-(-len(name) // ABREAST) for name in [*names, *more])
    cells = (Cell(name, "over" if form else "beside") for name, _, form in fields)
    return Row((Cell(first, "head"), *cells, *(Cell(name, "beside") for name in more)), lines=tall)


def _figures(first: str, held: Mapping[str, Any], fields: Sequence[Field], *more: Cell) -> Row:
    """Return a row of figures; what the document does not have stays empty."""
    return Row((Cell(first), *(_number(held.get(key), form) for _, key, form in fields), *more))


def _number(value: float | None, form: str, fill: str | None = None) -> Cell:
    """Return a cell of a number, never printed as a zero with a minus."""
    places = len(form.partition(".")[2])
    return Cell(0.0 if value is not None and round(value, places) == 0 else value, form=form, fill=fill)


# ---------------------------------------------------------------- wear by clock and depth


def _map(name: str, grid: Grid) -> list[list[Row]]:
    """Return wear a side in blocks of clock positions, a row a depth, the deeper the darker; the shades before all."""
    scale = bands(max((place.wear for place in grid.measured()), default=0.0))
    steps = (Cell(f"to {band.high:g}", fill=band.colour) for band in scale)
    rows, blocks = [Row((Cell(f"Shades, {grid.what} [mm]", "label"), *steps)), blank()], list[list[Row]]()
    for start in range(0, len(grid.clock), ACROSS):
        block = range(start, min(start + ACROSS, len(grid.clock)))
        clock = (Cell(f"{round(grid.clock[column], 2):g}°", "over") for column in block)
        rows.append(Row((Cell(f"Bore {name}", "head"), *clock)))
        for depth, cells in zip(grid.depth, grid.cells, strict=True):
            shaded = (_shaded(cells[column], scale) for column in block)
            rows.append(Row((Cell(f"{said_depth(depth)} mm deep", "label"), *shaded)))
        blocks.append([*rows, blank()])
        rows = []
    return blocks


def _shaded(wear: float | None, scale: Sequence[Band]) -> Cell:
    """Return a cell of the map: its wear upon the shade of its band; bare where it is under nominal."""
    if wear is None:
        return Cell("not read", "faint")
    band = next((band for band in scale if wear <= band.high), scale[-1])
    return _number(wear, "0.00", None if wear < -HALF_PLACE else band.colour)


def _wear(bore: Bore, grid: Grid | None) -> list[Row]:
    """Return how deep a bore is worn and where, how well that is known, what the gauge cannot see."""
    wear, said = bore["wear"], list[str]()
    if not has(wear, "clock_map"):
        said.append("Where the wear lies is not known.")
    elif grid is None:
        largest = shown("largest_diameter_mm", wear["largest_diameter_mm"], "metric")
        said.append(f"Largest diameter {largest}; where the wear lies, at what depth, is not known.")
    elif places := grid.deepest():
        deep, at = shown("wear_mm", places[0].wear, "metric"), clock_said(grid.clock[places[0].column], grid.turn)
        what = f"Diameter {deep} beyond nominal" if grid.share > 1 else f"Deepest wear {deep} a side"
        said.append(f"{what} at {at}, {said_depth(grid.depth[places[0].row])} mm deep.")
        if grid.share > 1:
            side = shown("max_radial_wear_mm", wear["max_radial_wear_mm"], "metric")
            said.append(f"Taken as {field(bore, 'given', 'wear')} wear, as stated: {side} a side.")
    if grid is not None and grid.turn < FULL:
        said.append(f"The gauge repeats every {grid.turn:g}°: each number stands for all places it touches.")
    axis = field(bore, "sizes", "clock_axis")
    if axis is not None:
        across, up = (shown(key, axis[key], "metric") for key in ("x_mm", "y_mm"))
        deep = field(wear, ABOUT)
        said.append(f"Wear is counted from the zero of the readings; the line's axis lies {across} across, {up} up.")
        if deep is not None:
            said.append(f"From the line's axis the wear is up to {shown(ABOUT, deep, 'metric')} a side.")
        said.append("The clean-up bore is cut about that axis.")
    if has(wear, "radial_wear_uncertainty_mm"):
        known = shown("radial_wear_uncertainty_mm", wear["radial_wear_uncertainty_mm"], "metric")
        said.append(f"Wear a side known to ±{known} (k = 2), gauge only.")
    return [
        *(_said(one) for one in said),
        *(_said(f"Measurement limit: {risk}", "note") for risk in wear.get("risks", [])),
    ]


def _fits(bore: Bore) -> list[Row]:
    """Return the reference circles of each section and the cylinders of the bore."""
    wear = bore["wear"]
    held = [(said_depth(one["depth_mm"]), fit) for one in wear.get("clock_sections", []) for fit in one["circles"]]
    held += [("whole bore", fit) for fit in wear.get("clock_cylinders", [])]
    if not held:
        return []
    rows = [_heads(f"Bore {bore['name']}, circles", (("Depth [mm]", "", ""), *CIRCLES), "Fixed by the readings at")]
    for depth, fit in held:
        towards = round(fit["clock_offset"]) % FULL
        row = _figures(fit["name"], {**fit, "clock_offset": towards}, CIRCLES, Cell(_fixed(fit)))
        rows.append(Row((row.cells[0], Cell(depth), *row.cells[1:])))
    return [*rows, blank()]


def _fixed(fit: Fit) -> str:
    """Return the readings that fix a circle or cylinder, on the clock and, of a cylinder, by depth."""
    clock, depths = fit.get("clock_deciding", []), fit.get("clock_deciding_depths_mm")
    places = [f"{at:.0f}°" for at in clock[:MOST]]
    if depths:
        places = [f"{at} at {said_depth(depth)}" for at, depth in zip(places, depths, strict=False)]
    return ", ".join(places) + (f" and {len(clock) - MOST} more" if len(clock) > MOST else "")


def _features(bore: Bore) -> list[Row]:
    """Return what a bore has besides a cylinder and what each takes."""
    found = bore.get("features", [])
    if not found:
        return []
    rows = [_heads(f"Bore {bore['name']}: features besides the bore", FEATURES)]
    rows += [_figures(one["name"], by_key(one), FEATURES) for one in found]
    return [*rows, *(_said(f"{one['name']}: {one['text']}", "note") for one in found), blank()]


def _bore(bore: Bore) -> list[list[Row]]:
    """Return the parts of a bore that are to stay on one page each."""
    grid, name = grid_of(bore), bore["name"]
    grid = as_read(grid) if grid else None
    read = READ.get(grid.kind, grid.kind) if grid else field(bore, "wear", "clock_map", "of")
    rows = [heading(f"Bore {name}: {grid.what if grid else 'wear'} [mm]" + (f", from {read}" if read else ""), COLUMNS)]
    rows += [*_wear(bore, grid), blank()]
    first, *others = _map(name, grid) if grid else [[]]
    return [part for part in (rows + first, *others, _fits(bore), _features(bore)) if part]


# ---------------------------------------------------------------- one-sided ways, lines


def _ways(one: Ways, currency: str) -> list[Row]:
    """Return the ways of building up a bore that is worn on one side, the advised one named."""
    worn = f"worn from {one['clock_from']:.0f}° to {one['clock_to']:.0f}°"
    rows = [heading(f"Bore {one['bore']}: build up only where worn? {worn.capitalize()}", COLUMNS)]
    rows.append(_heads("Way", WAYS, f"Price, change [{currency}]", "Possible"))
    for way in one["options"]:
        able = way["feasible"]
        price = way.get("price_more") if able else None
        more = Cell() if price is None else Cell(float(price), form=money_places(price))
        rows.append(_figures(way["way"], by_key(way) if able else {}, WAYS, more, Cell("yes" if able else "no")))
    rows += [_said(f"{way['way']}: {reason}", "note") for way in one["options"] for reason in way["reasons"]]
    return [*rows, _said(f"Advised: {one['advised']}; {one['why']}."), blank()]


def _line(line: Line, bores: list[Bore]) -> list[Row]:
    """Return the axes of a line to choose from, and what the chosen one asks of each bore."""
    axes, chosen = line["axes"], line.get("chosen")
    rows = [heading(f"Line {line['name']}: bore axis", COLUMNS), _heads("Axis", AXES, "Keeps the rules")]
    for axis in axes:
        name = axis["choice"] + (" (chosen)" if axis["choice"] == chosen else "")
        rows.append(_figures(name, by_key(axis), AXES, Cell("yes" if axis["feasible"] else "no")))
    rows += [_said(f"{axis['choice']}: {reason}", "note") for axis in axes for reason in axis["reasons"]]
    if saves := line.get("saves"):
        mass = shown("deposit_mass_kg", saves["deposit_mass_kg"], "metric")
        rows.append(_said(f"Saves {mass} of weld metal against: {saves['against']}."))
    asked = {one["name"]: one for axis in axes if axis["choice"] == chosen for one in axis["bores"]}
    about = {one["name"]: {ABOUT: one["wear"].get(ABOUT)} for one in bores}
    rows += [blank(), _heads("Along the line", STATIONS)]
    for one in sorted(line.get("stations", []), key=lambda station: float(station["position_mm"])):
        name = one["name"] + (" (datum)" if one["kind"] == "datum" else "")
        rows.append(_figures(name, {**one, **asked.get(one["name"], {}), **about.get(one["name"], {})}, STATIONS))
    return [*rows, blank()]


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the bores as found."""
    rows = [title(f"Bores of {estimate['reference']} as found: wear by clock and depth", COLUMNS)]
    clock = "Seen from the drive side: 0° is 12 o'clock, 90° is 3 o'clock; across is towards 3, up towards 12."
    rows.append(note(f"{clock} Depth counts from that side. No shade: under nominal.", COLUMNS, WIDTH))
    frozen = len(rows)
    rows.append(blank())
    currency = field(estimate, "price", "currency") or ""
    parts = [part for bore in estimate["bores"] for part in _bore(bore)]
    parts += [_ways(one, currency) for one in estimate.get("ways", [])]
    parts += [_line(line, estimate["bores"]) for line in estimate.get("lines", [])]
    return Sheet("As found", WIDTHS, tuple(rows + _paged(parts)), frozen, wide=True)


def _paged(parts: Sequence[list[Row]]) -> list[Row]:
    """Return all parts one below the other, each begun on a new page where it no longer fits on the last."""
    rows, used = list[Row](), 0
    for part in parts:
        tall = sum(row.lines for row in part)
        breaks = used > 0 and used + tall > PAGE
        used = (0 if breaks else used) + tall
        rows += [replace(part[0], breaks=breaks), *part[1:]]
    return rows
