"""A bore's pages of a work pack: readings as found and as finished, the boring passes, the weld card."""

from collections.abc import Sequence
from typing import Any

from estimator.document.bore import Bore
from estimator.document.weld import Layer
from estimator.estimate import Estimate
from exports.card_words import (
    FEED,
    course_said,
    named_settings,
    pointer,
    setting_figures,
    temperatures,
    too_hard,
    turns_said,
    waits_said,
)
from exports.cut_words import bored_with
from exports.format import Units, bare, by_key, field, has, label, shown
from exports.in_units import text_in, turned_to_us
from exports.phrases import after_welding, moved_said
from exports.pictures.section import section
from exports.setup_words import bar_held, room_said, torch_from

__all__ = ["bore_pages"]

MOST_CLOCK, MOST_DEPTHS = 12, 8  # readings as planned that have room to be written again
USUAL_CLOCK = (0.0, 45.0, 90.0, 135.0)  # of diameters, where nobody read the bore
ACROSS = ("12 to 6", "1:30 to 7:30", "3 to 9", "4:30 to 10:30")  # diameters of the finished bore, by the clock
SIZES = ("finish_min_mm", "finish_max_mm", "cleanup_mm", "weld_mm")
STANDARD = "20 °C"
EDGE, FEW = 10.0, 3  # readings near a face lie so deep, or at a sixth of a short bore [mm, -]
SIXTH = 6
TURNING = {"clockwise": "clockwise", "counter-clockwise": "counter-\nclockwise"}


def bore_pages(bore: Bore, found: Estimate, units: Units) -> dict[str, Any]:
    """Return what is printed for a bore."""
    given, mm = bore["given"], label("length_mm", units)
    sizes = by_key(bore["sizes"])
    least, most, cleanup, weld = (bare(key, sizes[key], units) for key in SIZES)
    placed = field(bore, "sizes", "clock_axis")
    moved = "" if placed is None else text_in(f"BAR SET {moved_said(placed)} of the zero of the readings", units)
    part = given.get("clock_sector")
    return {
        "name": bore["name"],
        "what": f"{given['material']}, {given['axis']} axis, {shown('length_mm', given['length_mm'], units)} long",
        "sizes": [
            ["Nominal", f"{shown('nominal_diameter_mm', given['nominal_diameter_mm'], units)} {_fit(bore)}".strip()],
            ["Bore clean to", f"{cleanup} {mm}"],
            ["Weld down to", f"{weld} {mm}"],
            ["FINISH SIZE", f"{least} to {most} {mm}"],
            *_proof(bore, units),
        ],
        "only": [] if part is None else [f"ONLY FROM {part['from']:g}° TO {part['to']:g}°, 0 is 12 o'clock"],
        "moved": [moved] if moved else [],
        "set_up": _set_up(bore, units),
        "picture": section(bore),
        "picture_said": f"Section of bore {bore['name']} as found, nominal, clean-up and weld",
        "found": _as_found(bore, units),
        "finished": _finished(bore, units),
        "mm": mm,
        "degrees": label("preheat_C", units),
        "standard": text_in(STANDARD, units),
        "cut": _cut(bore, units),
        "features": [text_in(f"{one['name']}: {one['text']}", units) for one in bore.get("features", ())],
        "weld": _weld(bore, found, units) if bore["buildup"]["layers"] else None,
    }


def _fit(bore: Bore) -> str:
    fit = bore["given"]["tolerance"]
    return fit if " " not in fit else ""  # limits that were typed stand as the finish size


def _proof(bore: Bore, units: Units) -> list[list[str]]:
    """Return which readings prove the size, by how good the gauge is; nothing in documents of before."""
    cut = bore["machining"]
    if not has(cut, "gauge_uncertainty_mm"):
        return []
    low, high = (bare(key, by_key(cut)[key], units) for key in ("accept_min_mm", "accept_max_mm"))
    return [["Readings that prove it", f"{low} to {high} {label('length_mm', units)} at {text_in(STANDARD, units)}"]]


def _set_up(bore: Bore, units: Units) -> list[str]:
    setup = field(bore, "setup")
    if not setup:
        return []
    said = [bar_held(setup, units), torch_from(setup, units), room_said(setup, units), *setup["notes"]]
    return [one[0].upper() + one[1:] for one in said if one]


# ---------------------------------------------------------------- readings


def _depths(length: float) -> list[float]:
    """Return where a bore is measured along its depth where nobody said: near both faces and between. [mm]"""
    edge = min(EDGE, length / SIXTH)
    return [edge + number * (length - 2 * edge) / (FEW - 1) for number in range(FEW)]


def _as_found(bore: Bore, units: Units) -> dict[str, Any]:
    """Return the grid of readings to check before the first cut, with those that the plan was made of in small."""
    readings, given = bore["given"]["readings"], bore["given"]
    clock = readings["clock_deg"] if readings else list(USUAL_CLOCK)
    depths = readings["depths_mm"] if readings else _depths(given["length_mm"])
    kind = str(readings["kind"]) if readings else "diameter"
    kind = "radius" if kind == "points" else kind
    told = readings["clock_readings_mm"] if readings else None
    rows, columns = _thinned(depths, MOST_DEPTHS), _thinned(clock, MOST_CLOCK)
    cells = [[_read(told[row][at] if told else None, units) for at in columns] for row in rows]
    return {
        "kind": kind,
        "head": [f"{clock[at]:g}°" for at in columns],
        "rows": [[_depth(depths[row], units), *line] for row, line in zip(rows, cells, strict=True)],
    }


def _read(value: float | None, units: Units) -> str:
    """Return a reading that the plan was made of; nothing where nobody took one."""
    return "" if value is None else bare("clock_readings_mm", value, units)


def _thinned(values: Sequence[float], most: int) -> list[int]:
    """Return which of many places are measured again: evenly, the first and of depths the last among them."""
    step = -(-len(values) // most)
    return list(range(0, len(values), step))


def _depth(depth: float, units: Units) -> str:
    return bare("length_mm", depth, units, 0) if units == "us" else f"{depth:.1f}".removesuffix(".0")


def _finished(bore: Bore, units: Units) -> dict[str, Any]:
    """Return the empty grid of diameters of the finished bore."""
    rows = [[_depth(depth, units), *("",) * len(ACROSS)] for depth in _depths(bore["given"]["length_mm"])]
    return {"kind": "diameter", "head": list(ACROSS), "rows": rows}


# ---------------------------------------------------------------- boring


def _cut(bore: Bore, units: Units) -> dict[str, Any]:
    cut, mm = bore["machining"], label("length_mm", units)
    head = ["Pass", f"from\n{mm}", f"to\n{mm}", f"a side\n{mm}", "rpm", f"feed\n{mm}/turn"]
    rows = []
    for one in cut["passes"]:
        each = by_key(one)
        sizes = [bare(key, each[key], units) for key in ("from_mm", "to_mm", "depth_mm")]
        feed = bare("feed_mm_rev", each["feed_mm_rev"], units)
        rows.append([one["purpose"], *sizes, f"{each['rpm']:.0f}" if has(one, "rpm") else "", feed])
    said = text_in(bored_with(cut, units), units) if has(cut, "bar") else ""
    return {"head": head, "rows": rows, "said": said}


# ---------------------------------------------------------------- weld


def _weld(bore: Bore, found: Estimate, units: Units) -> dict[str, Any]:
    built, order = bore["buildup"], field(bore, "card", "order") or []
    flow = f"{built['gas']} ({built['gas_symbol']}), {built['gas_flow_L_min']:.0f} L/min"
    shade = f"\u2265 {max((one['minimum_shade'] for one in found['shades']), default=0):g}"
    ends = field(built, "ends", "text")  # not in old documents
    setup = field(bore, "setup")
    said = [after_welding(bore, units), turns_said(built), f"ENDS: {text_in(ends, units)}" if ends else ""]
    feed, travel, step = (label(key, units) for key in ("wire_feed_m_min", "travel_mm_min", "step_mm"))
    preheat, most, cut = (text_in(one, units) for one in temperatures(bore))
    return {
        "stops": pointer(found, "see the first page", bore),
        "with": [f"Wire {built['wire']}", text_in(f"Gas {flow}", units), f"Slag: {built['slag']}"],
        "torch": torch_from(setup, units).capitalize() if setup else "",
        "feed": FEED,
        "head": ["Layer", f"WIRE FEED\n{feed}", "expect\nA", "expect\nV", f"travel\n{travel}", f"step\n{step}", "beads",
                 "rotation"],
        "layers": [row for layer in built["layers"] for row in _settings(layer, bore, units)],
        "said": [one for one in said if one],
        "order": list(order),
        "heat": [["Preheat through the wall", preheat], ["Between passes", most], ["Finish cut", cut],
                 ["Filter shade", shade]],
        "course": text_in(course_said(bore), units),
        "waits": [text_in(one, units) for one in waits_said(bore)],
        "write": [f"{layer['number']}" for layer in built["layers"]],
        "feed_unit": feed,
        "hard": text_in(too_hard(bore), units),
    }  # fmt: skip


def _settings(layer: Layer, bore: Bore, units: Units) -> list[list[str]]:
    """Return the rows of a layer: name, feed, amps, volts, travel, step, beads, rotation."""
    rows, step = [], bare("step_mm", layer["step_mm"], units)
    for name, one in named_settings(layer):
        feed, amps, volts, travel = setting_figures(one, bore["buildup"])
        if units == "us":
            feed, travel = turned_to_us(feed, "m/min"), turned_to_us(travel, "mm/min")
        rows.append([name, feed, amps, volts, travel, step, f"{one.beads:g}", TURNING[layer["rotation"]]])
    return rows
