"""The bores on the page: sizes of all of them, then for each the weld plan by layer, heat and cutting."""

from collections.abc import Callable, Mapping

from estimator.document.bore import Bore
from estimator.document.given import Given
from estimator.document.heat import Heat
from estimator.document.weld import Buildup, Layer
from estimator.estimate import Estimate
from exports.cut_words import bored_with, held_by
from exports.format import (
    Units,
    bare,
    by_key,
    clock_time,
    counted,
    expected,
    has,
    in_percent,
    label,
    number,
    perhaps,
    shown,
)
from exports.page.parts import columns, heading, listed, named, wrapped
from exports.page.plate import plate
from exports.page.steel import steel
from exports.page.wear import features
from exports.phrases import after_welding, from_to, in_layers, waiting, weighed
from exports.settings import COOLER, Setting, has_cooler_bead, settings_of
from exports.setup_words import bar_held, room_said, torch_from

__all__ = ["cutting", "heat", "plans", "sizes"]

WORN = ("largest_diameter_mm", "max_radial_wear_mm", "out_of_round_mm", "taper_mm")
SIZES = ("finish_min_mm", "finish_max_mm", "cleanup_mm", "weld_mm")
EXTRA = (" of arc", " of wire", " of gas")
ENDS = {"run over": "weld runs past both faces", "run-off rings": "weld runs onto run-off rings"}
LAID = ("start_diameter_mm", "end_diameter_mm", "thickness_mm", "bead_width_mm", "heat_input_kJ_mm", "arc_time_min")
BorePart = Callable[[Bore, Units], list[str]]
PASS = ("from_mm", "to_mm", "depth_mm", "rpm", "speed_m_min", "feed_mm_rev", "power_kW", "time_min")


def sizes(estimate: Estimate, units: Units) -> list[str]:
    """Return the sizes of every bore: as asked, as worn, to finish, to clean up and to weld to."""
    names = ["worn", "wear", "out of", "", "finish", "finish", "bore", "weld"]
    head = [["", *names], ["", "up to", "a side", "round", "taper", "min", "max", "to", "to"]]
    head.append(["", *[label("cleanup_mm", units)] * len(names)])
    rows, asked = [], []
    for bore in estimate["bores"]:
        cells = [bare(key, by_key(bore["wear"])[key], units) for key in WORN]
        if bore["budget"]:
            cells[-2:] = ["?", "?"]
        cells += [bare(key, by_key(bore["sizes"])[key], units) for key in SIZES]
        rows.append([bore["name"], *cells])
        asked += named(bore["name"], _asked(bore, units))
    return [*heading("SIZES"), *asked, "", *columns(head, rows)]


def _asked(bore: Bore, units: Units) -> str:
    given = bore["given"]
    nominal = shown("nominal_diameter_mm", given["nominal_diameter_mm"], units)
    length = shown("length_mm", given["length_mm"], units)
    said = [f"{nominal} {given['tolerance']}", f"{length} long", given["material"], f"{given['axis']} axis"]
    said += [f"line {given['line']}"] if given["line"] else []
    said += ["clean-up already cut"] if given["cut_already"] else []
    if bore["budget"]:
        said.append(f"one worst diameter, assumed {given['wear']} wear")
    return ", ".join(said)


def _settings(built: Buildup, units: Units) -> list[str]:
    """Return what is set: wire feed first, and the current to expect with its scatter."""
    scatter, volts = built["feed_scatter"], bare("voltage_scatter_V", built["voltage_scatter_V"], units)
    head = [
        ["", "WIRE FEED", "expect", "volts", "travel", "step", "beads", "rotation"],
        ["", label("wire_feed_m_min", units), "A", "V", label("travel_mm_min", units), label("step_mm", units), "", ""],
    ]
    rows = []
    for layer in built["layers"]:
        for one in settings_of(layer):
            step, beads = bare("step_mm", layer["step_mm"], units), number(one.beads, 0)
            set_to = _bead(one, scatter, f"{bare('voltage_V', one.voltage, units)} ±{volts}", units)
            rows.append([one.name, *set_to, step, beads, layer["rotation"]])
    return columns(head, rows)


def _bead(one: Setting, scatter: float, volts: str, units: Units) -> list[str]:
    feed, travel = bare("wire_feed_m_min", one.wire_feed, units), bare("travel_mm_min", one.travel, units)
    return [feed, expected(one.current, scatter), volts, travel]


def _bare(part: Mapping[str, object], keys: tuple[str, ...], units: Units) -> list[str]:
    """Return figures of a part of the document without their units."""
    return [bare(key, by_key(part)[key], units) for key in keys]


def _laid(built: Buildup, units: Units) -> list[str]:
    """Return what each layer builds, in the order it is laid."""
    names = [["", "from", "down to", "thickness", "bead width", "heat input", "arc"]]
    names.append(["", *(label(key, units) for key in LAID)])
    rows = [
        [f"layer {one['number']}", *(bare(key, by_key(one)[key], units) for key in LAID)] for one in built["layers"]
    ]
    mass = shown("deposit_mass_kg", built["deposit_mass_kg"], units)
    rate = shown("deposition_rate_kg_h", built["deposition_rate_kg_h"], units)
    arc = shown("arc_time_min", built["arc_time_min"], units)
    return [*columns(names, rows), *wrapped(f"Total {mass} laid in {arc} of arc, {rate}.")]


def _part(given: Given) -> list[str]:
    """Return which part of the clock is built up, where it is not the whole."""
    part = given.get("clock_sector")
    if part is None:
        return []
    return named("sector", f"{part['from']:g}° to {part['to']:g}° of the clock only; each turn below is one bead in it")


def behind(built: Buildup, units: Units) -> list[str]:
    """Return what stands behind the arc: how metal goes over, own arc, the bore's ends, what the layers are made of."""
    arc, own, ends = built["transfer"], built["own_arc"], built["ends"]
    lines = named("transfer", f"{arc['mode']}: {arc['reason']}")
    lines += named("own arc", own["text"]) if own else []
    short, left = (shown(key, ends[key], units) for key in ("shortfall_mm", "left_to_bore_mm"))
    how = perhaps(ends.get("text")) or ENDS.get(ends["how"], ends["how"])
    lines += named("ends", f"{how}; end shortfall up to {short} a side; {left} a side to machine{_extra(ends, units)}")
    made = [f"layer {one['number']} {_made(one)}" for one in built["layers"]]
    return lines + named("deposit", "; ".join(made))


def _extra(ends: Mapping[str, object], units: Units) -> str:
    """Return what the ends take besides half a bead past each face; nothing where that is enough."""
    keys = [key for key in ("extra_arc_min", "extra_wire_kg", "extra_gas_L") if ends.get(key)]
    said = [shown(key, by_key(ends)[key], units) + word for key, word in zip(keys, EXTRA, strict=False)]
    if ends.get("extra_work_min"):
        said.append(f"{shown('extra_work_min', by_key(ends)['extra_work_min'], units)} of work by hand")
    return f"; takes {', '.join(said)} more" if said else ""


def _made(layer: Layer) -> str:
    parts = ", ".join(f"{bare(key, value, 'metric')} % {key}" for key, value in by_key(layer["composition"]).items())
    return f"{parts} ({in_percent(layer['dilution'])} % base metal)"


def _weld(bore: Bore, units: Units) -> list[str]:
    built = bore["buildup"]
    flow = shown("gas_flow_L_min", built["gas_flow_L_min"], units)
    scatter = in_percent(built["feed_scatter"])
    order = "Lay the layers in this order; rotation is seen from the drive side."
    order += f" {COOLER}" if has_cooler_bead(built) else ""
    lines = named("wire", f"{built['wire']} ({built['wire_kind']})")
    lines += named("gas", f"{built['gas']} ({built['gas_symbol']}) at {flow}")
    lines += named("slag", built["slag"]) + _part(bore["given"]) + behind(built, units)
    lines += ["", *wrapped(f"Set the wire feed; the current follows it within some {scatter} %. {order}")]
    lines += ["", *_settings(built, units), "", *_laid(built, units)]
    lines += wrapped(after_welding(bore, units))
    if built["limits"]:
        lines += ["", "  Limits that set this plan:", *listed(built["limits"], "    - ")]
    others = [weighed(one) for one in built.get("alternatives", [])]
    return [*lines, *(["", "  Alternatives:", *listed(others, "    - ")] if others else [])]


def _heat(bore: Bore, units: Units) -> list[str]:
    heat = bore["heat"]
    preheat = _preheat(heat, units) if heat["preheat_C"] else "none needed"
    top, cool = (shown(key, heat[key], units) for key in ("interpass_max_C", "finish_cut_max_C"))
    wait, down = (clock_time(heat[key]) for key in ("interpass_wait_min", "cooldown_min"))
    lines = named("preheat", preheat) + named("interpass", f"{top} at most; waiting {wait} in all")
    lines += [line for one in heat["waits"] for line in named("", waiting(one, units))]
    lines += named("bore", _course(heat, units))
    cold = [str(one["layer"]) for one in heat["course"] if one["keep_kW"] > 0]
    lines += (
        named("", f"the arc alone does not hold the preheat: keep a burner on in {in_layers(cold)}") if cold else []
    )
    saved = heat["wait_saving_min"]
    lines += (
        wrapped(f"Welding another bore of the line during these waits would save {clock_time(saved)}.") if saved else []
    )
    lines += named("cool down", f"{down}, to {cool} for the finish cut") + plate(bore, units)
    lines += steel(heat, units)
    lines += [] if heat["machinable"] else wrapped("!! The deposit will be too hard to bore as planned.")
    return [*lines, *listed(heat["advice"])]


def _preheat(heat: Heat, units: Units) -> str:
    """Return the preheat, and how long it takes with which burners."""
    warm, mass, minutes = (shown(key, heat[key], units) for key in ("preheat_C", "boss_kg", "burner_min"))
    return f"{warm}; about {minutes} with {counted(heat['burners'], 'burner')} for a boss of {mass}"


def _course(heat: Heat, units: Units) -> str:
    """Return what a contact thermometer shows in the bore before and after each layer."""
    ends = [
        f"{from_to(one['start_C'], one['end_C'], 'end_C', units)} in layer {one['layer']}" for one in heat["course"]
    ]
    return f"by contact thermometer {', '.join(ends)}"


def _cut(bore: Bore, units: Units) -> list[str]:
    names = [["", "from", "to", "depth/side", "rotation", "speed", "feed/turn", "power", "time"]]
    names.append(["", *(label(key, units) for key in PASS)])
    passes = bore["machining"]["passes"]
    rows = [[one["purpose"], *_bare(one, PASS, units)] for one in passes]
    if not rows:
        return wrapped("No boring.")
    cut = bore["machining"]
    said = [*wrapped(bored_with(cut, units)), *wrapped(held_by(cut))] if has(cut, "bar") else []  # not in old quotes
    return [*said, *columns(names, rows)]


def _setup(bore: Bore, units: Units) -> list[str]:
    """Return how the bore is set up; nothing for quotes from before that was told."""
    setup = perhaps(bore.get("setup"))
    if setup is None:
        return []
    said = [one for one in (bar_held(setup, units), torch_from(setup, units), room_said(setup, units)) if one]
    return [*(line for one in said for line in wrapped(one)), *listed(setup["notes"])]


PLAN = (("SET-UP", _setup), ("WELD PLAN", _weld), ("FEATURES BESIDES THE BORE", features))


def _each(estimate: Estimate, units: Units, name: str, part: BorePart) -> list[str]:
    """Return one part of every bore; bores of which it reads alike stand together."""
    found: dict[tuple[str, ...], list[str]] = {}
    for bore in estimate["bores"]:
        found.setdefault(tuple(part(bore, units)), []).append(bore["name"])
    lines: list[str] = []
    for said, names in found.items():
        lines += [*heading(f"BORE{'S' if len(names) > 1 else ''} {', '.join(names)}: {name}"), *said] if said else []
    return lines


def plans(estimate: Estimate, units: Units) -> list[str]:
    """Return set-up, weld plan and features of every bore."""
    return [line for name, part in PLAN for line in _each(estimate, units, name, part)]


def heat(estimate: Estimate, units: Units) -> list[str]:
    """Return preheat, interpass, cooling and hardness of every bore."""
    return _each(estimate, units, "HEAT", _heat)


def cutting(estimate: Estimate, units: Units) -> list[str]:
    """Return the boring passes of every bore."""
    return _each(estimate, units, "CUTTING", _cut)
