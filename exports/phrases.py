"""Lines that text pages and sheets share."""

from estimator.buying.make import OrderLine
from estimator.document.bore import Bore
from estimator.document.heat import Wait
from estimator.document.sizes import ClockAxis
from estimator.document.weld import Alternative
from exports.format import Units, bare, counted, number, shown
from exports.signs import NARROW, signs

__all__ = ["after_welding", "from_to", "in_layers", "mix_of", "moved_said", "printable", "waiting", "weighed"]


def mix_of(line: OrderLine) -> str:
    """Return in words which packs to buy of a line: "1 x 15 + 1 x 5"."""
    return " + ".join(f"{one['packs']} x {one['pack_size']:g}" for one in line.get("mix", []))


def moved_said(place: ClockAxis) -> str:
    """Return where a line's axis lies from the zero of the readings, each distance towards the side it lies on."""
    across, up = place["x_mm"], place["y_mm"]
    sides = (across, "3" if across >= 0 else "9"), (up, "12" if up >= 0 else "6")
    return " and ".join(f"{abs(by):.2f} mm towards {side} o'clock" for by, side in sides)


def after_welding(bore: Bore, units: Units) -> str:
    """Return which of three sizes after welding is which: the most allowed, the mean planned, the crests."""
    layers, cuts = bore["buildup"]["layers"], bore["machining"]["passes"]
    skin = next((one["from_mm"] for one in cuts if one["purpose"] == "skin"), None)
    if not layers or skin is None:
        return ""
    most = shown("weld_mm", bore["sizes"]["weld_mm"], units)
    end, crests = shown("end_diameter_mm", layers[-1]["end_diameter_mm"], units), shown("from_mm", skin, units)
    return (
        f"After welding it may measure {most} at most, machining allowance included. Planned: {end} as the mean of"
        f" crests and valleys, {crests} over the crests, where the first cut begins."
    )


def printable(text: str) -> str:
    """Return a line in the signs of paper, with all that would steer a terminal taken out."""
    said = signs(text)
    if not said.replace(NARROW, " ").isprintable():
        said = "".join(sign if sign.isprintable() or sign == NARROW else " " for sign in said)
    return said.rstrip()


def waiting(one: Wait, units: Units) -> str:
    """Return a wait where it comes."""
    minutes = shown("wait_min", one["wait_min"], units) if one["wait_min"] >= 1 else "under a minute"
    hot = shown("from_C", one["from_C"], units)
    return (
        f"layer {one['layer']}: wait {minutes} in {counted(one['stops'], 'stop')}, from bead {one['after_bead']} on,"
        f" when the bore has reached {hot}"
    )


def in_layers(numbers: list[str]) -> str:
    """Return layers in the right number: "layer 1", "layers 1, 2"."""
    return f"layer{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}"


def from_to(start: float, end: float, key: str, units: Units) -> str:
    """Return a span of temperatures; one figure where both print alike."""
    low, high = bare(key, start, units), shown(key, end, units)
    return high if high.startswith(f"{low} ") else f"{low} to {high}"


def weighed(other: Alternative) -> str:
    """Return another plan that was weighed, as one line."""
    saved = other["saved_min"]
    gain = "takes as long" if number(abs(saved), 0) == "0" else "saves" if saved >= 0 else "costs"
    plan = f"{counted(other['layers'], 'layer')} at {bare('current_A', other['current_A'], 'metric')} A"
    wire = "" if other["name"] == other["wire"] else f"{other['wire']}, "
    name = "faster" if other["name"] == "pushed" else other["name"]
    minutes = f"{number(abs(saved), 0)} min" + ("" if wire else " of welding")
    told = gain if gain == "takes as long" else f"{gain} {minutes}"
    return f"{name} ({wire}{other['gas']}, {plan}) {told}; {other['remark']}"
