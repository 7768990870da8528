"""The bores on the page for people: sizes, weld plan by layer, heat, cutting, hours."""

import textwrap
from typing import Any

from exports.format import Units, number, shown

__all__ = ["bores"]

WIDE = 92
PHASES = (
    ("set up", "setup_min"),
    ("clean-up", "precut_min"),
    ("preheat", "preheat_min"),
    ("weld", "weld_min"),
    ("cool", "cooldown_min"),
    ("to size", "finish_min"),
    ("inspect", "inspection_min"),
    ("strip", "teardown_min"),
)


def _said(text: str, lead: str = "    ") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=lead, subsequent_indent=lead)


def _sizes(bore: dict[str, Any], units: Units) -> list[str]:
    given, sizes, wear = bore["given"], bore["sizes"], bore["wear"]
    line = f", line {given['line']}" if given["line"] else ""
    nominal, length = (
        shown("nominal_diameter_mm", given["nominal_diameter_mm"], units),
        shown("length_mm", given["length_mm"], units),
    )
    worn = shown("max_radial_wear_mm", wear["max_radial_wear_mm"], units)
    largest, oval = (
        shown("largest_diameter_mm", wear["largest_diameter_mm"], units),
        shown("out_of_round_mm", wear["out_of_round_mm"], units),
    )
    low, high = (shown(key, sizes[key], units) for key in ("finish_min_mm", "finish_max_mm"))
    cleanup, weld = (shown(key, sizes[key], units) for key in ("cleanup_mm", "weld_mm"))
    return [
        "",
        f"Bore {bore['name']}: {nominal} {given['tolerance']} x {length}, {given['material']}, {given['axis']}{line}",
        f"  worn      {worn} on one side at most; largest {largest}, out of round {oval}",
        f"  to size   {low} to {high}",
        f"  clean-up  {cleanup}, weld to {weld} or inside",
    ]


def _bead(name: str, bead: dict[str, Any], scatter: float, volts: str, units: Units) -> str:
    feed = shown("wire_feed_m_min", bead["wire_feed_m_min"], units)
    amps = f"expect {bead['current_A']:.0f} +/- {bead['current_A'] * scatter:.0f} A"
    return f"  {name:<11}{feed:>12}  {amps:<22}{volts:<17}travel {shown('travel_mm_min', bead['travel_mm_min'], units)}"


def _layers(built: dict[str, Any], units: Units) -> list[str]:
    """Return two lines a layer: wire feed first with the current to expect, then where and how it runs."""
    lines, scatter = [], built["feed_scatter"]
    for layer in built["layers"]:
        first = layer.get("first_bead")
        if first is not None and first["current_A"] < layer["current_A"]:
            lines.append(_bead("first bead", first, scatter, "", units))
        volts = f"{layer['voltage_V']:.1f} +/- {built['voltage_scatter_V']:.1f} V"
        lines.append(_bead(f"layer {layer['number']}", layer, scatter, volts, units))
        start, end = (shown(key, layer[key], units) for key in ("start_diameter_mm", "end_diameter_mm"))
        step, time = shown("step_mm", layer["step_mm"], units), number(layer["arc_time_min"], 0)
        lines.append(
            f"{'':15}{layer['turns']} turns {layer['rotation']}, step {step}, {start} to {end}, {time} min of arc"
        )
    return lines


def _weld(bore: dict[str, Any], units: Units) -> list[str]:
    built = bore["buildup"]
    gas = f"{built['gas']} ({built['gas_symbol']}) at {shown('gas_flow_L_min', built['gas_flow_L_min'], units)}"
    mass, time = shown("deposit_mass_kg", built["deposit_mass_kg"], units), number(built["arc_time_min"], 0)
    lines = [f"  weld      {built['wire']}, {gas}; {mass} in {time} min of arc; slag: {built['slag']}"]
    lines += ["            set the wire feed; turning is seen from the machine's side", *_layers(built, units)]
    lines += [line for limit in built["limits"] for line in _said(f"held back by {limit}")]
    for other in built["alternatives"]:
        saved = other["saved_min"]
        gain = f"saves {saved:.0f} min" if saved >= 0 else f"takes {-saved:.0f} min more"
        plan = f"{other['wire']}, {other['layers']} layers at {other['current_A']:.0f} A"
        lines += _said(f"weighed: {other['name']} ({plan}) {gain}; {other['remark']}")
    return lines


def _heat(bore: dict[str, Any], units: Units) -> list[str]:
    heat = bore["heat"]
    preheat = f"preheat {shown('preheat_C', heat['preheat_C'], units)}" if heat["preheat_C"] else "no preheat due"
    top = shown("interpass_max_C", heat["interpass_max_C"], units)
    waits = (
        f"wait {number(heat['interpass_wait_min'], 0)} min between layers, cool {number(heat['cooldown_min'], 0)} min"
    )
    lines = [f"  heat      {preheat}, at most {top} between passes; {waits}; CE {heat['carbon_equivalent']:.2f}"]
    lines += [] if heat["machinable"] else ["            the deposit will be too hard to bore as planned"]
    return lines + [line for advice in heat["advice"] for line in _said(advice)]


def _cut(bore: dict[str, Any], units: Units) -> list[str]:
    groups: dict[str, list[dict[str, Any]]] = {}
    for one in bore["machining"]["passes"]:
        groups.setdefault(one["purpose"], []).append(one)
    lines = []
    for purpose, passes in groups.items():
        start, end = shown("from_mm", passes[0]["from_mm"], units), shown("to_mm", passes[-1]["to_mm"], units)
        depth, feed = (
            shown("depth_mm", passes[-1]["depth_mm"], units),
            shown("feed_mm_rev", passes[-1]["feed_mm_rev"], units),
        )
        turns = f"{passes[-1]['rpm']:.0f} turns a minute, {passes[-1]['power_kW']:.1f} kW"
        lines.append(f"  {purpose:<10}{len(passes)} x {depth} a side, {start} to {end}, {feed} a turn, {turns}")
    return lines


def _time(bore: dict[str, Any]) -> list[str]:
    time = bore["time"]
    parts = ", ".join(f"{name} {time[key]:.0f}" for name, key in PHASES)
    return [f"  minutes   {parts}; in all {time['total_min']:.0f}"]


def bores(estimate: dict[str, Any], units: Units) -> list[str]:
    """Return the lines of every bore."""
    lines: list[str] = []
    for bore in estimate["bores"]:
        lines += [*_sizes(bore, units), *_weld(bore, units), *_heat(bore, units), *_cut(bore, units), *_time(bore)]
    return lines
