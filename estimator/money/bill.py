"""The bill of a job as it is printed: its recipe as cost lines, and the price made of them."""

from dataclasses import dataclass

from estimator.money.lines import Line, lines_of, minor_of
from estimator.money.parts import parts_of, several_rates, tax_by_rate, with_agreed
from estimator.money.price import Price, price_of
from estimator.money.recipe import fixed_parts, job_parts
from estimator.plans import BoreFigures, Figures, Plan

__all__ = ["Bill", "bill_of", "lines_of_bores"]


@dataclass(frozen=True)
class Bill:
    """Cost lines and the price made of them."""

    lines: tuple[Line, ...]
    price: Price


def lines_of_bores(plan: Plan, bores: tuple[BoreFigures, ...]) -> list[Line]:
    """Return the lines that stay as they are however days and nights are spent."""
    return lines_of(fixed_parts(plan, bores), plan.book)


def bill_of(figures: Figures, own: list[Line] | None = None) -> Bill:
    """Return the bill of a job: cost lines, overhead and contingency, price.

    Parameters
    ----------
    figures
        What the job takes: one number each.
    own
        The lines of its bores, where they are known already.
    """
    book, job = figures.plan.book, figures.plan.job
    own = lines_of_bores(figures.plan, figures.bores) if own is None else own
    lines = lines_of(job_parts(figures), book, own)
    price = with_agreed(price_of(lines, job, book), figures, lines)
    if several_rates(job, book):
        price = tax_by_rate(price, parts_of(figures, lines, price), minor_of(book))
    return Bill(tuple(lines), price)
