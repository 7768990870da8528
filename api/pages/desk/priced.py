"""The price beside a form while it is typed: plain values in, a piece of a page out, for another process to make.

`form` is a JSON text: what was sent by name, the units beside the fields, the document the form was opened from.
"""

import json
from collections.abc import Mapping
from typing import Any

from api.filled import filled
from api.pages.desk.typed import Typed, typed
from api.work.tasks import book_of
from estimator.document.old import band_of
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError
from estimator.estimate import Priced, estimate
from exports.format import Grade, amount, by_grade, clock_time, counted, hours_said

__all__ = ["form_text", "live_price", "live_range", "read_form"]

Shown = dict[str, Any]
GRADED: tuple[tuple[str, Grade], ...] = (("stop", "stop"), ("approve", "approve"), ("check", "check"))
SAID_OF_GRADE = {"stop": "to settle before work", "approve": "to be approved", "check": "to check"}
ERRORS = (DocumentError, JobRefusedError, OutOfRangeError)


def form_text(fields: Mapping[str, str], base: str | None, units: str) -> str:
    """Return a form as the text that another process reads."""
    document = None if base is None else json.loads(base)
    return json.dumps({"fields": dict(fields), "base": document, "units": units})


def read_form(form: str) -> Typed:
    """Return the job document that a form says."""
    said = json.loads(form)
    return typed(said["fields"], said["base"], said["units"])


def faults_of(found: Typed, error: Exception) -> list[Fault]:
    """Return what an estimate found wrong, each at the field of the form."""
    told = getattr(error, "faults", None) or [Fault("", str(error))]
    return [Fault(found.in_form(one.path), one.message) for one in told]


def live_price(form: str, book: str | None) -> str:
    """Return price and hours of what is typed so far, with what is wrong at which field."""
    found = read_form(form).ready
    shown: Shown = {"faults": list(found.faults), "missing": missing_said(found), "price": None, "refused": []}
    if found.rows:
        try:
            shown["price"] = figures_of(estimate(found.document, book_of(book), "price"))
        except ERRORS as error:
            told = faults_of(found, error)
            shown["refused" if isinstance(error, JobRefusedError) else "faults"] += told
    shown["bores"] = counted(len(found.rows), "bore")
    return filled("live.html", None, "", **shown)


def missing_said(found: Typed) -> list[str]:
    """Return what is still to be typed, bore by bore."""
    said: dict[str, list[str]] = {}
    for name in found.missing:
        if name.startswith("bores."):
            _, row, key = name.split(".")
            said.setdefault(row, []).append(key.partition("_")[0])
    return [f"bore in row {int(row) + 1}: {', '.join(keys)}" for row, keys in said.items()]


def figures_of(found: Priced) -> Shown:
    """Return what stands beside the form: price, hours, and how much is to be settled."""
    price, totals = found["price"], found["totals"]
    return {
        "total": amount(price["total"], price["currency"]),
        "before_tax": amount(price["before_tax"], price["currency"]),
        "on_site": clock_time(totals["on_site_min"]),
        "elapsed": hours_said(totals["elapsed_h"]),
        "nights": counted(totals["nights"], "night"),
        "grades": [(name, len(by_grade(found, grade)), SAID_OF_GRADE[name]) for name, grade in GRADED],
        "settle": by_grade(found, "stop")[:3],
    }


def live_range(form: str, book: str | None) -> str:
    """Return how far the price of what is typed may come out otherwise, and when the crew is back."""
    found = read_form(form).ready
    if not found.rows:
        return ""
    try:
        whole = estimate(found.document, book_of(book), "plan")
    except ERRORS:
        return ""  # the price says what is wrong
    band, currency = band_of(whole), whole["price"]["currency"]
    back = (whole.get("schedule") or {}).get("ends")
    shown: Shown = {"low": "", "high": "", "taxed": False, "back": back or ""}
    if band is not None:
        shown |= {"low": amount(band.low, currency), "high": amount(band.high, currency), "taxed": band.taxed}
    return filled("range.html", None, "", **shown)
