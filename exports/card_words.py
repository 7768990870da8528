"""What a weld card says, in metric words: settings, turns, temperatures, waits, stops; for sheet and paper alike."""

from estimator.document.bore import Bore
from estimator.document.weld import Buildup, Layer
from estimator.estimate import Estimate
from exports.format import bare, by_who, counted, expected, told
from exports.phrases import from_to, in_layers
from exports.settings import Setting, settings_of

__all__ = [
    "FEED", "course_said", "named_settings", "pointer", "setting_figures", "stops_of", "temperatures", "too_hard",
    "turns_said", "waits_said",
]  # fmt: skip

SETTLED = (("stop", "stop"), ("approve", "approval"))  # grades that stand before the arc, as they are counted
TOLD_ODDS = 0.02  # from there on a deposit too hard to bore is told
FEED = "Set the WIRE FEED; amps and volts follow. Amps outside the range: find the cause, leave the feed alone."


def stops_of(bore: Bore, estimate: Estimate) -> list[str]:
    """Return what must be settled before the arc, this bore's own and the job's; approvals by who decides."""
    here = [one for one in told(estimate) if not one.bores or bore["name"] in one.bores]
    asked = by_who(one for one in here if one.grade == "approve")
    return [f"STOP: {one.text}" for one in here if one.grade == "stop"] + [
        f"APPROVE{f', {who}' if who else ''}: {'; '.join(one.text for one in said)}" for who, said in asked.items()
    ]


def pointer(estimate: Estimate, where: str, bore: Bore | None = None) -> list[str]:
    """Return in one line how much must be settled before the arc and where that is said; of a bore its own alone."""
    here = [one for one in told(estimate) if bore is None or not one.bores or bore["name"] in one.bores]
    counts = [(sum(one.grade == grade for one in here), name) for grade, name in SETTLED]
    said = " and ".join(counted(count, name) for count, name in counts if count)
    return [f"{said} to be settled before any arc: {where}"] if said else []


def named_settings(layer: Layer) -> list[tuple[str, Setting]]:
    """Return the settings of a layer by name; of the first its cooler first bead, then the rest."""
    number, each = f"{layer['number']}", settings_of(layer)
    names = [number] if len(each) == 1 else [f"{number}: first", f"{number}: then"]
    return list(zip(names, each, strict=True))


def setting_figures(one: Setting, built: Buildup) -> tuple[str, str, str, str]:
    """Return wire feed [m/min], amps and volts to expect, and travel [mm/min] as they are set."""
    feed, current = bare("wire_feed_m_min", one.wire_feed, "metric"), expected(one.current, built["feed_scatter"])
    return feed, current, f"{one.voltage:.1f} \u00b1{built['voltage_scatter_V']:.1f}", f"{one.travel:.0f}"


def turns_said(built: Buildup) -> str:
    """Return how long one turn of the torch takes and how fast it goes round, in the order it is set."""
    each = [one for layer in built["layers"] for one in settings_of(layer)]
    said = [
        f"{one.name} {bare('turn_s', one.turn, 'metric')} s ({bare('torch_rpm', one.rpm, 'metric')} rpm)"
        for one in each
        if one.turn is not None and one.rpm is not None
    ]
    return f"ONE TURN OF THE TORCH: {', '.join(said)}" if said else ""


def temperatures(bore: Bore) -> tuple[str, str, str]:
    """Return preheat, most between passes, and most at the finish cut."""
    heat = bore["heat"]
    preheat = f"{heat['preheat_C']:.0f} \u00b0C" if heat["preheat_C"] else "none"
    most, cut = (f"\u2264 {heat[key]:.0f} \u00b0C" for key in ("interpass_max_C", "finish_cut_max_C"))
    return preheat, most, cut


def course_said(bore: Bore) -> str:
    """Return how warm the bore is before and after each layer."""
    course = ", ".join(
        f"layer {one['layer']} {from_to(one['start_C'], one['end_C'], 'end_C', 'metric')}"
        for one in bore["heat"]["course"]
    )
    return f"Bore before and after: {course}"


def waits_said(bore: Bore) -> list[str]:
    """Return where to wait, and where a burner is kept on."""
    heat = bore["heat"]
    waits = [
        f"WAIT in layer {one['layer']} from bead {one['after_bead']} on: {max(1, round(one['wait_min']))} min"
        f" in {counted(one['stops'], 'stop')}, bore at {one['from_C']:.0f} \u00b0C"
        for one in heat["waits"]
    ]
    cold = [str(one["layer"]) for one in heat["course"] if one["keep_kW"] > 0]
    waits += [f"KEEP A BURNER ON in {in_layers(cold)}: the arc alone does not hold the preheat"] if cold else []
    return waits or ["No wait planned."]


def too_hard(bore: Bore) -> str:
    """Return what to do with a deposit that is too hard, where that is likely enough to be told."""
    heat = bore["heat"]
    odds = heat.get("too_hard_odds", 0.0)  # not in old quotes
    if odds < TOLD_ODDS:
        return ""
    return f"Chance of more than {heat['hardness_limit_HV']:.0f} HV: {100 * odds:.0f} %. {heat['temper']}"
