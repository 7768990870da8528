"""What bores a bore, in words: rig, bar, bearings, what is asked, what held depth and speed of each pass."""

from estimator.document.cut import Machining
from exports.format import Units, by_key, has, shown

__all__ = ["bored_with", "held_by"]

REFERENCE = 20.0  # [°C] at which a size holds (ISO 1)


def bored_with(cut: Machining, units: Units = "metric") -> str:
    """Return rig, bar, bearings, roughness asked, measuring stops, edges and chips of a bore."""
    asked, loose = (shown(key, by_key(cut)[key], units) for key in ("roughness_um", "chips_L"))
    stops, edges = f"{cut['measuring_stops']:g} stops to measure", f"{cut['edges']:.1f} cutting edges used"
    words = f"{cut['machine']}, {cut['bar']} {cut['supports']}; Ra {asked} asked; {stops}; {edges}; {loose} of chips"
    return words + _proved(cut, units)


def _proved(cut: Machining, units: Units) -> str:
    """Return what readings prove the size, by how good the gauge is; nothing in quotes from before that was told."""
    if not has(cut, "gauge_uncertainty_mm"):
        return ""
    keys = ("gauge_uncertainty_mm", "accept_min_mm", "accept_max_mm")
    doubt, low, high = (shown(key, by_key(cut)[key], units) for key in keys)
    reference = shown("ambient_C", REFERENCE, units)
    return f"; gauge good to ± {doubt}: readings of {low} to {high}, part at {reference}, prove the size"


def held_by(cut: Machining) -> str:
    """Return what held depth and speed of each pass, those held alike together, and which cuts are interrupted."""
    said = "depth of cut limited by " + _together([(one["limit"], one["purpose"]) for one in cut["passes"]])
    paced = [(one["speed_limit"], one["purpose"]) for one in cut["passes"] if "speed_limit" in one]
    said += f"; speed by {_together(paced)}" if paced else ""
    broken = dict.fromkeys(one["purpose"] for one in cut["passes"] if by_key(one).get("interrupted"))
    return f"{said}; interrupted cut: {', '.join(broken)}" if broken else said


def _together(pairs: list[tuple[str, str]]) -> str:
    found: dict[str, list[str]] = {}
    for why, purpose in pairs:
        found.setdefault(why, []).append(purpose)
    return "; ".join(f"{why} ({', '.join(dict.fromkeys(names))})" for why, names in found.items())
