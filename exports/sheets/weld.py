"""The weld plan, layer by layer: wire feed first, the current to expect with its scatter beside it."""

from typing import Any

from estimator.document.bore import Bore
from estimator.document.weld import Buildup
from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, blank, head, heading, note, text, title
from exports.format import Grade, bare, by_key, clock_time, headed, scatter_of
from exports.phrases import moved_said, waiting, weighed
from exports.settings import COOLER, settings_of

__all__ = ["sheet"]

BEFORE: tuple[tuple[str, Grade], ...] = (("Stop until this is settled", "stop"), ("Approval required", "approve"))
HEAD = (
    "Layer",
    "Wire feed [m/min]",
    "Current to expect [A]",
    "± [A]",
    "Volts [V]",
    "± [V]",
    "Travel [mm/min]",
    "Step [mm]",
    "Beads",
    "Rotation",
    "Layer from [mm]",
    "Layer to [mm]",
    "Layer's arc [min]",
)
KEYS = (
    "number",
    "wire_feed_m_min",
    "current_A",
    "scatter_A",
    "voltage_V",
    "scatter_V",
    "travel_mm_min",
    "step_mm",
    "beads",
    "rotation",
    "start_diameter_mm",
    "end_diameter_mm",
    "arc_time_min",
)
WIDTHS = (13.0, 10.0, 12.0, 8.0, 8.0, 8.0, 10.0, 8.0, 8.0, 18.0, 10.0, 10.0, 9.0)
COLUMNS, WIDTH = len(WIDTHS), sum(WIDTHS)
FORMS = (None, "0.00", "0", "0", "0.0", "0.0", "0", "0.00", "0", None, "0.0", "0.0", "0.0")


def _row(look: str = "plain", **values: Any) -> Row:  # noqa: ANN401  # texts and numbers
    """Return a row with the values in their columns, the others empty."""
    return Row(tuple(Cell(values.get(key), look, form) for key, form in zip(KEYS, FORMS, strict=True)))


def _layers(built: Buildup) -> list[Row]:
    """Return the rows of settings of each layer: of the first its cooler first bead, then the rest."""
    rows = []
    for layer in built["layers"]:
        ends: dict[str, Any] = {
            key: by_key(layer)[key] for key in ("start_diameter_mm", "end_diameter_mm", "arc_time_min")
        }
        for one in settings_of(layer):
            values: dict[str, Any] = {
                "number": one.name.removeprefix("layer ") if one.name == f"layer {layer['number']}" else one.name,
                "wire_feed_m_min": one.wire_feed,
                "current_A": one.current,
                "scatter_A": scatter_of(one.current, built["feed_scatter"]),
                "voltage_V": one.voltage,
                "scatter_V": built["voltage_scatter_V"],
                "travel_mm_min": one.travel,
                "step_mm": layer["step_mm"],
                "beads": one.beads,
                "rotation": layer["rotation"],
            }
            rows.append(_row(**values, **ends))
            ends = {}
    return rows


def _besides(bore: Bore) -> list[str]:
    """Return what differs from a plain bore built up all round: a sector, a moved axis, what is welded besides."""
    said, given = list[str](), bore["given"]
    part, place = given.get("clock_sector"), bore["sizes"].get("clock_axis")
    if part is not None:
        ends = f"{part['from']:g}° to {part['to']:g}°"
        said.append(f"ONLY FROM {ends} of the clock is built up: each turn below is one bead in it")
    if place is not None:
        said.append(
            f"The bar is set {moved_said(place)} from the zero of the readings, at mid-length: the axis of the line"
        )
    return said + [f"Besides: {one['name']}: {one['text']}" for one in bore.get("features", [])]


def _bore(bore: Bore) -> list[Row]:
    built, heat = bore["buildup"], bore["heat"]
    gas = f"{built['gas']} ({built['gas_symbol']}) at {bare('gas_flow_L_min', built['gas_flow_L_min'], 'metric')} L/min"
    warm = f"preheat {heat['preheat_C']:.0f} °C" if heat["preheat_C"] else "no preheat needed"
    wait = f"{clock_time(heat['interpass_wait_min'])} of waiting planned"
    rows = [
        heading(f"Bore {bore['name']}, {bore['given']['axis']} axis: {built['wire']}, {gas}", COLUMNS),
        text(
            f"{warm}; between passes at most {heat['interpass_max_C']:.0f} °C, {wait}; slag: {built['slag']}",
            COLUMNS,
            WIDTH,
        ),
        *(text(one, COLUMNS, WIDTH) for one in _besides(bore)),
        head(*HEAD),
        *_layers(built),
    ]
    rows += [text(f"In {waiting(one, 'metric')}", COLUMNS, WIDTH, "note") for one in heat["waits"]]
    rows += [text(f"Own arc: {built['own_arc']['text']}", COLUMNS, WIDTH, "note")] if built["own_arc"] else []
    rows += [text(f"Transfer: {built['transfer']['mode']}; {built['transfer']['reason']}", COLUMNS, WIDTH, "note")]
    rows += [text(f"Limit that set the plan: {limit}", COLUMNS, WIDTH, "note") for limit in built["limits"]]
    rows += [text(f"Alternative: {weighed(other)}", COLUMNS, WIDTH, "note") for other in built.get("alternatives", [])]
    return [*rows, *(text(one, COLUMNS, WIDTH) for one in heat["advice"]), blank()]


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the weld plan."""
    rows = [title(f"Weld plan of {estimate['reference']}", COLUMNS)]
    said = "Set the wire feed; the current is what to expect. Rotation is seen from the drive side. "
    rows.append(
        note(
            f"{said}{COOLER}",
            COLUMNS,
            WIDTH,
        )
    )
    frozen = len(rows)
    rows.append(blank())
    for name, said in headed(estimate, *BEFORE):
        rows += [heading(name, COLUMNS), *(text(f"-  {one}", COLUMNS, WIDTH) for one in said), blank()]
    for bore in estimate["bores"]:
        rows += _bore(bore)
    rows += [
        heading("Welder's notes", COLUMNS),
        *(text(f"-  {one}", COLUMNS, WIDTH) for one in estimate["advice_to_welder"]),
    ]
    return Sheet("Weld plan", WIDTHS, tuple(rows), frozen, wide=True)
