"""What a bill is made of: which quantity becomes which line, at which price of the book.

One recipe serves the bill that is printed and its unrounded twin. Quantities are SI, one number each or arrays of one
length; nothing here rounds or looks at an amount.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from estimator.days.schedule import Schedule
from estimator.days.timetable import way_to
from estimator.formula import choice, formula, leaf, summed
from estimator.inputs import Inputs, as_it_falls
from estimator.plans import BoreFigures, Figures, Plan
from estimator.shop.remedy import Remedy

__all__ = ["Entry", "Odds", "Part", "Share", "Sold", "fixed_parts", "job_parts", "recipe_of"]


@dataclass(frozen=True)
class Entry:
    """A quantity [SI] at a unit price: `path` is where that stands in the book, `unit` what both are counted in.

    `step`: what the quantity is printed to, where that is not usual for the unit; `spare`: no line where it prints as
    nothing.
    """

    code: str
    description: str
    bore: str | None
    quantity: float
    unit: str
    path: tuple[str, ...]
    step: str = ""
    spare: bool = False


@dataclass(frozen=True)
class Share:
    """A share of all lines before it that bear one; `path` is where it stands in the book.

    `fraction`: what it is where it was worked out from that.
    """

    code: str
    path: str
    fraction: float | None = None


@dataclass(frozen=True)
class Odds:
    """The odds of some work times what all of it would cost; its parts stand in no bill."""

    code: str
    description: str
    bore: str
    odds: float
    parts: tuple[Entry, ...]


@dataclass(frozen=True)
class Sold:
    """Something sold beside the repair: passed on at the price of the job, or `at_cost`, with margin on it."""

    description: str
    quantity: float
    unit: str
    price: Decimal
    at_cost: bool = False


Part = Entry | Share | Odds | Sold
YEAR = 365.25  # days
SITE, EQUIPMENT = ("rates", "labour_on_site"), ("rates", "equipment")


@formula("person_time", "definition: people times time", "computed", unit="s")
def person_time(time: float, people: int) -> float:
    """Person-time. [s]"""
    return time * people


@formula("distance", "definition: there and back", "computed", unit="m")
def there_and_back(distance: float, trips: int) -> float:
    """Distance driven. [m]"""
    return 2 * distance * trips


@formula("nights", "definition: nights times people", "computed")
def person_nights(nights: int, people: int) -> int:
    """Nights paid for. [-]"""
    return nights * people


WORK = (  # code, words, phases of a bore's own time
    ("labour-setup", "set-up, alignment, strip", ("setup", "teardown")),
    ("labour-boring", "boring before and after, trim, inspection", ("precut", "finish", "inspection")),
    ("labour-welding", "preheat and welding, layers cleaned", ("preheat", "weld")),
)
WORN = (("tips", "contact tips", "tip"), ("nozzles", "gas nozzles", "nozzle"), ("inserts", "boring inserts", "insert"))


def _bore(one: BoreFigures, mains: bool) -> Iterator[Entry]:
    """Yield what one bore is billed: its labour by kind of work, what it uses up, its electricity from the mains."""
    name, used = one.plan.survey.bore.name, one.supplies
    wire, gas = one.plan.weld.wire.name, one.plan.weld.gas.name
    for code, words, phases in WORK:
        yield Entry(code, words, name, summed("work", "s", *(one.time.plain[phase] for phase in phases)), "h", SITE)
    for extra in one.features:
        code = f"labour-{extra.feature.code.replace(' ', '-')}"
        yield Entry(code, extra.feature.name, name, extra.total, "h", SITE)
    yield Entry("wire", f"wire {wire}", name, used.wire, "kg", ("consumables", "wires", wire, "price"))
    yield Entry("gas", f"gas {gas}", name, used.gas, "L", ("consumables", "gases", gas, "price"))
    for code, words, item in WORN:
        yield Entry(code, words, name, getattr(used, code), "each", ("consumables", item, "price"))
    if mains:  # a generator's fuel is charged instead
        yield Entry("energy", "electricity", name, used.energy, "kWh", ("consumables", "energy"))


SUNDRIES = (  # code, words, field, unit, SI unit, the item in the price book
    ("liners", "torch liners", "liners", "each", "", "liner"),
    ("discs", "grinding discs", "discs", "each", "", "disc"),
    ("brackets", "brackets of the bar, by the times they are used", "brackets", "each", "", "bracket"),
    ("anti-spatter", "anti-spatter", "anti_spatter", "L", "m3", "anti_spatter"),
    ("burner-gas", "burner gas for preheat", "burner_gas", "kg", "kg", "burner_gas"),
    ("fuel", "fuel of the generator", "fuel", "L", "m3", "fuel"),
)


def _sundries(bores: tuple[BoreFigures, ...]) -> Iterator[Entry]:
    """Yield what is used up beside wire, gas and wear parts, for the whole job."""
    for code, words, field, unit, base, item in SUNDRIES:
        used = summed(field, base, *(getattr(one.supplies, field) for one in bores))
        price = ("consumables", item, "price")
        yield Entry(code, words, None, used, unit, price, step="0.001", spare=True)


def _once(whole: Schedule, distance: float) -> Iterator[Entry]:
    """Yield what is done once a job."""
    machines = choice(whole.arrangement.machines, "machines", "machines on site at once in the order of work")
    work = "arrival, permit, test bead, packing, papers, fire watch"
    road, running = person_time(whole.travel, whole.people), person_time(whole.on_site, machines)
    kit, driven = "boring and welding equipment on site", there_and_back(distance, whole.trips)
    nights = person_nights(whole.nights, whole.people)
    yield Entry("labour-job", work, None, summed("work", "s", whole.once, whole.fire_watch), "h", SITE)
    yield from _standing(whole)
    yield Entry("labour-travel", "travel, there and back", None, road, "h", ("rates", "labour_travel"))
    yield Entry("equipment", kit, None, running, "rig h", EQUIPMENT)
    yield Entry("distance", "van, there and back", None, driven, "km", ("travel", "distance"))
    yield Entry("nights", "nights away", None, nights, "night", ("travel", "night"), spare=True)


def _late(figures: Figures) -> Iterator[Entry]:
    """Yield what the paid hours of a job cost on top that is worked at night or at weekends."""
    worked, whole = figures.plan.job.worked, figures.schedule
    if worked != "day":
        said = f"hours worked at {'night' if worked == 'night' else 'weekends'}, on top"
        yield Entry(f"labour-{worked}", said, None, whole.labour, f"{worked} h", ("rates", f"labour_{worked}"))


@formula("escalation", "compound interest: (1 + rate) to the years, less 1", "published")
def escalated(fraction: float, years: float) -> float:
    """Share by which costs have risen after some years. [-]"""
    return float((1 + fraction) ** years - 1)


def _escalated(plan: Plan) -> Iterator[Share]:
    """Yield the share by which costs rise until a job starts; none where no start is said, or the book rises none."""
    rise, start = plan.book.escalation, plan.job.start
    if rise is not None and start is not None and start > rise.since:
        days = (datetime.date.fromisoformat(start) - datetime.date.fromisoformat(rise.since)).days
        years = leaf(days / YEAR, "given", "years", f"from {rise.since} to the start of the job, {start}", unit="year")
        yield Share("escalation", "escalation.fraction", escalated(plan.book.number("escalation.fraction"), years))


def _standing(whole: Schedule) -> Iterator[Entry]:
    """Yield the hours of the crew beside its work: with nothing to do, standing by for others, beyond the shift."""
    one = whole.arrangement
    said = "cooling that no other work fills"
    said += "; hours in which some of the crew have nothing to do" if one.technicians > 1 else ""
    yield Entry("labour-waiting", said, None, whole.standing, "h", SITE)
    if one.people > one.technicians:
        extra = choice(one.people - one.technicians, "attendants", "who stand by while one works in a confined space")
        hours = person_time(whole.on_site, extra)
        yield Entry("labour-attendant", "attendant of the confined space", None, hours, "h", SITE)
    if one.mode.overtime:
        hours, late = person_time(whole.overtime, whole.people), ("rates", "labour_overtime")
        yield Entry("overtime", "hours beyond the shift, on top", None, hours, "overtime h", late, spare=True)


def _hardness(one: BoreFigures, remedy: Remedy, people: int, day: Inputs) -> Odds:
    """Return what is laid aside for a deposit that may come out too hard: the odds of one more layer and tempering."""
    name, wire, gas = one.plan.survey.bore.name, one.plan.weld.wire.name, one.plan.weld.gas.name
    return Odds(
        "hardness-allowance",
        "one more layer, or tempering, where the deposit comes out too hard to bore",
        name,
        as_it_falls(one.plan.heat.risk.odds, "hardness", day),
        (
            Entry("labour-remedy", "labour", name, person_time(remedy.time, people), "h", SITE),
            Entry("equipment-remedy", "equipment", name, remedy.time, "rig h", EQUIPMENT),
            Entry("wire-remedy", "wire", name, remedy.wire, "kg", ("consumables", "wires", wire, "price")),
            Entry("gas-remedy", "gas", name, remedy.gas, "L", ("consumables", "gases", gas, "price")),
            Entry("burner-remedy", "burner", name, remedy.burner_gas, "kg", ("consumables", "burner_gas", "price")),
        ),
    )


def fixed_parts(plan: Plan, bores: tuple[BoreFigures, ...]) -> list[Part]:
    """Return what is billed of the bores, however days and nights are spent."""
    mains = plan.book.equipment.generator is None
    return [*(part for one in bores for part in _bore(one, mains)), *_sundries(bores)]


def _beside(plan: Plan) -> Iterator[Part]:
    """Yield what is charged beside the work: the call-out of the book, the extras of the job."""
    if plan.book.travel.call_out is not None:
        once = leaf(1.0, "fact", "calls", "definition: one call-out a job")
        yield Entry("call-out", "call-out, charged as it stands", None, once, "each", ("travel", "call_out"))
    for one in plan.job.extras:
        yield Sold(one.text, one.quantity, one.unit, one.paid.amount, one.price is None)


def job_parts(figures: Figures) -> list[Part]:
    """Return what is billed of the job as a whole, the shares on all of it, and what is laid aside."""
    return [
        *_once(figures.schedule, way_to(figures.plan.job)),
        *_late(figures),
        *_escalated(figures.plan),
        Share("overhead", "overhead"),
        Share("contingency", "contingency"),
        *(
            _hardness(one, one.remedy, figures.schedule.people, figures.inputs)
            for one in figures.bores
            if one.remedy is not None
        ),
        *_beside(figures.plan),
    ]


def recipe_of(figures: Figures) -> list[Part]:
    """Return what the bill of a job is made of, in the order of its lines."""
    return [*fixed_parts(figures.plan, figures.bores), *job_parts(figures)]
