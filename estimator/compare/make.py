"""Repair, sleeve or replace: annual cost with downtime, and what would have to change for the answer to change."""

from decimal import Decimal
from typing import Any

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.compare.annual import NAMES, Choice, Weighed, choice_of, hourly, rounded, weighed
from estimator.compare.even import LONGEST_LIFE, SHORTEST_LIFE, BreakEven, break_even_of
from estimator.document.warnings import Warned, by_grade, told
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import estimate_job, read_job
from estimator.express import money
from estimator.formula import is_recording
from estimator.job.economics import Economics, Way
from estimator.job.job import Job
from estimator.money.lines import minor_of
from estimator.strict import parse
from estimator.tables.messages import Message, about, say, text_of, texts_of
from estimator.units import deci

__all__ = ["Comparison", "compare"]

LONGEST_DOWNTIME = 1e6  # [h] what a document may say
Repair = tuple[Decimal | None, float, list[Message], list[Warned]]


class Book(TypedDict):
    """The price book that was used."""

    name: str
    invented: bool
    note: str


class Comparison(TypedDict):
    """Repair, sleeve and replacement by annual cost."""

    reference: str
    currency: str
    pricebook: Book
    discount_rate: float
    hours_per_year: float
    downtime_cost_per_h: float
    choices: list[Choice]
    best: str | None
    reasons: list[str]
    break_even: BreakEven
    warnings: list[Warned]


def _repair_price(job: Job, book: PriceBook, data: dict[str, Any]) -> Repair:
    """Return the repair's price before tax and seconds on site, or why it is refused, and its warnings."""
    try:
        found = estimate_job(job, book, data)
    except JobRefusedError as error:
        return None, 0.0, [say("repair_refused", said=str(fault)) for fault in error.faults], []
    except OutOfRangeError as error:
        return None, 0.0, [say("repair_no_plan", said=str(error))], []
    said, on_site = list[Message](), 60 * found["totals"]["on_site_min"]
    if "budget" in found:
        before = float(found["price"]["before_tax"])
        low, high = (float(end) / before - 1 for end in (found["budget"]["low"], found["budget"]["high"]))
        said.append(say("repair_budget", low=low, high=high))
    way = None if job.economics is None else job.economics.repair
    if way is not None and way.downtime is None:
        said.append(about("economics.repair.downtime", say("repair_downtime", on_site=on_site)))
    return Decimal(found["price"]["before_tax"]), on_site, [], [*_grave(found["warnings"], job), *told(said)]


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


def _warnings(economics: Economics) -> list[Message]:
    said = []
    if economics.downtime_cost is None:
        said.append(about("economics.downtime_cost", say("downtime_free")))
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        if way is not None and way.downtime is None and name != "repair":
            said.append(about(f"economics.{name}.downtime", say("downtime_none", name=name)))
        if way is not None and way.lead_time:
            said.append(about(f"economics.{name}.lead_time", say("lead_time", name=name, lead=way.lead_time)))
    if economics.repair is not None and economics.repair.price is not None:
        said.append(about("economics.repair.price", say("price_unused")))
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


def compare(document: bytes | str | dict[str, Any], book: PriceBook) -> Comparison:
    """Return the comparison document of a job: repair, sleeve, replace.

    Raises
    ------
    DocumentError
        If the job document is wrong or says nothing of `economics`.
    """
    data = document if isinstance(document, dict) else parse(document)
    job = read_job(data, book)
    economics = job.economics
    if economics is None:
        said = "is missing; give discount_rate, hours_per_year, and what each way costs"
        raise DocumentError([Fault("economics", said)])
    _check(economics, book)
    minor = minor_of(book)
    first, on_site, refused, warnings = _repair_price(job, book, data)
    if (repair := economics.repair) is not None and repair.downtime is None:
        repair = repair.model_copy(update={"downtime": on_site})
    choices = {"repair": weighed("repair", repair, first, refused, economics, minor)}
    for name in NAMES[1:]:
        way: Way | None = getattr(economics, name)
        price = None if way is None or way.price is None else way.price.amount
        why = [say("not_given", key=f"economics.{name}.price")] if way is not None and price is None else []
        choices[name] = weighed(name, way, price, why, economics, minor)
    feasible = [choice for choice in choices.values() if choice.annual is not None]
    best = min(feasible, key=lambda choice: rounded(choice.annual or Decimal(0), minor), default=None)
    assert not is_recording()  # a comparison is not recorded: its prices are texts
    return {
        "reference": job.reference,
        "currency": book.currency,
        "pricebook": {"name": book.name, "invented": book.invented, "note": book.note},
        "discount_rate": economics.discount_rate,
        "hours_per_year": economics.hours_per_year,
        "downtime_cost_per_h": float(hourly(economics)),
        "choices": [choice_of(choice, minor) for choice in choices.values()],
        "best": None if best is None else best.name,
        "reasons": [] if best is None else _why(best, choices, minor, book.currency),
        "break_even": break_even_of(choices, economics, minor),
        "warnings": by_grade([*told(_warnings(economics)), *warnings]),
    }


def _check(economics: Economics, book: PriceBook) -> None:
    """Raise `DocumentError` where a price is in another currency than the book's, or a time beyond reason."""
    wrong, priced = [], {"economics.downtime_cost": economics.downtime_cost}
    if economics.hours_per_year < 1:
        wrong.append(Fault("economics.hours_per_year", "must be 1 at least: hours the machine runs in a year"))
    for name in NAMES:
        way: Way | None = getattr(economics, name)
        if way is None:
            continue
        priced[f"economics.{name}.price"] = way.price
        if way.life is not None and not SHORTEST_LIFE <= deci(way.life, "h") <= LONGEST_LIFE:
            said = f"must be from {SHORTEST_LIFE:g} to {LONGEST_LIFE:g} h"
            wrong.append(Fault(f"economics.{name}.life", said))
        if way.downtime is not None and deci(way.downtime, "h") > LONGEST_DOWNTIME:
            wrong.append(Fault(f"economics.{name}.downtime", f"must be {LONGEST_DOWNTIME:g} h at most"))
    wrong += [
        Fault(path, f"{price.currency} is not the price book's currency {book.currency}")
        for path, price in priced.items()
        if price is not None and price.currency != book.currency
    ]
    if wrong:
        raise DocumentError(wrong)
