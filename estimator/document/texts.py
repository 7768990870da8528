"""What stands on the page besides numbers: scope, assumptions, filter shades, cautions; from tables or the plan."""

from typing import Any, Literal

from typing_extensions import TypedDict

from estimator.express import shown
from estimator.formula import leaf
from estimator.plans import Figures, Plan
from estimator.tables import Tables
from estimator.tables.rows import Caution, Grade, Practice, Shade
from estimator.tables.rows import Procedure as Case
from estimator.tables.rows import Scope as ScopeRow
from estimator.weld.qualified import holds
from estimator.weld.refuse import is_thin

__all__ = [
    "GradedWarning",
    "Procedure",
    "Scope",
    "ShadeRow",
    "assumptions_of",
    "cautions_of",
    "graded",
    "practice_of",
    "procedures_of",
    "scope_of",
    "shades_of",
]


class Scope(TypedDict):
    """What is included, excluded, and left to the customer."""

    included: list[str]
    excluded: list[str]
    customer: list[str]


class ShadeRow(TypedDict):
    """Least filter shade over a range of current."""

    range: str
    minimum_shade: float
    source: str


class GradedWarning(TypedDict):
    """A warning and how grave it is: stop until it is settled, somebody must approve, or mind it."""

    grade: Literal["stop", "approve", "mind"]
    text: str


class Procedure(TypedDict):
    """What is not welded without a qualified procedure, who decides, and the bores of the job that it holds for."""

    case: str
    action: Literal["refuse", "approve", "warn"]
    who_decides: str
    why: str
    bores: list[str]


GRADES = ("stop", "approve", "mind")


def scope_of(plan: Plan, facts: Tables) -> dict[str, list[str]]:
    """Return what is included, excluded, and left to the customer."""
    found: dict[str, list[str]] = {"included": [], "excluded": [], "customer": []}
    whole = [bore.survey.bore for bore in plan.bores if bore.survey.bore.part_of is None]
    names = ", ".join(bore.name for bore in whole)
    found["included"].append(f"repair of {len(whole)} bore{'s' if len(whole) > 1 else ''}: {names}")
    for bore in plan.bores:
        one, more = bore.survey.bore, [feature.name for feature in bore.features]
        if one.part_of is not None:
            found["included"].append(one.name)
        if more:
            found["included"].append(f"bore {one.name}: {', '.join(more)}")
    for row in facts.every("scope", ScopeRow):
        found[row.kind].append(row.text)
    return found


def assumptions_of(plan: Plan) -> list[str]:
    """Return what the figures stand on, in words."""
    said = ["work in daylight by one crew; time standards from the table of times, marked from memory until calibrated"]
    if plan.book.invented:
        said.insert(0, f"PRICES ARE INVENTED: {plan.book.name}: {plan.book.note}")
    for bore in plan.bores:
        one, name = bore.survey.bore, bore.survey.bore.name
        if bore.survey.budget:
            said.append(f"bore {name}: one worst diameter only, taken as a circle; a budget price, not an offer")
        if one.readings is not None and one.readings.temperature is not None:
            said.append(f"bore {name}: readings brought to 20 degC; the gauge was set at its own temperature")
        if one.outside_diameter is None:
            said.append(f"bore {name}: outside diameter assumed for the heat balance")
    said.append("waits: heat followed by conduction through boss and an endless plate at its middle; still air")
    said.append("wire feed is set; the current is what to expect, with the scatter of published charts beside it")
    return said


def shades_of(figures: Figures) -> list[dict[str, Any]]:
    """Return the least filter shade for each range of current that the plan uses."""
    currents = [layer.current for one in figures.bores for layer in one.build.layers]
    rows = [
        row
        for row in figures.plan.book.facts.every("shades", Shade)
        if any(row.above <= i < row.below for i in currents)
    ]
    found = []
    for row in rows:
        shade = leaf(row.shade, "fact", "shade", "least filter shade", source=row.source, mark=row.mark)
        found.append({"range": row.name, "minimum_shade": shown("minimum_shade", shade), "source": row.source})
    return found


def cautions_of(plan: Plan, facts: Tables) -> dict[str, list[str]]:
    """Return the cautions for a plan, at length and short for a card: the usual ones, and those that it asks for."""
    rows = _cautions(plan, facts)
    return {"cautions": [row.text for row in rows], "cautions_short": [row.short for row in rows if row.short]}


def _cautions(plan: Plan, facts: Tables) -> list[Caution]:
    when = {
        "always": True,
        "preheat": any(bore.heat.due for bore in plan.bores),
        "brackets": any(bore.survey.bore.mounts == "welded" for bore in plan.bores),
        "confined": plan.job.site.access == "confined",
        "coated": any(bore.survey.bore.condition.coated != "no" for bore in plan.bores),
    }
    return [row for row in facts.every("cautions", Caution) if when[row.when]]


def practice_of(plan: Plan, facts: Tables) -> list[str]:
    """Return the advice to the welder that fits axes and wires of a plan."""
    here = {"always", *(bore.survey.bore.axis for bore in plan.bores), *(bore.weld.wire.kind for bore in plan.bores)}
    return [row.text for row in facts.every("practice", Practice) if row.when in here]


def graded(warnings: list[str], facts: Tables) -> list[dict[str, str]]:
    """Return the warnings with their grade, gravest first, in the order they came within a grade."""
    rows = list(facts.every("grades", Grade))
    grades = [next((row.grade for row in rows if row.words in warning), "mind") for warning in warnings]
    pairs = sorted(zip(grades, warnings, strict=True), key=lambda pair: GRADES.index(pair[0]))
    return [{"grade": grade, "text": text} for grade, text in pairs]


def procedures_of(plan: Plan, facts: Tables) -> list[dict[str, Any]]:
    """Return what is not welded without a qualified procedure, with the bores of the job that it holds for."""
    found = []
    for row in facts.every("procedures", Case):
        bores = [
            one.survey.bore.name
            for one in plan.bores
            if row.action != "refuse" and holds(row, one.survey, one.base, is_thin(one.survey, plan.book), facts)
        ]
        found.append({"case": row.case, "action": row.action, "who_decides": row.who, "why": row.why, "bores": bores})
    return found
