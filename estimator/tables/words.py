"""The models of rows that are read out: cautions, cards, grades of warnings, advice, scope, filter shades."""

from typing import ClassVar, Literal

from estimator.fields import AnyQuantity, Number
from estimator.tables.row import Row

__all__ = ["CardRow", "Caution", "Grade", "Practice", "Procedure", "Scope", "Shade"]


class Shade(Row):
    """Least filter shade over a range of current."""

    name: str
    above: AnyQuantity
    below: AnyQuantity
    shade: Number
    suggested: Number | None = None


class Caution(Row):
    """A caution to show where the work is planned."""

    key_field: ClassVar[str] = "code"
    code: str
    when: Literal["always", "preheat", "confined", "coated"]
    text: str
    short: str = ""


class Grade(Row):
    """How grave a warning is that holds some words: the first row whose words it holds counts."""

    key_field: ClassVar[str] = "code"
    code: str
    words: str
    grade: Literal["stop", "approve", "mind"]
    why: str


class Procedure(Row):
    """What is not welded without a qualified procedure: the case, what is done here, who decides, why."""

    key_field: ClassVar[str] = "code"
    code: str
    applies: str
    action: Literal["refuse", "approve", "warn"]
    case: str
    who: str
    why: str


class Practice(Row):
    """A piece of advice to the welder."""

    key_field: ClassVar[str] = "code"
    code: str
    when: Literal["always", "horizontal", "vertical", "flux-cored"]
    text: str


class CardRow(Row):
    """What stands on the card of a bore: something on the order of work, or what to watch and what to do about it."""

    key_field: ClassVar[str] = "code"
    code: str
    kind: Literal["order", "watch"]
    when: Literal["always", "horizontal", "vertical", "sector", "preheat", "flux-cored"]
    text: str
    do: str = ""


class Scope(Row):
    """A line of the scope: included, excluded, or left to the customer."""

    key_field: ClassVar[str] = "code"
    code: str
    kind: Literal["included", "excluded", "customer"]
    text: str
