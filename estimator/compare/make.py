"""Leave, repair, sleeve or replace: annual cost with downtime, and what would have to change for another answer."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.compare.annual import NAMES, Choice, Weighed, choice_of, hourly, rounded, weighed
from estimator.compare.even import LONGEST_LIFE, SHORTEST_LIFE, BreakEven, break_even_of, cheapest
from estimator.compare.later import shares_won
from estimator.compare.sleeve import Sleeve, priced_sleeve
from estimator.compare.standing import can_run, downtime_of, worked_between
from estimator.document.warnings import Warned, by_grade, told
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import estimate_job, read_job
from estimator.express import money
from estimator.formula import is_recording
from estimator.job.economics import Economics, Lives, Way
from estimator.job.job import Job
from estimator.money.lines import minor_of
from estimator.strict import parse
from estimator.tables.messages import Message, about, say, text_of, texts_of
from estimator.units import deci

__all__ = ["Comparison", "Repair", "compare", "compared"]

LONGEST_DOWNTIME, MINUTES = 1e6, 60  # [h] what a document may say; of an hour
UNPRICED = Sleeve(None)


@dataclass(frozen=True)
class Repair:
    """What the estimate says of the repair: price before tax, hours the machine stands, or why it is refused.

    `worn`: whether any bore is out of its limits; `crew`, `on_site`: hours paid and hours on site, [h].
    """

    price: Decimal | None
    stands: float
    refused: tuple[Message, ...] = ()
    warnings: tuple[Warned, ...] = ()
    worn: bool = True
    sleeve: Sleeve = UNPRICED
    crew: float = 0.0
    on_site: float = 0.0


class Book(TypedDict):
    """The price book that was used."""

    name: str
    invented: bool
    note: str


class Comparison(TypedDict):
    """The ways out by annual cost; `wins`: share of cases in which each is cheapest, where lives are low to high."""

    reference: str
    currency: str
    pricebook: Book
    discount_rate: float
    hours_per_year: float
    downtime_cost_per_h: float
    inflation: float
    remaining_life_h: float | None
    can_run: bool
    choices: list[Choice]
    best: str | None
    reasons: list[str]
    break_even: BreakEven
    wins: NotRequired[dict[str, float]]
    warnings: list[Warned]


def _repair_of(job: Job, book: PriceBook, data: dict[str, Any], economics: Economics) -> Repair:
    """Return what the estimate says of the repair."""
    try:
        found = estimate_job(job, book, data)
    except JobRefusedError as error:
        return Repair(None, 0.0, tuple(say("repair_refused", said=str(fault)) for fault in error.faults))
    except OutOfRangeError as error:
        return Repair(None, 0.0, (say("repair_no_plan", said=str(error)),))
    said, stands = list[Message](), worked_between(found["schedule"]["tasks"], economics.hours_per_year)
    if "budget" in found:
        before = float(found["price"]["before_tax"])
        low, high = (float(end) / before - 1 for end in (found["budget"]["low"], found["budget"]["high"]))
        said.append(say("repair_budget", low=low, high=high))
    way = economics.repair
    if way is not None and way.downtime is None:
        said.append(about("economics.repair.downtime", say("repair_downtime", stands=f"{stands:.1f} h")))
    sound = {one["path"] for one in found["warnings"] if one["code"] == "not_worn"}
    return Repair(
        price=Decimal(found["price"]["before_tax"]),
        stands=stands,
        warnings=(*_grave(found["warnings"], job), *told(said)),
        worn=len(sound) < len(job.bores),
        sleeve=priced_sleeve(found, job, book.facts),
        crew=found["totals"]["labour_h"],
        on_site=found["totals"]["on_site_min"] / MINUTES,
    )


def _grave(warnings: list[Warned], job: Job) -> list[Warned]:
    """Return the warnings of the repair that bear on the choice: what stops the work or must be approved."""
    names = {f"bores.{number}": bore.name for number, bore in enumerate(job.bores)}
    return [
        {**one, "text": text_of(say("of_repair", said=_of_bore(one, names)))}
        for one in warnings
        if one["grade"] in ("stop", "approve")
    ]


def _of_bore(one: Warned, names: dict[str, str]) -> Message | str:
    """Return what a warning says, with the bore that it is about."""
    name = names.get(one["path"])
    return one["text"] if name is None else say("of_bore", bore=name, said=one["text"])


def _warnings(economics: Economics, runs: bool) -> list[Message]:
    said = []
    if economics.downtime_cost is None:
        said.append(about("economics.downtime_cost", say("downtime_free")))
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        if way is not None and way.downtime is None and name != "repair":
            said.append(about(f"economics.{name}.downtime", say("downtime_none", name=name)))
        if way is not None and way.lead_time:
            code = "lead_time" if runs else "lead_time_stands"
            said.append(about(f"economics.{name}.lead_time", say(code, name=name, lead=way.lead_time)))
        if way is not None and way.likely is not None and way.likely > (economics.remaining_life or way.likely):
            capped = say("life_capped", name=name, life=way.likely, left=economics.remaining_life or 0.0)
            said.append(about(f"economics.{name}.life", capped))
    if economics.repair is not None and economics.repair.price is not None:
        said.append(about("economics.repair.price", say("price_unused")))
    if economics.sleeve is not None and economics.sleeve.price is None:
        said.append(about("economics.sleeve.price", say("sleeve_priced")))
    if economics.failure_cost is not None:
        said.append(about("economics.failure_cost", say("failure_unused")))
    return said


def _why(best: Weighed, choices: dict[str, Weighed], minor: str, currency: str) -> list[str]:
    """Return by how much the best is better than the others, from the printed amounts."""
    said = []
    for other in choices.values():
        if other.annual is not None and best.annual is not None and other.name != best.name:
            more = rounded(other.annual, minor) - rounded(best.annual, minor)
            much = f"{currency} {money(more, minor)}"
            dearer = say("costs_more", name=other.name, more=much, best=best.name)
            said.append(dearer if more else say("costs_same", name=other.name, best=best.name))
    return texts_of(said)


def _choices(repair: Repair, economics: Economics, runs: bool, minor: str) -> dict[str, Weighed]:
    """Return all ways out by name; a bore within its limits may be left as it is."""
    choices = {"leave": Weighed.left(minor)} if runs and not repair.worn and not repair.refused else {}
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        first, why = (repair.price, list(repair.refused)) if name == "repair" else _bought(name, way, repair)
        own = repair.stands if name == "repair" else 0.0
        stands = downtime_of(way, own, runs, economics.hours_per_year)
        choices[name] = weighed(name, way, first, why, economics, minor, downtime=stands)
    return choices


def _bought(name: str, way: Way | None, repair: Repair) -> tuple[Decimal | None, list[Message]]:
    """Return the price of a way that is bought, or that it is not given; a sleeve is priced from the repair's bill."""
    if name == "sleeve" and way is not None and way.price is None and (repair.sleeve.price or repair.sleeve.why):
        return repair.sleeve.price, list(repair.sleeve.why)
    price = None if way is None or way.price is None else way.price.amount
    return price, [say("not_given", key=f"economics.{name}.price")] if way is not None and price is None else []


def compare(document: bytes | str | dict[str, Any], book: PriceBook) -> Comparison:
    """Return the comparison document of a job: leave, repair, sleeve, replace.

    Raises
    ------
    DocumentError
        If the job document is wrong or says nothing of `economics`.
    """
    return compared(document, book)[0]


def compared(document: bytes | str | dict[str, Any], book: PriceBook) -> tuple[Comparison, Repair]:
    """Return the comparison document of a job, and what its estimate says of the repair."""
    data = document if isinstance(document, dict) else parse(document)
    job = read_job(data, book)
    economics = job.economics
    if economics is None:
        said = "is missing; give discount_rate, hours_per_year, and what each way costs"
        raise DocumentError([Fault("economics", said)])
    _check(economics, book)
    minor, runs = minor_of(book), can_run(job, economics)
    repair = _repair_of(job, book, data, economics)
    choices = _choices(repair, economics, runs, minor)
    best = cheapest(list(choices.values()), minor)
    assert not is_recording()  # a comparison is not recorded: its prices are texts
    found: Comparison = {
        "reference": job.reference,
        "currency": book.currency,
        "pricebook": {"name": book.name, "invented": book.invented, "note": book.note},
        "discount_rate": economics.discount_rate,
        "hours_per_year": economics.hours_per_year,
        "downtime_cost_per_h": float(hourly(economics)),
        "inflation": economics.inflation or 0.0,
        "remaining_life_h": None if economics.remaining_life is None else deci(economics.remaining_life, "h"),
        "can_run": runs,
        "choices": [choice_of(choice, minor) for choice in choices.values()],
        "best": None if best is None else best.name,
        "reasons": [] if best is None else _why(best, choices, minor, book.currency),
        "break_even": break_even_of(choices, economics, hourly(economics), minor),
        "warnings": by_grade([*told(_warnings(economics, runs)), *repair.warnings]),
    }
    if (wins := shares_won(choices, economics)) is not None:
        found["wins"] = wins
    return found, repair


def _lives(way: Way) -> list[tuple[str, float]]:
    """Return every life that a way says, with its key below the way's. [h]"""
    if isinstance(way.life, Lives):
        return [(f"life.{key}", deci(getattr(way.life, key), "h")) for key in ("low", "likely", "high")]
    return [] if way.life is None else [("life", deci(way.life, "h"))]


def _check(economics: Economics, book: PriceBook) -> None:
    """Raise `DocumentError` where a price is in another currency than the book's, or a time beyond reason."""
    wrong, priced = [], {key: getattr(economics, key) for key in ("downtime_cost", "failure_cost")}
    if economics.hours_per_year < 1:
        wrong.append(Fault("economics.hours_per_year", "must be 1 at least: hours the machine runs in a year"))
    bounds = f"must be from {SHORTEST_LIFE:g} to {LONGEST_LIFE:g} h"
    left = economics.remaining_life
    if left is not None and not SHORTEST_LIFE <= deci(left, "h") <= LONGEST_LIFE:
        wrong.append(Fault("economics.remaining_life", bounds))
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        if way is None:
            continue
        priced |= {f"{name}.{key}": getattr(way, key) for key in ("price", "salvage")}
        wrong += [
            Fault(f"economics.{name}.{key}", bounds)
            for key, life in _lives(way)
            if not SHORTEST_LIFE <= life <= LONGEST_LIFE
        ]
        wrong += [
            Fault(f"economics.{name}.{key}", f"must be {LONGEST_DOWNTIME:g} h at most")
            for key in ("downtime", "lead_time")
            if deci(getattr(way, key) or 0.0, "h") > LONGEST_DOWNTIME
        ]
    wrong += [
        Fault(f"economics.{path}", f"{price.currency} is not the price book's currency {book.currency}")
        for path, price in priced.items()
        if price is not None and price.currency != book.currency
    ]
    if wrong:
        raise DocumentError(wrong)
