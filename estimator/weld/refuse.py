"""What must not be welded, and what a qualified person must approve first."""

from collections.abc import Iterable

from estimator.book.pricebook import PriceBook
from estimator.bore.gauge import widest_gap
from estimator.bore.pocket import deepest_in, missed
from estimator.bore.pocket import wall_of as least
from estimator.bore.survey import Survey
from estimator.errors import Fault
from estimator.tables import Tables
from estimator.tables.messages import Message, fault, say
from estimator.weld.qualified import case_of
from estimator.weld.steel import ELEMENTS, Base
from estimator.weld.technique import ELEMENT, Situation, bound

__all__ = ["conditions", "is_thin", "refusals"]

ANYWHERE = Situation("any", "any")
SLACK = 1e-9  # relative
DUTIES = ("lifting", "rollover", "pressure")


def wall_of(survey: Survey) -> float | None:
    """Return the wall left after the clean-up cut, or None where no outside diameter was given. [m]"""
    return least(survey)


def is_thin(survey: Survey, book: PriceBook) -> bool:
    """Return whether the wall asks for less heat."""
    wall = wall_of(survey)
    return wall is not None and not bound(book.facts, "wall", ANYWHERE, "comfort").holds(wall)


def refusals(survey: Survey, base: Base, book: PriceBook, path: str) -> list[Fault]:
    """Return every reason why a bore must not be welded as described."""
    facts, bore, found = book.facts, survey.bore, []
    found += [*_unfit(base, facts, path), *_alloyed(base, facts, path)]
    if bore.condition.cracks == "yes":
        who = case_of("cracks", facts).who
        found.append(fault(f"{path}.condition.cracks", say("refused_cracks", who=who)))
    wall, limit = wall_of(survey), bound(facts, "wall", ANYWHERE, "must")
    if wall is not None and not limit.holds(wall):
        thin, through = (
            say("refused_wall", wall=wall, least=limit.low),
            say("refused_through", over=-wall, least=limit.low),
        )
        where = "outside_diameter" if bore.walls is None else "walls"
        found.append(fault(f"{path}.{where}", thin if wall > 0 else through))
    return [*found, *_reached(survey, book, path), *_part_turns(survey, book, path), *_sizes(survey, path)]


def _reached(survey: Survey, book: PriceBook, path: str) -> list[Fault]:
    """Return why the equipment does not work in a bore of its size."""
    rig, size, found = book.equipment, survey.bore.nominal_diameter, []
    least = max(bound(book.facts, "bore", ANYWHERE, "must").low, rig.smallest_bore)
    if size < least:
        found.append(say("refused_small", size=size, rig=rig.name, least=least))
    elif survey.sizes.weld < rig.smallest_bore:
        found.append(say("refused_torch", size=survey.sizes.weld, rig=rig.name, least=rig.smallest_bore))
    if survey.sizes.cleanup > rig.largest_bore:
        found.append(say("refused_large", size=survey.sizes.cleanup, rig=rig.name, most=rig.largest_bore))
    return [fault(f"{path}.nominal_diameter", one) for one in found]


def _unfit(base: Base, facts: Tables, path: str) -> list[Fault]:
    """Return why a steel must not be welded at all, with who decides."""
    carbon = bound(facts, "carbon", ANYWHERE, "must").high
    if base.verdict in ("refuse", "analysis"):
        unknown = base.verdict == "analysis"
        who = case_of("analysis" if unknown else f"family {base.family}", facts).who
        cure = say("cure_analysis" if unknown else "cure_sleeve")
        return [fault(f"{path}.material", say("refused_steel", steel=base.name, why=base.why, cure=cure, who=who))]
    if carbon < base.C:
        return [fault(f"{path}.material", say("refused_carbon", carbon=base.C, most=carbon))]
    return []


def _part_turns(survey: Survey, book: PriceBook, path: str) -> list[Fault]:
    """Return why a sector cannot be laid with the user's equipment."""
    if survey.bore.sector is None or book.equipment.part_turns:
        return []
    return [fault(f"{path}.sector", say("refused_sector", rig=book.equipment.name))]


def _sizes(survey: Survey, path: str) -> list[Fault]:
    """Return why the sizes leave nothing to build up."""
    sizes, bore = survey.sizes, survey.bore
    if sizes.weld <= 0:
        return [fault(f"{path}.machining_allowance", say("refused_allowance"))]
    if sizes.cleanup <= sizes.weld:
        said = say("refused_cleanup", cleanup=sizes.cleanup, weld=sizes.weld)
        return [fault(f"{path}.cleanup_diameter", said)]
    if bore.cleanup_diameter is not None and bore.cleanup_diameter < bore.nominal_diameter:
        return [fault(f"{path}.cleanup_diameter", say("refused_cut"))]
    return []


def _alloyed(base: Base, facts: Tables, path: str) -> list[Fault]:
    """Return every element of which the steel holds so much that it is another kind of steel."""
    if base.verdict in ("refuse", "analysis"):
        return []
    names = (*ELEMENTS, "S")
    limits = {name: bound(facts, f"alloy {name}", ANYWHERE, "must") for name in names}
    broken = [
        limits[name].why_not(getattr(base, name), say("element_name", name=name), ELEMENT)
        for name in names
        if not limits[name].holds(getattr(base, name))
    ]
    return [fault(f"{path}.material", say("refused_alloy", said=one, cure=say("cure_sleeve"))) for one in broken]


def _shares(base: Base, names: Iterable[str]) -> tuple[Message, ...]:
    return tuple(say("element", share=getattr(base, name), name=name) for name in names)


def _rich(base: Base, facts: Tables) -> list[Message]:
    """Return the elements that leave the range of the preheat method."""
    limits = {name: bound(facts, f"alloy {name}", ANYWHERE, "comfort", "must") for name in ELEMENTS}
    rich = [name for name in ELEMENTS if not limits[name].holds(getattr(base, name))]
    return [say("alloy_rich", elements=_shares(base, rich))] if rich else []


def _not_of_the_grade(base: Base) -> list[Message]:
    """Return a warning where a certificate tells of more than the grade allows."""
    return [say("certificate", elements=_shares(base, base.above), steel=base.name)] if base.above else []


def conditions(survey: Survey, base: Base, book: PriceBook) -> list[Message]:
    """Return the warnings about a bore: what to check first and what a qualified person must approve."""
    limit = bound(book.facts, "carbon", ANYWHERE, "comfort").high
    said = list[Message]()
    if base.verdict == "approval" or limit < base.C:
        why = say("carbon", carbon=base.C) if base.verdict == "range" else base.why or say("carbon", carbon=base.C)
        said.append(say("steel_approval", steel=base.name, why=why))
    if base.verdict == "range":
        said.append(say("steel_range", steel=base.name, why=base.why))
    return [
        *said,
        *_rich(base, book.facts),
        *_not_of_the_grade(base),
        *_not_said(survey),
        *_as_found(survey, book.facts),
        *_bracketed(survey, base, limit, book.facts),
        *_geometry(survey, book),
    ]


def _as_found(survey: Survey, facts: Tables) -> list[Message]:
    """Return what the condition of the part asks for."""
    found, said = survey.bore.condition, list[Message]()
    if found.cracks == "unknown":
        said.append(say("cracks_unknown"))
    if found.hardened == "yes":
        said.append(say("hardened"))
    if found.coated == "yes":
        said.append(say("coated", who=case_of("coated", facts).who))
    if found.welded_before == "yes":
        said.append(say("welded_before"))
    if found.bush == "yes":
        said.append(say("bush"))
    if found.duty in DUTIES:
        row = case_of(found.duty, facts)
        said.append(say("duty", case=row.case, who=row.who))
    return said


def _bracketed(survey: Survey, base: Base, carbon: float, facts: Tables) -> list[Message]:
    """Return a warning where brackets for the bar would be welded onto a part that does not allow it."""
    duty = survey.bore.condition.duty
    if survey.bore.mounts == "clamped" or (duty not in DUTIES and carbon >= base.C):
        return []
    if carbon < base.C:
        return [say("bracket_carbon", carbon=base.C)]
    return [say("bracket_duty", duty=duty, who=case_of(duty, facts).who)]


UNSAID = {
    "welded_before": say("unsaid_welded_before"),
    "hardened": say("unsaid_hardened"),
    "coated": say("unsaid_coated"),
    "bush": say("unsaid_bush"),
    "duty": say("unsaid_duty"),
}


def _not_said(survey: Survey) -> list[Message]:
    """Return one warning about all that is not known of the part."""
    unknown = tuple(said for key, said in UNSAID.items() if getattr(survey.bore.condition, key) == "unknown")
    return [say("find_out", unknown=unknown)] if unknown else []


def _geometry(survey: Survey, book: PriceBook) -> list[Message]:
    """Return the warnings that sizes and readings ask for."""
    bore, said, facts = survey.bore, list[Message](), book.facts
    wall, thin = wall_of(survey), bound(facts, "wall", ANYWHERE, "comfort").low
    if wall is None:
        said.append(say("no_outside"))
    elif wall < thin:
        said.append(say("wall_thin", wall=wall, thin=thin))
    deepest = bound(facts, "wear", ANYWHERE, "comfort").high
    if survey.wear.max_radial_wear > deepest:
        said.append(say("wear_deep", wear=survey.wear.max_radial_wear, most=deepest))
    if survey.wear.largest_diameter < bore.nominal_diameter:
        said.append(say("nominal", largest=survey.wear.largest_diameter, nominal=bore.nominal_diameter))
    if survey.sizes.cleanup < survey.sizes.finish + 2 * facts.constant("least_weld") * (1 - SLACK):
        said.append(say("little_weld"))
    said += _parts_of_clock(survey, book)
    uncut = bore.cleanup_diameter if bore.pocket is None else None
    if uncut is not None and (uncut - bore.nominal_diameter) / 2 > deepest:
        said.append(say("cut_deep"))
    if uncut is not None and uncut < (need := _needed(survey)) * (1 - SLACK):
        said.append(say("not_cleaned", need=need))
    return said + _gauging(survey, int(facts.plain_constant("radii_for_ways")))


def _needed(survey: Survey) -> float:
    """Return the bore that the deepest wear needs, about the bore's own axis; the largest size read on a line's. [m]"""
    largest = survey.wear.largest_diameter
    own = survey.bore.nominal_diameter + 2 * survey.wear.max_radial_wear
    return largest if survey.placed is not None or survey.bore.sector is not None else max(largest, own)


WIDEST = {"diameter": 46.0, "three-point": 61.0, "radius": 91.0, "points": 91.0}  # degrees between two readings


def _parts_of_clock(survey: Survey, book: PriceBook) -> list[Message]:
    """Return what a sector or pocket leaves, and what is asked finer than it can be had."""
    bore, said, left = survey.bore, list[Message](), missed(survey)
    if left is not None:
        said.append(say("sector_missed", wear=left[0], clock=left[1]))
    if bore.pocket is not None and deepest_in(survey) <= (survey.sizes.cleanup - bore.nominal_diameter) / 2:
        said.append(say("pocket_idle"))
    smallest, largest = survey.wear.smallest_diameter, survey.wear.largest_diameter
    if smallest >= survey.sizes.finish_min and largest <= survey.sizes.finish_max:
        said.append(say("not_worn"))
    elif bore.nominal_diameter <= largest <= survey.sizes.finish_max:
        said.append(say("undersize", least=smallest, low=survey.sizes.finish_min))
    for face in bore.faces:
        if face.runout is not None and face.runout < book.facts.plain_constant("least_runout"):
            said.append(say("runout_fine", runout=face.runout))
    return said


def _gauging(survey: Survey, least: int) -> list[Message]:
    """Return what the way of measuring may have missed."""
    readings = survey.bore.readings
    if readings is None:
        return []
    gap, widest = widest_gap(survey.profile, readings.kind), WIDEST[readings.kind]
    said = list[Message]()
    if gap > widest:
        said.append(say("clock_gap", gap=gap))
    if len(survey.profile.depth) == 1:
        said.append(say("one_depth"))
    if readings.kind == "radius" and len(readings.clock) < least:
        said.append(say("few_radii", count=len(readings.clock), least=least))
    if readings.kind == "diameter":
        said.append(say("lobes_unseen", wear=survey.bore.wear))
    if readings.kind == "three-point":
        said.append(say("ovality_unseen", wear=survey.bore.wear))
    return said
