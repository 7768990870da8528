"""The warnings of a document: how grave each is, its code, its text, what it is about; gravest first."""

from collections.abc import Iterable
from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.tables.messages import Message, grade_of, text_of, who_decides

__all__ = ["Warned", "by_grade", "told"]


class Warned(TypedDict):
    """A warning: how grave (stop until settled, approve, check, know), code, text, path (`bores.0`, `site.wind`).

    `who_decides` is who settles or approves it, where somebody does; documents of before name them in the text.
    """

    grade: Literal["stop", "approve", "check", "know"]
    code: str
    text: str
    path: str
    who_decides: NotRequired[str]


GRADES = ("stop", "approve", "check", "know")


def told(messages: Iterable[Message]) -> list[Warned]:
    """Return messages as warnings of a document, gravest first, in the order they came within a grade."""
    return by_grade(_warned(one) for one in messages)


def _warned(one: Message) -> Warned:
    said: Warned = {"grade": grade_of(one), "code": one.code, "text": text_of(one), "path": one.path}
    who = who_decides(one)
    return {**said, "who_decides": who} if who else said


def by_grade(warnings: Iterable[Warned]) -> list[Warned]:
    """Return warnings of a document, gravest first, in the order they came within a grade."""
    return sorted(warnings, key=lambda one: GRADES.index(one["grade"]))
