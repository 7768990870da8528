"""On the page: the steel of a bore, how hard its deposit comes out, and where it may be tempered."""

from estimator.document.heat import Heat
from exports.format import Units, bare, by_key, has, number, shown
from exports.page.parts import named

__all__ = ["steel"]

LEAST_ODDS = 0.001


def steel(heat: Heat, units: Units) -> list[str]:
    """Return carbon equivalents, preheat by a table, hardness with its odds, tempering; what an old document has."""
    equivalents = [f"carbon equivalent {bare('carbon_equivalent', heat['carbon_equivalent'], units)}"]
    others = (("CET", "cet"), ("Pcm", "pcm"))
    equivalents += [f"{name} {bare(key, by_key(heat)[key], units)}" for name, key in others if key in heat]
    lines = named("steel", ", ".join(equivalents))
    if heat.get("certificate"):
        lines += named("", f"composition from {heat['certificate']}")
    if not has(heat, "hardness_first_HV"):
        return lines
    lines += named("table", _table(heat, units))
    lines += named("hardness", _hardness(heat, units))
    return lines + named("if too hard", heat["temper"])


def _table(heat: Heat, units: Units) -> str:
    """Return the preheat by a published table, beside the one planned with."""
    warm = heat["preheat_table_C"]
    if warm is None:
        return f"no figure: {heat['preheat_table']}"
    least = shown("preheat_table_C", warm, units) if warm else "none"
    return f"minimum {least}, for comparison only ({heat['preheat_table']})"


def _edge(hard: float, most: float | None) -> str:
    """Return how hard the base metal beside the weld becomes, against what a procedure test allows."""
    said = f"heat-affected zone {number(hard, 0)} HV"
    if most is None:
        return f"{said}, no limit named for this steel"
    verdict = "above" if hard > most else "within"
    done = ": a procedure test decides" if hard > most else ""
    return f"{said}, {verdict} the {number(most, 0)} HV that EN ISO 15614-1 allows{done}"


def _hardness(heat: Heat, units: Units) -> str:
    """Return how hard the deposit comes out, with its odds, and the base metal beside it."""
    first, last, limit, scatter = (
        bare(f"hardness_{name}_HV", by_key(heat)[f"hardness_{name}_HV"], units)
        for name in ("first", "last", "limit", "scatter")
    )
    odds = heat["too_hard_odds"]
    chance = f"{number(100 * odds, 1)} %" if odds >= LEAST_ODDS else "under 0.1 %"
    said = f"deposit {first} HV in its first beads, {last} HV in its last, ±{scatter} HV"
    edge = heat["haz_hardness_HV"]
    beside = heat["haz_said"] if edge is None or heat["haz_said"] else _edge(edge, heat.get("haz_limit_HV"))
    return f"{said}; chance of more than {limit} HV {chance}; {beside}"
