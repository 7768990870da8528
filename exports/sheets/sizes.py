"""Sizes of each bore: nominal, worn and to be made; its set-up; readings with a chart of them round the clock."""

import math

from estimator.document.bore import Bore
from estimator.estimate import Estimate
from exports.cells import Cell, Chart, Row, Sheet, blank, head, heading, note, plain, title
from exports.format import by_key, field, has

__all__ = ["sheet"]

WIDTHS = (30.0, *(11.0,) * 6)
COLUMNS = len(WIDTHS)
CHART_ROWS = 15
ROOM = 55  # lines on a printed page
WEAR = (
    ("Largest diameter read [mm]", "largest_diameter_mm"),
    ("Smallest diameter read [mm]", "smallest_diameter_mm"),
    ("Mean diameter [mm]", "mean_diameter_mm"),
    ("Deepest wear a side [mm]", "max_radial_wear_mm"),
    ("Out of round [mm]", "out_of_round_mm"),
    ("Taper [mm]", "taper_mm"),
    ("Metal worn away [mm³]", "worn_volume_mm3"),
)
UNMEASURED = ("smallest_diameter_mm", "mean_diameter_mm", "out_of_round_mm", "taper_mm")
SIZES = (
    ("Finish, min [mm]", "finish_min_mm"),
    ("Finish, max [mm]", "finish_max_mm"),
    ("Bore to, clean-up [mm]", "cleanup_mm"),
    ("Weld to [mm]", "weld_mm"),
)
AXES = (("Axis moved, to 3 o'clock [mm]", "x_mm"), ("Axis moved, to 12 o'clock [mm]", "y_mm"))
SETUP = (
    "Bore",
    "Bearings, mounts",
    "Far side",
    "Bearing, drive side [mm]",
    "Bearing, far side [mm]",
    "Torch reach [mm]",
    "Torch from",
)


def _summary(estimate: Estimate) -> list[Row]:
    """Return one row a quantity, one column a bore; further bores below in blocks."""
    rows: list[Row] = []
    bores = estimate["bores"]
    for start in range(0, len(bores), COLUMNS - 1):
        block = bores[start : start + COLUMNS - 1]
        rows.append(head("Bore", *(bore["name"] for bore in block)))
        rows.append(
            plain("Nominal diameter [mm]", *(bore["given"]["nominal_diameter_mm"] for bore in block), form="0.00")
        )
        rows.append(plain("Length [mm]", *(bore["given"]["length_mm"] for bore in block), form="0.0"))
        rows.append(plain("Steel", *(bore["given"]["material"] for bore in block)))
        rows.append(plain("Axis", *(bore["given"]["axis"] for bore in block)))
        for name, key in WEAR:
            form = "#,##0" if key.endswith("mm3") else "0.00"
            rows.append(plain(name, *(_worn(bore, key) for bore in block), form=form))
        for name, key in SIZES:
            form = "0.000" if key.startswith("finish") else "0.00"
            rows.append(plain(name, *(by_key(bore["sizes"])[key] for bore in block), form=form))
        rows += [*_axes(block), blank()]
    return rows


def _worn(bore: Bore, key: str) -> float | str:
    """Return a figure of the wear; of a bore with one worst diameter, which of them nobody measured."""
    return "not measured" if bore["budget"] and key in UNMEASURED else float(by_key(bore["wear"])[key])


def _axes(bores: list[Bore]) -> list[Row]:
    """Return where the axis of each bore is moved to; nothing where none is."""
    places = [field(bore, "sizes", "clock_axis") for bore in bores]
    if not any(places):
        return []
    rows = []
    for name, key in AXES:
        values = (None if place is None else place[key] for place in places)
        rows.append(
            plain(name, *("not moved" if value is None else value for value in values), form="+0.00;-0.00;0.00")
        )
    return rows


def _setups(estimate: Estimate) -> list[Row]:
    """Return how each bore is set up: what is known in figures, one row a bore, and notes below."""
    told = [bore for bore in estimate["bores"] if has(bore, "setup")]
    if not told:
        return []
    rows = [heading("Set-up", COLUMNS), head(*SETUP)]
    for bore in told:
        setup = bore["setup"]
        after = "overhung" if setup["span_after_mm"] is None else setup["span_after_mm"]
        figures = (setup["span_before_mm"], after, setup["reach_mm"])
        side = "drive side" if setup["torch_side"] == "machine" else "far side"
        closed = "blind" if setup["blind"] else "through"
        rows.append(
            plain(
                bore["name"],
                f"{setup['bearings']}, {setup['mounts']}" if has(setup, "bearings") else setup["mounts"],
                closed,
                *figures,
                side,
                form="0",
            )
        )
    notes = dict.fromkeys(f"{bore['name']}: {one}" for bore in told for one in bore["setup"]["notes"])
    return [*rows, *(note(one, COLUMNS, sum(WIDTHS)) for one in notes), blank()]


def _readings(bore: Bore, row: int, breaks: bool) -> tuple[list[Row], Chart | None]:
    """Return the readings of a bore, one row a clock position and one column a depth, with their chart."""
    readings = bore["given"]["readings"]
    if readings is None:
        return [note(f"Bore {bore['name']}: no readings, one worst diameter", COLUMNS, sum(WIDTHS))], None
    depths = readings["depths_mm"][: COLUMNS - 1]
    rows = [heading(f"Bore {bore['name']}: {readings['kind']} read [mm], by clock position and depth", COLUMNS, breaks)]
    rows.append(head("Clock [°]", *(f"{depth:g} mm deep" for depth in depths)))
    for number, angle in enumerate(readings["clock_deg"]):
        cells = [line[number] for line in readings["clock_readings_mm"][: len(depths)]]
        rows.append(Row((Cell(angle, form="0"), *(Cell(cell, form="0.000") for cell in cells))))
    first, last = row + 1, row + 1 + len(readings["clock_deg"])
    chart = Chart(
        title=f"Bore {bore['name']}",
        across="clock [°]",
        up=f"{readings['kind']} [mm]",
        first_row=first,
        last_row=last,
        first_column=1,
        last_column=1 + len(depths),
        at=f"A{last + 2}",
    )
    return rows + [blank()] * (CHART_ROWS + 2), chart


def _height(rows: list[Row]) -> float:
    """Return how tall rows are, in lines."""
    return math.fsum(row.lines * row.scale for row in rows)


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the bores."""
    rows = [title(f"Bores of {estimate['reference']}: as found and finished sizes", COLUMNS)]
    rows.append(note("0° is 12 o'clock as welded; the clock runs clockwise seen from the drive side.", COLUMNS, 110))
    frozen = len(rows)
    rows += [blank(), *_summary(estimate), *_setups(estimate)]
    charts, used = list[Chart](), _height(rows)
    for bore in estimate["bores"]:
        more, chart = _readings(bore, len(rows) + 1, breaks=False)
        if chart and used + _height(more) > ROOM:  # so that no chart is cut over two pages
            (more, chart), used = _readings(bore, len(rows) + 1, breaks=True), _height(rows[:frozen])
        used += _height(more)
        rows += more
        charts += [chart] if chart else []
    return Sheet("Bores", WIDTHS, tuple(rows), frozen, charts=tuple(charts))
