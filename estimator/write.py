"""The estimate document out of figures: everything that exports and pages need, and nothing of the engine."""

from typing import Any

from estimator import __version__
from estimator.express import all_shown, money, rate, shown
from estimator.formula import is_recording, leaf, summed
from estimator.job import Job
from estimator.money.bill import Bill
from estimator.money.lines import Line, minor_of
from estimator.pricebook import PriceBook
from estimator.redact import BELOW_COST
from estimator.road import Figures
from estimator.shop.supplies import SHOWN
from estimator.strict import sha256
from estimator.texts import assumptions_of, cautions_of, graded, practice_of, procedures_of, scope_of, shades_of
from estimator.write_bore import bore_of, supplies_shown
from estimator.write_day import with_days
from estimator.write_lines import lines_of
from estimator.write_schedule import schedule_of
from estimator.write_times import times_of

__all__ = ["ENGINE", "written"]

ENGINE = f"boreworth {__version__}"


def _line(line: Line, minor: str) -> dict[str, Any]:
    return {
        "code": line.code,
        "description": line.description,
        "bore": line.bore,
        "quantity": line.quantity if is_recording() else float(line.quantity),
        "unit": line.unit,
        "unit_cost": rate(line.unit_cost),
        "amount": money(line.amount, minor),
        "price_key": line.price_key,
        "bears_margin": line.bears,
    }


def _totals(figures: Figures) -> dict[str, Any]:
    """Return the totals of the job: sums of the bores, and the whole from door to door."""
    used = {
        name: summed(name, unit, *(getattr(one.supplies, name) for one in figures.bores))
        for name, (_, unit) in SHOWN.items()
    }
    whole = figures.schedule
    keys = {
        "arc_time_min": summed("arc_time", "s", *(one.build.arc_time for one in figures.bores)),
        "on_site_min": whole.on_site,
        "once_min": whole.once,
        "fire_watch_min": whole.fire_watch,
        "used_wait_min": whole.used_waits,
        "travel_min": whole.travel,
        "labour_h": whole.labour,
        "elapsed_h": whole.elapsed,
        "overtime_h": whole.overtime,
        "standing_h": whole.standing,
        "nights": whole.nights,
        "trips": whole.trips,
        "people": whole.people,
    }
    return {**supplies_shown(used), **all_shown(keys)}


def _job(job: Job) -> dict[str, Any]:
    """Return what the job says of customer, machine and place."""
    machine, site = job.equipment, job.site
    hours = None if machine is None or machine.hours is None else leaf(machine.hours, "given", "hours", "as typed")
    return {
        "title": job.title,
        "note": job.note,
        "customer": None if job.customer is None else job.customer.name,
        "equipment": None if machine is None else {"description": machine.description, "machine_hours": hours},
        "site": {
            "access": site.access,
            "distance_km": shown("distance_km", site.distance),
            "ambient_C": None if site.ambient is None else shown("ambient_C", site.ambient),
            "wind_m_s": None if site.wind is None else shown("wind_m_s", site.wind),
        },
    }


def _book(book: PriceBook) -> dict[str, Any]:
    return {
        "name": book.name,
        "note": book.note,
        "invented": book.invented,
        "basis": book.rates.basis,
        "sha256": book.digest,
        "shift_h": shown("shift_h", book.number("shift_length")),
        "tax_fraction": book.number("tax"),
        "validity_day": shown("validity_day", book.number("validity")),
    }


def _below_cost(bill: Bill) -> list[str]:
    """Return a warning where rounding or the book's rule leaves the price below the cost."""
    return [BELOW_COST] if bill.price.margin < 0 else []


def _rule(book: PriceBook, minor: str) -> dict[str, Any]:
    """Return how the price is made of the cost, for the workbook's formulas."""
    return {
        "method": "margin" if book.margin is not None else "markup",
        "fraction": book.number("margin" if book.margin is not None else "markup"),
        "minimum_charge": money(book.price("minimum_charge"), minor),
        "rounding": rate(book.price("rounding")),
        "tax": book.number("tax"),
    }


def written(figures: Figures, bill: Bill, crews: list[dict[str, Any]], data: dict[str, Any]) -> dict[str, Any]:
    """Return the estimate document of a job; `crews`: what others would change, `data`: the job document as it came."""
    plan, book = figures.plan, figures.plan.book
    minor, price = minor_of(book), bill.price
    warnings = [*plan.warnings, *_below_cost(bill)]
    bores = [bore_of(one, book) for one in figures.bores]
    return {
        "reference": plan.job.reference,
        "engine": ENGINE,
        "pricebook": _book(book),
        "input_sha256": sha256(data),
        "job": _job(plan.job),
        "bores": bores,
        "lines": lines_of(plan),
        "schedule": with_days(schedule_of(figures, crews), bores, book.facts),
        "totals": _totals(figures),
        **times_of(figures),
        "cost": {"lines": [_line(line, minor) for line in bill.lines], "total": money(price.cost, minor)},
        "price": {
            "currency": book.currency,
            "before_tax": money(price.before_tax, minor),
            "tax": money(price.tax, minor),
            "total": money(price.total, minor),
            "margin": price.margin if is_recording() else float(f"{price.margin:.12g}"),
            "rule": _rule(book, minor),
        },
        "scope": scope_of(plan, book.facts),
        "advice_to_welder": practice_of(plan, book.facts),
        "assumptions": assumptions_of(plan),
        "shades": shades_of(figures),
        "warnings": warnings,
        "warnings_graded": graded(warnings, book.facts),
        "procedures": procedures_of(plan, book.facts),
        **cautions_of(plan, book.facts),
    }
