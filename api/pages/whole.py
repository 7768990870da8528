"""Whole pages with an estimate on them, as plain values in and text out, so that another process can make them.

`given` is a JSON text: who sees the page, in which units, the word of its forms, and what was read from the database.
"""

import json
from dataclasses import asdict
from typing import Any, cast

from api.caller import Caller
from api.filled import filled
from api.pages.view import estimate_view
from api.work.tasks import book_of
from estimator.document.redact import Role, redact, sees_cost
from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError
from estimator.estimate import Estimate, estimate
from exports.format import Units, field
from exports.papers.languages import languages

DAYS, MOST_BORES = 512, 8  # drawn for the spread on a job's page; of how many bores

__all__ = ["as_drawn", "given_of", "job_page", "quote_page", "refused"]


def given_of(caller: Caller, units: Units, csrf: str, **content: object) -> str:
    """Return what a page is given beside its estimate."""
    return json.dumps({"caller": asdict(caller), "units": units, "csrf": csrf, "content": content})


def job_page(document: str, book: str | None, given: str) -> str:
    """Return the page of a job, with its estimate as it would be now; of one that must not be welded, why."""
    said = json.loads(given)
    return _page("job.html", said, _estimated(document, book, said["units"], said["caller"]["role"]))


def _estimated(document: str, book: str | None, units: Units, role: Role) -> dict[str, Any]:
    try:
        shown = estimate_view(redact(estimate(document, book_of(book), "full", _days(document, role)), role), units)
    except (DocumentError, JobRefusedError, OutOfRangeError) as error:
        return refused(error)
    shown["facts_of"] = shown.pop("facts")
    return shown


def _days(document: str, role: Role) -> int:
    """Return how many days are drawn for the spread on a page: none for who does not see it, or of many bores."""
    bores = json.loads(document).get("bores")
    few = isinstance(bores, list) and len(bores) <= MOST_BORES
    return DAYS if few and sees_cost(role) else 0


def refused(error: Exception) -> dict[str, Any]:
    """Return what is shown where there is no estimate."""
    reasons = [str(fault) for fault in getattr(error, "faults", [error])]
    return {"refused": reasons, "kind": "No estimate", "facts_of": []}


def quote_page(document: str, given: str) -> str:
    """Return the page of a quote: the estimate that it was drawn up with, never one made anew."""
    said = json.loads(given)
    content: dict[str, Any] = said["content"]
    whole = {
        "state": content["quote"].pop("stored_state"),
        "sha256": content["sha256"],
        "estimate": json.loads(document),
    }
    found = redact(whole, said["caller"]["role"])
    shown, drawn = as_drawn(found["estimate"], said["units"]), found["estimate"]
    own = {
        "name": ", ".join(filter(None, (drawn["reference"], field(drawn, "job", "title")))),
        "facts_of": [*shown.pop("facts"), *((name, day) for name, day in content["dates"] if day)],
        "quote": {**content["quote"], "sha256": found["sha256"]},
        "past": content["past"],
        "key": content["key"],
        "bills": content["bills"],
        "workbooks": _workbooks(said["caller"]["role"]),
        "letters": list(languages()) if Caller(**said["caller"]).sees_money else [],
    }
    return _page("quote.html", {**said, "content": {}}, {**shown, **own})


def _workbooks(role: Role) -> list[tuple[str, str]]:
    """Return the workbooks that a role may read, each as what is asked for and what it is called."""
    if role == "field":
        return []
    own = [("", "Workbook")] if sees_cost(role) else []
    return [*own, ("?for=customer", "Workbook for the customer")]


def as_drawn(estimate: Estimate, units: Units) -> dict[str, Any]:
    """Return what is shown of an estimate that was kept; nothing but its price where it is of an engine too old."""
    try:
        return estimate_view(estimate, units)
    except (KeyError, TypeError, IndexError):
        return {"facts": [], "units": units, "drawn_by": str(estimate.get("engine", "an earlier version"))}


def _page(template: str, said: dict[str, Any], shown: dict[str, Any]) -> str:
    return filled(
        template,
        Caller(**said["caller"]),
        said["csrf"],
        **cast(dict[str, Any], {"units": said["units"], **shown, **said["content"]}),
    )
