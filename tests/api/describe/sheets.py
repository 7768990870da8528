"""Requests for the routes of the intake sheet, whose bodies and answers are files, a request for each status."""

from typing import Any

import schemathesis

from exports.intake.form import intake_workbook
from tests.api.service import ELSEWHERE, JSON, WORKBOOK, job

__all__ = ["of_sheets"]

FILE = {"content-type": WORKBOOK}
Requests = dict[tuple[str, str, int], dict[str, Any]]


def of_sheets(posts: Requests, gets: Requests) -> Requests:
    """Return the requests of the two routes, from those that any route has."""
    (path, method, _), *_ = posts
    sheet = intake_workbook(job())
    found = {
        key: {
            "content": sheet,
            "headers": FILE | {name: said for name, said in one["headers"].items() if name not in JSON},
        }
        for key, one in posts.items()
    }
    found[path, method, 413]["content"] = b" " * (10 * 1024 * 1024 + 1)
    found[path, method, 415]["headers"] = JSON
    found[path, method, 422]["content"] = b"{}"
    (path, method, _), *_ = gets
    return {
        **found,
        **gets,
        (path, method, 401): {"headers": ELSEWHERE},
        (path, method, 403): {"headers": {"authorization": "Bearer any"}},
        (path, method, 422): {"params": {"x": "1"}},
        (path, method, 503): {},
    }


@schemathesis.serializer(WORKBOOK)
def _file(_: object, value: Any) -> bytes:
    """Return whatever was made up for a file as its bytes."""
    made = getattr(value, "data", value)
    return made if isinstance(made, bytes) else str(made).encode("utf-8", "replace")
