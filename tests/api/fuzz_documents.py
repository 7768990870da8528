"""Documents for a walk: good ones, and the same with something amiss."""

import copy
import json
from typing import Any

from hypothesis import strategies as st

from api.describe import diary, examples, found
from tests.api.service import refused_job

__all__ = ["BASKETS", "BOOKS", "DAYS_OFF", "FOUND", "JOBS", "NAMED", "PLACINGS", "QUESTIONS", "RECORDS"]

AMISS: list[Any] = [
    None, True, -1, 0, 1, 2.5, 1e308, 10**30, "", " ", "x", "90 mm", "3.5 in", "-1 mm", "1e400 mm", "2*45 mm",
    "90 mm**9",
    "20 °C", "-300 degC", "12 EUR", "1 USD", "ä" * 300, "a\nb", "\u202e", "H7", "horizontal", "sector", [], [[]], {},
    ["90 mm"] * 50,
    {"a": {"b": [1]}}, "0 mm", "1e-12 mm", "500 m", [0] * 300,
]  # fmt: skip


def places(item: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the paths of all that a document holds."""
    inside: list[tuple[Any, Any]] = []
    if isinstance(item, dict):
        inside = list(item.items())
    elif isinstance(item, list):
        inside = list(enumerate(item))
    return [path] + [one for key, value in inside for one in places(value, (*path, key))]


def changed(document: Any, path: tuple[Any, ...], value: Any) -> Any:
    """Return a document with another value at a path, or without it where the value is `...`."""
    if not path:
        return {} if value is ... else value
    found = copy.deepcopy(document)
    here = found
    for step in path[:-1]:
        here = here[step]
    if value is ...:
        del here[path[-1]]
    else:
        here[path[-1]] = value
    return found


@st.composite
def amiss(draw: st.DrawFn, good: list[Any]) -> Any:
    """Draw a good document, every other one with something amiss."""
    document = draw(st.sampled_from(good))
    for _ in range(draw(st.sampled_from([0, 0, 1, 1, 2]))):
        path = draw(st.sampled_from(places(document)))
        document = changed(document, path, draw(st.sampled_from([..., *AMISS])))
    try:
        json.dumps(document).encode()
    except (ValueError, TypeError):
        return {}
    return document


def _values(found: dict[str, Any]) -> list[Any]:
    return [one["value"] for one in found.values()]


GOOD_JOBS = [*_values(examples.JOBS), *_values(examples.CHOICES), refused_job()]
JOBS = amiss(GOOD_JOBS)
BASKETS = amiss(_values(examples.BASKETS))
QUESTIONS = amiss(_values(examples.QUESTIONS))
RECORDS = amiss(_values(examples.RECORDS))
BOOKS = amiss(_values(examples.BOOKS))
PLACINGS, NAMED, DAYS_OFF = (amiss(_values(one)) for one in (diary.PLACINGS, diary.NAMES, diary.DAYS_OFF))
FOUND = amiss(_values(found.FOUND))
