"""Documents of before, in which a warning was a text, a tool part of one: read as if they had been written today.

A quote that was stored keeps its bytes. Here, and nowhere else, old texts are read: what an old document said is fixed
for ever, whatever the table of messages says now.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from estimator.document.warnings import Warned
from estimator.money.lines import Kind

__all__ = ["Band", "band_of", "kind_of", "told_of_cost", "tools_in", "warnings_in"]

BELOW_COST = "the price before tax is below the cost: look at the book's rounding and margin"
ASKING = ("approval", "find out")  # before grades, what asked for approval was to be settled
OLD = {"mind": "check"}


def warnings_in(document: Mapping[str, Any]) -> list[Warned]:
    """Return the warnings of a document of any age, gravest first; old ones have no code."""
    found = document["warnings"]
    if "warnings_graded" in document:
        return [_as_now(one["grade"], one["text"], document) for one in document["warnings_graded"]]
    if all(isinstance(one, Mapping) for one in found):
        return list(found)
    grades = ["approve" if any(word in one for word in ASKING) else "mind" for one in found]
    pairs = sorted(zip(grades, found, strict=True), key=lambda pair: pair[0])
    return [_as_now(grade, text, document) for grade, text in pairs]


def _as_now(grade: Any, text: str, document: Mapping[str, Any]) -> Warned:  # noqa: ANN401  # a word of an old document
    path, said = _about(text, document)
    now: Any = OLD.get(grade, grade)
    return {"grade": now, "code": "", "text": said, "path": path}


def _about(text: str, document: Mapping[str, Any]) -> tuple[str, str]:
    """Return which bore an old warning was about, by the name that it began with, and the rest of it."""
    for number, bore in enumerate(document.get("bores", ())):
        name = f"bore {bore['name']}: "
        if text.startswith(name):
            return f"bores.{number}", text.removeprefix(name)
    return "", text


class Band(NamedTuple):
    """Between which prices a budget price lies, as text; whether tax is in them, as it once was."""

    low: str
    high: str
    taxed: bool


def band_of(document: Mapping[str, Any]) -> Band | None:
    """Return between which prices a budget price of a document of any age lies; None where it is none."""
    budget = document.get("budget")
    if not budget:
        return None
    if "low" in budget:
        return Band(budget["low"], budget["high"], taxed=False)
    if "price_low" in budget:
        return Band(budget["price_low"], budget["price_high"], taxed=True)
    return None  # as it is for who sees no money


def told_of_cost(item: object) -> bool:
    """Return whether an item of an old document is the warning that the price lies below the cost."""
    text = item.get("text") if isinstance(item, Mapping) and "code" not in item else item
    return text == BELOW_COST


def kind_of(line: Mapping[str, Any]) -> Kind:
    """Return what a cost line of a document of any age is: a priced quantity, odds, or a share of the lines before."""
    if "kind" in line:
        kind: Kind = line["kind"]
        return kind
    if line["price_key"] is not None:
        return "priced"
    return "odds" if line["unit"] == "odds" else "share"


def tools_in(task: Mapping[str, Any]) -> list[str]:
    """Return the tools of a task one by one; of an old document, whose texts named several, as it parted them."""
    if "tool_items" in task:
        return list(task["tool_items"])
    return [item for text in task.get("tools", ()) for item in text.split(", ")]
