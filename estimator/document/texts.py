"""What stands on the page besides numbers: scope, assumptions, filter shades, cautions; from tables or the plan."""

from typing import Literal

from typing_extensions import TypedDict

from estimator.express import shown
from estimator.formula import leaf
from estimator.plans import Figures, Plan
from estimator.tables import Tables
from estimator.tables.messages import Message, say, text_of, texts_of
from estimator.tables.rows import Caution, Demanded, Practice, Shade, TimeStandard
from estimator.tables.rows import Procedure as Case
from estimator.tables.rows import Scope as ScopeRow
from estimator.weld.qualified import holds
from estimator.weld.refuse import is_thin

__all__ = [
    "Procedure",
    "Scope",
    "ShadeRow",
    "assumptions_of",
    "cautions_for",
    "cautions_of",
    "practice_of",
    "procedures_of",
    "scope_of",
    "scope_rows",
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


class Cautions(TypedDict):
    """The cautions for a plan, at length and short for a card, and where the time of each stands."""

    cautions: list[str]
    cautions_short: list[str]
    cautions_where: list[str]


class Procedure(TypedDict):
    """What is not welded without a qualified procedure, who decides, and the bores of the job that it holds for."""

    case: str
    action: Literal["refuse", "approve", "warn"]
    who_decides: str
    why: str
    bores: list[str]


def scope_rows(plan: Plan, facts: Tables, *, at_length: bool = False) -> tuple[list[ScopeRow], list[Message]]:
    """Return the rows of the scope that hold for a plan, and what is included beside them: bores and their features.

    `at_length`: features in words, else by name.
    """
    whole = [bore.survey.bore for bore in plan.bores if bore.survey.bore.part_of is None]
    names = tuple(bore.name for bore in whole)
    said = [say("repair_many", count=len(whole), names=names) if len(whole) > 1 else say("repair_one", names=names)]
    for bore in plan.bores:
        one = bore.survey.bore
        more = tuple(feature.text if at_length else feature.name for feature in bore.features)
        if one.part_of is not None:
            said.append(say("part_step", number=one.name.split(" ", 2)[1], bore=one.part_of))
        if more:
            said.append(say("bore_features", bore=one.name, features=more))
    here = {"always"} if plan.book.equipment.generator else {"always", "mains"}
    return [row for row in facts.every("scope", ScopeRow) if row.when in here], said


def scope_of(plan: Plan, facts: Tables) -> Scope:
    """Return what is included, excluded, and left to the customer."""
    rows, said = scope_rows(plan, facts)
    found: Scope = {"included": texts_of(said), "excluded": [], "customer": []}
    for row in rows:
        found[row.kind].append(row.text)
    return found


def assumptions_of(plan: Plan) -> list[str]:
    """Return what the figures stand on, in words."""
    said = [say("invented", book=plan.book.name, note=plan.book.note)] if plan.book.invented else []
    said.append(say("daylight"))
    for bore in plan.bores:
        one, own = bore.survey.bore, list[Message]()
        if one.readings is None:
            own.append(say("budget_circle"))
        if one.readings is not None and one.readings.temperature is not None:
            own.append(say("readings_warmed"))
        if one.outside_diameter is None:
            own.append(say("outside_assumed"))
        said += [say("of_bore", bore=one.name, said=each) for each in own]
    return texts_of([*said, say("waits_by"), say("feed_set")])


def shades_of(figures: Figures) -> list[ShadeRow]:
    """Return the least filter shade for each range of current that the plan uses."""
    currents = [layer.current for one in figures.bores for layer in one.build.layers]
    rows = [
        row
        for row in figures.plan.book.facts.every("shades", Shade)
        if any(row.above <= i < row.below for i in currents)
    ]
    found: list[ShadeRow] = []
    for row in rows:
        shade = leaf(row.shade, "fact", "shade", "least filter shade", source=row.source, mark=row.mark)
        found.append({"range": row.name, "minimum_shade": shown("minimum_shade", shade), "source": row.source})
    return found


def cautions_of(figures: Figures) -> Cautions:
    """Return the cautions for a plan, at length and short for a card: the usual ones, and those that it asks for."""
    rows, facts = cautions_for(figures.plan, figures.schedule.arrangement.people), figures.plan.book.facts
    return {
        "cautions": [row.text for row in rows],
        "cautions_short": [row.short for row in rows if row.short],
        "cautions_where": [_where(row, facts) for row in rows],
    }


def _where(row: Caution, facts: Tables) -> str:
    """Return where the time of what a caution asks stands, or why in none."""
    found, asked = facts.rows("demanded").get(f"caution {row.code}"), row.short or row.text
    if not isinstance(found, Demanded):
        return text_of(say("asked_unsaid", asked=asked))
    if not found.times:
        return text_of(say("asked_free", asked=asked, why=found.why))
    work = tuple(
        one.meaning for code in found.times.split() if isinstance(one := facts.rows("times")[code], TimeStandard)
    )
    return text_of(say("asked_in", asked=asked, work=work))


def cautions_for(plan: Plan, people: int) -> list[Caution]:
    """Return the rows of the cautions that hold for a plan and so many people on site."""
    when = {
        "always": True,
        "alone": people == 1,
        "preheat": any(bore.heat.due for bore in plan.bores),
        "brackets": any(bore.survey.bore.mounts == "welded" for bore in plan.bores),
        "confined": plan.job.site.access == "confined",
        "coated": any(bore.survey.bore.condition.coated != "no" for bore in plan.bores),
    }
    return [row for row in plan.book.facts.every("cautions", Caution) if when[row.when]]


def practice_of(plan: Plan, facts: Tables) -> list[str]:
    """Return the advice to the welder that fits axes and wires of a plan."""
    here = {"always", *(bore.survey.bore.axis for bore in plan.bores), *(bore.weld.wire.kind for bore in plan.bores)}
    return [row.text for row in facts.every("practice", Practice) if row.when in here]


def procedures_of(plan: Plan, facts: Tables) -> list[Procedure]:
    """Return what is not welded without a qualified procedure, with the bores of the job that it holds for."""
    found: list[Procedure] = []
    for row in facts.every("procedures", Case):
        bores = [
            one.survey.bore.name
            for one in plan.bores
            if row.action != "refuse" and holds(row, one.survey, one.base, is_thin(one.survey, plan.book), facts)
        ]
        found.append({"case": row.case, "action": row.action, "who_decides": row.who, "why": row.why, "bores": bores})
    return found
