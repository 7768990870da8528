"""The estimate document out of figures: everything that exports and pages need, and nothing of the engine.

Keys are fixed; numbers carry their unit in the key, money stands as text with as many places as the currency has.
"""

from typing import Any

from typing_extensions import TypedDict

from estimator import __version__
from estimator.document.book import Book, book_of
from estimator.document.bore import Bore, bore_of
from estimator.document.cost import Cost, cost_of
from estimator.document.job import JobSaid, job_of
from estimator.document.lines import Line, lines_of
from estimator.document.price import Price, price_of
from estimator.document.schedule import Schedule, schedule_of
from estimator.document.tasks import with_days
from estimator.document.texts import (
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
from estimator.document.warnings import Warned, warnings_of
from estimator.money.bill import Bill
from estimator.money.lines import minor_of
from estimator.plans import Figures
from estimator.strict import sha256
from estimator.tables.messages import Message, say

__all__ = ["ENGINE", "Whole", "written"]

ENGINE = f"boreworth {__version__}"


class Whole(TypedDict):
    """The estimate of one run of a job; what stands beside it is `Estimate`'s."""

    reference: str
    engine: str
    pricebook: Book
    input_sha256: str
    job: JobSaid
    bores: list[Bore]
    lines: list[Line]
    schedule: Schedule
    totals: Totals
    times: list[ElementCount]
    times_sum: TimesSum
    cost: Cost
    price: Price
    scope: Scope
    advice_to_welder: list[str]
    assumptions: list[str]
    shades: list[ShadeRow]
    warnings: list[Warned]
    procedures: list[Procedure]
    cautions: list[str]
    cautions_short: list[str]


def _below_cost(bill: Bill) -> list[Message]:
    """Return a warning where rounding or the book's rule leaves the price below the cost."""
    return [say("below_cost")] if bill.price.margin < 0 else []


def written(figures: Figures, bill: Bill, crews: list[dict[str, Any]], data: dict[str, Any]) -> dict[str, Any]:
    """Return the estimate document of a job; `crews`: what others would change, `data`: the job document as it came."""
    plan, book = figures.plan, figures.plan.book
    minor = minor_of(book)
    bores = [bore_of(one, book) for one in figures.bores]
    return {
        "reference": plan.job.reference,
        "engine": ENGINE,
        "pricebook": book_of(book),
        "input_sha256": sha256(data),
        "job": job_of(plan.job),
        "bores": bores,
        "lines": lines_of(plan),
        "schedule": with_days(schedule_of(figures, crews), bores, book.facts),
        "totals": totals_of(figures),
        **times_of(figures),
        "cost": cost_of(bill, minor),
        "price": price_of(bill, book, minor),
        "scope": scope_of(plan, book.facts),
        "advice_to_welder": practice_of(plan, book.facts),
        "assumptions": assumptions_of(plan),
        "shades": shades_of(figures),
        "warnings": warnings_of(plan, _below_cost(bill)),
        "procedures": procedures_of(plan, book.facts),
        **cautions_of(plan, book.facts),
    }
