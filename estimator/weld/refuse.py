"""What must not be welded, and what a qualified person must approve first."""

from estimator.book.pricebook import PriceBook
from estimator.bore.gauge import widest_gap
from estimator.bore.pocket import deepest_in, missed
from estimator.bore.pocket import wall_of as least
from estimator.bore.survey import Survey
from estimator.errors import Fault
from estimator.tables import Tables
from estimator.units import in_mm
from estimator.weld.qualified import case_of
from estimator.weld.steel import ELEMENTS, Base
from estimator.weld.technique import Situation, bound

__all__ = ["conditions", "is_thin", "refusals"]

ANYWHERE = Situation("any", "any")
SLACK = 1e-9  # relative
DUTIES = ("lifting", "rollover", "pressure")
ASKS = "approval needed by a qualified welding engineer"


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
        found.append(
            Fault(
                f"{path}.condition.cracks",
                "a cracked part is not built up: remove the crack, prove it gone, then ask again; it is for "
                f"{case_of('cracks', facts).who} to decide",
            )
        )
    wall, limit = wall_of(survey), bound(facts, "wall", ANYWHERE, "must")
    if wall is not None and not limit.holds(wall):
        found.append(
            Fault(
                f"{path}.{'outside_diameter' if bore.walls is None else 'walls'}",
                f"only {in_mm(wall)} of wall is left after clean-up; {in_mm(limit.low)} is the least"
                if wall > 0
                else f"the cut goes through the wall by {in_mm(-wall)}; {in_mm(limit.low)} of wall must be left",
            )
        )
    smallest, reach = bound(facts, "bore", ANYWHERE, "must").low, book.equipment
    size = bore.nominal_diameter
    if size < smallest or size < reach.smallest_bore:
        least = max(smallest, reach.smallest_bore)
        found.append(
            Fault(f"{path}.nominal_diameter", f"{in_mm(size)} is under the {in_mm(least)} that {reach.name} turns in")
        )
    if survey.sizes.cleanup > reach.largest_bore:
        said = f"{in_mm(survey.sizes.cleanup)} is over the {in_mm(reach.largest_bore)} that {reach.name} reaches"
        found.append(Fault(f"{path}.nominal_diameter", said))
    return [*found, *_part_turns(survey, book, path), *_sizes(survey, path)]


def _unfit(base: Base, facts: Tables, path: str) -> list[Fault]:
    """Return why a steel must not be welded at all, with who decides."""
    carbon = bound(facts, "carbon", ANYWHERE, "must").high
    if base.verdict in ("refuse", "analysis"):
        cure = "give the composition from an analysis" if base.verdict == "analysis" else "fit a sleeve or a new part"
        who = case_of("analysis" if base.verdict == "analysis" else f"family {base.family}", facts).who
        said = f"{base.name} must not be welded here: {base.why}; {cure}; it is for {who} to decide"
        return [Fault(f"{path}.material", said)]
    if carbon < base.C:
        said = f"{base.C:g} % carbon is above {carbon:g} %: it must not be welded by this method"
        return [Fault(f"{path}.material", said)]
    return []


def _part_turns(survey: Survey, book: PriceBook, path: str) -> list[Fault]:
    """Return why a sector cannot be laid with the user's equipment."""
    if survey.bore.sector is None or book.equipment.part_turns:
        return []
    cure = "leave the sector out, or give equipment that can (price book, equipment.part_turns)"
    return [Fault(f"{path}.sector", f"{book.equipment.name} cannot weld part of a turn; {cure}")]


def _sizes(survey: Survey, path: str) -> list[Fault]:
    """Return why the sizes leave nothing to build up."""
    sizes, bore = survey.sizes, survey.bore
    if sizes.weld <= 0:
        return [Fault(f"{path}.machining_allowance", "leaves no bore to weld; the allowance is a side")]
    if sizes.cleanup <= sizes.weld:
        return [
            Fault(
                f"{path}.cleanup_diameter", f"{in_mm(sizes.cleanup)} leaves nothing to build up to {in_mm(sizes.weld)}"
            )
        ]
    if bore.cleanup_diameter is not None and bore.cleanup_diameter < bore.nominal_diameter:
        return [Fault(f"{path}.cleanup_diameter", "is below the nominal diameter; give the bore as it was cut")]
    return []


def _alloyed(base: Base, facts: Tables, path: str) -> list[Fault]:
    """Return every element of which the steel holds so much that it is another kind of steel."""
    if base.verdict in ("refuse", "analysis"):
        return []
    names = (*ELEMENTS, "S")
    limits = {name: bound(facts, f"alloy {name}", ANYWHERE, "must") for name in names}
    return [
        Fault(f"{path}.material", f"{name}: {limits[name].why_not(getattr(base, name))}; fit a sleeve or a new part")
        for name in names
        if not limits[name].holds(getattr(base, name))
    ]


def _rich(base: Base, facts: Tables) -> list[str]:
    """Return the elements that leave the range of the preheat method, in words."""
    limits = {name: bound(facts, f"alloy {name}", ANYWHERE, "comfort", "must") for name in ELEMENTS}
    said = [f"{getattr(base, name):g} % {name}" for name in ELEMENTS if not limits[name].holds(getattr(base, name))]
    return [f"{', '.join(said)} leave the range of the preheat method: {ASKS}"] if said else []


def _not_of_the_grade(base: Base) -> list[str]:
    """Return a warning where a certificate tells of more than the grade allows."""
    told = ", ".join(f"{getattr(base, name):g} % {name}" for name in base.above)
    return [f"{told} on the certificate is more than {base.name} allows: is it this part's?"] if told else []


def conditions(survey: Survey, base: Base, book: PriceBook) -> list[str]:
    """Return the warnings about a bore: what to check first and what a qualified person must approve."""
    bore, name, said = survey.bore, survey.bore.name, []
    limit = bound(book.facts, "carbon", ANYWHERE, "comfort").high
    if base.verdict == "approval" or limit < base.C:
        why = base.why or f"{base.C:g} % carbon"
        said.append(f"{base.name}: {ASKS}: {why}")
    said += _rich(base, book.facts)
    said += _not_of_the_grade(base)
    said += _not_said(survey)
    if bore.condition.cracks == "unknown":
        said.append("cracks not checked: test the cleaned bore before any arc; a crack stops the job")
    if bore.condition.hardened == "yes":
        said.append(f"hardened or hardfaced: bore down to sound soft metal first; {ASKS}")
    if bore.condition.coated == "yes":
        row = case_of("coated", book.facts)
        said.append(f"coated: strip to bare metal first, the fume is poisonous; {row.who} decides")
    if bore.condition.welded_before == "yes":
        said.append(f"welded before: the old deposit's composition is unknown; {ASKS}")
    if bore.condition.bush == "yes":
        said.append("a bush sits in the bore: press it out and measure again before this price is issued")
    if bore.condition.duty in DUTIES:
        row = case_of(bore.condition.duty, book.facts)
        said.append(f"{row.case}: approval needed by {row.who}")
    said += _bracketed(survey, base, limit)
    return [f"bore {name}: {one}" for one in said + _geometry(survey, book)]


def _bracketed(survey: Survey, base: Base, carbon: float) -> list[str]:
    """Return a warning where brackets for the bar would be welded onto a part that does not allow it."""
    bore = survey.bore
    if bore.mounts == "clamped" or (bore.condition.duty not in DUTIES and carbon >= base.C):
        return []
    why = f"{base.C:g} % carbon" if carbon < base.C else f"{bore.condition.duty} duty"
    return [f'{why}: approval needed before brackets for the bar are welded on; clamp them ("mounts": "clamped")']


UNSAID = {
    "welded_before": "whether it was welded before",
    "hardened": "whether it is hardened or hardfaced",
    "coated": "whether it is coated",
    "bush": "whether a bush sits in it",
    "duty": "what duty it does (lifting, rollover, pressure)",
}


def _not_said(survey: Survey) -> list[str]:
    """Return one warning about all that is not known of the part."""
    unknown = [text for key, text in UNSAID.items() if getattr(survey.bore.condition, key) == "unknown"]
    return [f"find out before the offer is issued: {', '.join(unknown)}"] if unknown else []


def _geometry(survey: Survey, book: PriceBook) -> list[str]:
    """Return the warnings that sizes and readings ask for."""
    bore, said, facts = survey.bore, [], book.facts
    wall, thin = wall_of(survey), bound(facts, "wall", ANYWHERE, "comfort").low
    if wall is None:
        said.append("no outside diameter given: the wall was not checked and counts as thick for preheat")
    elif wall < thin:
        said.append(f"only {in_mm(wall)} of wall: {ASKS}, and the plan keeps the heat low")
    deepest = bound(facts, "wear", ANYWHERE, "comfort").high
    if survey.wear.max_radial_wear > deepest:
        said.append(f"{in_mm(survey.wear.max_radial_wear)} of wear a side is more than usual; have the part looked at")
    if survey.wear.largest_diameter < bore.nominal_diameter:
        said.append("no reading reaches the nominal diameter: check nominal and readings")
    if survey.sizes.cleanup < survey.sizes.finish + 2 * facts.constant("least_weld") * (1 - SLACK):
        said.append("hardly any weld metal is left in the finished bore: clean up deeper or leave the bore as it is")
    said += _parts_of_clock(survey, book)
    uncut = bore.cleanup_diameter if bore.pocket is None else None
    if uncut is not None and (uncut - bore.nominal_diameter) / 2 > deepest:
        said.append("the bore was cut deeper than is usual; have the part looked at")
    if uncut is not None and uncut < survey.wear.largest_diameter:
        said.append("the bore as cut is smaller than the largest diameter read: metal is left that was not cleaned")
    return said + _gauging(survey)


WIDEST = {"diameter": 46.0, "three-point": 61.0, "radius": 91.0, "points": 91.0}  # degrees between two readings


def _parts_of_clock(survey: Survey, book: PriceBook) -> list[str]:
    """Return what a sector or pocket leaves, and what is asked finer than it can be had."""
    bore, said, left = survey.bore, list[str](), missed(survey)
    if left is not None:
        said.append(
            f"{in_mm(left[0])} of wear at {left[1]:g} degrees lies outside the sector and stays: widen the sector"
        )
    if bore.pocket is not None and deepest_in(survey) <= (survey.sizes.cleanup - bore.nominal_diameter) / 2:
        said.append("nothing in the pocket is deeper than the clean-up cut: it only costs; leave it out")
    if survey.wear.largest_diameter <= survey.sizes.finish_max:
        said.append("every reading lies within the finished limits: nothing is worn, or the nominal is wrong")
    for face in bore.faces:
        if face.runout is not None and face.runout < book.facts.plain_constant("least_runout"):
            said.append(f"a run-out of {in_mm(face.runout)} is finer than a portable facing head cuts")
    return said


def _gauging(survey: Survey) -> list[str]:
    """Return what the way of measuring may have missed."""
    readings = survey.bore.readings
    if readings is None:
        return []
    gap, widest = widest_gap(survey.profile, readings.kind), WIDEST[readings.kind]
    said = []
    if gap > widest:
        said.append(f"{gap:g} degrees of the clock without a reading: the deepest wear may lie between")
    if len(survey.profile.depth) == 1:
        said.append("read at one depth only: taper and bell mouth are not seen")
    if readings.kind == "diameter":
        said.append(f"two-point diameters do not see lobes of odd number; {survey.bore.wear} wear is taken as said")
    if readings.kind == "three-point":
        said.append(f"three-point diameters do not see plain ovality; {survey.bore.wear} wear is taken as said")
    return said
