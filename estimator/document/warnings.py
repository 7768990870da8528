"""The warnings of a document: how grave each is, its code, its text, what it is about; gravest first."""

from collections.abc import Iterable
from typing import Literal

from typing_extensions import TypedDict

from estimator.plans import Plan
from estimator.tables.messages import Message, grade_of, say, text_of

__all__ = ["Warned", "by_grade", "told", "warnings_of"]


class Warned(TypedDict):
    """A warning: how grave it is (stop until settled, approve, check, know), its code, its text, what it is about."""

    grade: Literal["stop", "approve", "check", "know"]
    code: str
    text: str
    path: str


GRADES = ("stop", "approve", "check", "know")


def told(messages: Iterable[Message]) -> list[Warned]:
    """Return messages as warnings of a document, gravest first, in the order they came within a grade."""
    return by_grade(
        {"grade": grade_of(one), "code": one.code, "text": text_of(one), "path": one.path} for one in messages
    )


def by_grade(warnings: Iterable[Warned]) -> list[Warned]:
    """Return warnings of a document, gravest first, in the order they came within a grade."""
    return sorted(warnings, key=lambda one: GRADES.index(one["grade"]))


def warnings_of(plan: Plan, more: Iterable[Message]) -> list[Warned]:
    """Return the warnings of a job, gravest first; one about a bore says which in its text as well."""
    names = {f"bores.{number}": bore.survey.bore.name for number, bore in enumerate(plan.bores)}
    found = told((*plan.warnings, *more))
    for one in found:
        if (bore := names.get(".".join(one["path"].split(".")[:2]))) is not None:
            one["text"] = text_of(say("of_bore", bore=bore, said=one["text"]))
    return found
