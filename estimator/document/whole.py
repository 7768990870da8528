"""The estimate document out of figures: everything that exports and pages need, and nothing of the engine.

Keys are fixed; numbers carry their unit in the key, money stands as text with as many places as the currency has.
"""

from typing import Any

from typing_extensions import TypedDict

from estimator import ENGINE
from estimator.document.book import Book, book_of
from estimator.document.bore import Bore, bore_of
from estimator.document.cost import Cost, cost_of
from estimator.document.demo import is_demo
from estimator.document.job import JobSaid, job_of
from estimator.document.lines import Line, lines_of
from estimator.document.price import Price, price_of
from estimator.document.schedule import OtherCrew, Schedule, schedule_of
from estimator.document.texts import (
    Cautions,
    Procedure,
    Scope,
    ShadeRow,
    assumptions_of,
    cautions_of,
    practice_of,
    procedures_of,
    scope_of,
    shades_of,
)
from estimator.document.times import ElementCount, TimesSum, times_of
from estimator.document.totals import Totals, totals_of
from estimator.document.warnings import Warned, told
from estimator.money.bill import Bill
from estimator.money.lines import minor_of
from estimator.plans import Figures, Plan
from estimator.strict import sha256
from estimator.tables.messages import Message, about, say

__all__ = ["Priced", "Whole", "beside_plan", "priced", "written"]


class Priced(TypedDict):
    """What an estimate comes to, without the plan behind it."""

    reference: str
    engine: str
    pricebook: Book
    input_sha256: str
    totals: Totals
    cost: Cost
    price: Price
    demo: bool
    warnings: list[Warned]


class Whole(Priced, Cautions):
    """The estimate of one run of a job; what stands beside it is `Estimate`'s."""

    job: JobSaid
    bores: list[Bore]
    lines: list[Line]
    schedule: Schedule
    times: list[ElementCount]
    times_sum: TimesSum
    scope: Scope
    advice_to_welder: list[str]
    assumptions: list[str]
    shades: list[ShadeRow]
    procedures: list[Procedure]


def _below_cost(bill: Bill) -> list[Message]:
    """Return a warning where rounding or the book's rule leaves the price below the cost."""
    return [say("below_cost")] if bill.price.margin < 0 else []


def _margin_low(plan: Plan, bill: Bill) -> list[Message]:
    """Return a warning where the margin reached lies below the floor of the book, and not below the cost."""
    margin, least = float(bill.price.margin), plan.book.least_margin
    return [say("margin_low", margin=margin, least=least)] if 0 <= margin < least else []


def _class_unknown(plan: Plan) -> list[Message]:
    """Return a warning where the price book does not know the customer's class."""
    name = plan.job.customer.customer_class if plan.job.customer else None
    known = name is None or name in plan.book.classes or plan.job.discount is not None
    return [] if known else [about("customer.class", say("class_unknown", name=str(name)))]


def beside_plan(plan: Plan, bill: Bill) -> list[Message]:
    """Return the warnings of a document beside those of its plan: about what it costs."""
    return [*_class_unknown(plan), *_below_cost(bill), *_margin_low(plan, bill)]


def priced(figures: Figures, bill: Bill, data: dict[str, Any]) -> Priced:
    """Return what a job comes to, without its plan; `data`: the job document as it came."""
    plan, book = figures.plan, figures.plan.book
    minor = minor_of(book)
    return {
        "reference": plan.job.reference,
        "engine": ENGINE,
        "pricebook": book_of(book),
        "input_sha256": sha256(data),
        "totals": totals_of(figures),
        "cost": cost_of(bill, minor),
        "price": price_of(bill, figures, minor),
        "demo": is_demo(bill, book),
        "warnings": told((*plan.warnings, *beside_plan(plan, bill))),
    }


def written(figures: Figures, bill: Bill, crews: list[OtherCrew] | None, data: dict[str, Any]) -> Whole:
    """Return the estimate document of a job.

    `crews`: what others would change, None where that is not asked for; `data`: the job document as it came.
    """
    plan, book = figures.plan, figures.plan.book
    minor = minor_of(book)
    bores = [bore_of(one, book, figures.inputs) for one in figures.bores]
    times, together = times_of(figures)
    return {
        "reference": plan.job.reference,
        "engine": ENGINE,
        "pricebook": book_of(book),
        "input_sha256": sha256(data),
        "job": job_of(plan.job),
        "bores": bores,
        "lines": lines_of(plan),
        "schedule": schedule_of(figures, crews, bores),
        "totals": totals_of(figures),
        "times": times,
        "times_sum": together,
        "cost": cost_of(bill, minor),
        "price": price_of(bill, figures, minor),
        "demo": is_demo(bill, book),
        "scope": scope_of(plan, book.facts),
        "advice_to_welder": practice_of(plan, book.facts),
        "assumptions": assumptions_of(plan),
        "shades": shades_of(figures),
        "warnings": told((*plan.warnings, *beside_plan(plan, bill))),
        "procedures": procedures_of(plan, book.facts),
        **cautions_of(figures),
    }
