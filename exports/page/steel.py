"""On the page: the steel of a bore, how hard its deposit comes out, and where it may be tempered."""

from typing import Any

from exports.format import Units, bare, number, shown
from exports.page.parts import named

__all__ = ["steel"]

LEAST_ODDS = 0.001


def steel(heat: dict[str, Any], units: Units) -> list[str]:
    """Return carbon equivalents, preheat by a table, hardness with its odds, tempering; what an old document has."""
    equivalents = [f"carbon equivalent {bare('carbon_equivalent', heat['carbon_equivalent'], units)}"]
    others = (("CET", "cet"), ("Pcm", "pcm"))
    equivalents += [f"{name} {bare(key, heat[key], units)}" for name, key in others if key in heat]
    lines = named("steel", ", ".join(equivalents))
    if heat.get("certificate"):
        lines += named("", f"composition from {heat['certificate']}")
    if "hardness_first_HV" not in heat:
        return lines
    lines += named("table", _table(heat, units))
    lines += named("hardness", _hardness(heat, units))
    return lines + named("if too hard", heat["temper"])


def _table(heat: dict[str, Any], units: Units) -> str:
    """Return the preheat by a published table, beside the one planned with."""
    warm = heat["preheat_table_C"]
    if warm is None:
        return f"no figure: {heat['preheat_table']}"
    least = shown("preheat_table_C", warm, units) if warm else "none"
    return f"minimum {least}, for comparison only ({heat['preheat_table']})"


def _hardness(heat: dict[str, Any], units: Units) -> str:
    """Return how hard the deposit comes out, with its odds, and the base metal beside it."""
    first, last, limit, scatter = (
        bare(f"hardness_{name}_HV", heat[f"hardness_{name}_HV"], units)
        for name in ("first", "last", "limit", "scatter")
    )
    odds = heat["too_hard_odds"]
    chance = f"{number(100 * odds, 1)} %" if odds >= LEAST_ODDS else "under 0.1 %"
    said = f"deposit {first} HV in its first beads, {last} HV in its last, ±{scatter} HV"
    edge = heat["haz_hardness_HV"]
    beside = heat["haz_said"] if edge is None else f"heat-affected zone {bare('haz_hardness_HV', edge, units)} HV"
    return f"{said}; chance of more than {limit} HV {chance}; {beside}"
