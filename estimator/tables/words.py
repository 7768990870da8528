"""The models of rows that are read out: cautions, cards, advice, scope, filter shades."""

import string
from typing import Annotated, ClassVar, Literal, Self

from pydantic import AfterValidator, model_validator

from estimator.fields import AnyQuantity, Number
from estimator.tables.row import Row
from estimator.tables.used import used_up
from estimator.tables.work_rows import YesNo

__all__ = ["DAY_WORDS", "USABLE", "CardRow", "Caution", "DayRow", "Demanded", "Practice", "Procedure", "Scope", "Shade"]

DAY_WORDS = (
    "cleanup",
    "weld",
    "finish_min",
    "finish_max",
    "warm_min",
    "warm_max",
    "preheat",
    "interpass",
    "cut",
    "layers",
    "bearings",
    "depths",
    "clock",
    "across",
    "gauged",
    "burners",
)
USABLE = tuple(one.key for one in used_up())


class Shade(Row):
    """Least filter shade over a range of current."""

    name: str
    above: AnyQuantity
    below: AnyQuantity
    shade: Number
    suggested: Number | None = None


class Caution(Row):
    """A caution to show where the work is planned; `customer`: for them to know as well, so it stands on the letter."""

    key_field: ClassVar[str] = "code"
    code: str
    when: Literal["always", "preheat", "confined", "coated", "brackets", "alone"]
    text: str
    short: str = ""
    customer: YesNo = "no"


class Procedure(Row):
    """What is not welded without a qualified procedure: the case, what is done here, who decides, why."""

    key_field: ClassVar[str] = "code"
    code: str
    applies: str
    action: Literal["refuse", "approve", "warn"]
    case: str
    who: str
    why: str


class Demanded(Row):
    """Where the work stands that a caution, a card or a message asks of the crew: in time standards, or why in none.

    `said`: the table and the row that ask; `times`: codes of the table of times with a blank between.
    """

    key_field: ClassVar[str] = "said"
    said: str
    times: str = ""
    why: str = ""

    @model_validator(mode="after")
    def _either(self) -> Self:
        """Raise `ValueError` where neither is told, or both are."""
        if bool(self.times) == bool(self.why):
            msg = "say the time standards it stands in, or why it stands in none"
            raise ValueError(msg)
        return self


class Practice(Row):
    """A piece of advice to the welder."""

    key_field: ClassVar[str] = "code"
    code: str
    when: Literal[
        "always",
        "horizontal",
        "vertical",
        "sector",
        "preheat",
        "solid",
        "metal-cored",
        "flux-cored",
        "cracks unknown",
        "slow cooling",
    ]
    text: str


class CardRow(Row):
    """What stands on the card of a bore: something on the order of work, or what to watch and what to do about it."""

    key_field: ClassVar[str] = "code"
    code: str
    kind: Literal["order", "watch"]
    when: Literal[
        "always",
        "horizontal",
        "vertical",
        "sector",
        "preheat",
        "solid",
        "metal-cored",
        "flux-cored",
        "cracks unknown",
        "slow cooling",
    ]
    text: str
    do: str = ""


def _known_words(text: str) -> str:
    """Return a text whose words in braces are all known; raise `ValueError` with those that are."""
    try:
        parsed = [one[1:] for one in string.Formatter().parse(text) if one[1] is not None]
        named = [name if not form and not turned else text for name, form, turned in parsed]
    except ValueError:
        named = [text]
    if not set(named) <= set(DAY_WORDS):
        msg = f"words in braces may be {', '.join('{' + word + '}' for word in DAY_WORDS)}"
        raise ValueError(msg)
    return text


class DayRow(Row):
    """What stands on the page of a day beside a kind of task: what to measure, a tool, or what is used up by it.

    Words in braces in the text become the bore's figures; a `use` names a key of the bore's consumption; a `supply` is
    used up and not counted. Tools and supplies stand one by one, with `|` between.
    """

    key_field: ClassVar[str] = "code"
    code: str
    task: str
    kind: Literal["measure", "tool", "supply", "use"]
    when: Literal[
        "always",
        "preheat",
        "layered",
        "one layer",
        "gauged",
        "ungauged",
        "brackets",
        "hot brackets",
        "clamps",
        "cracks unknown",
        "slow cooling",
    ]
    text: Annotated[str, AfterValidator(_known_words)]

    @model_validator(mode="after")
    def _names_a_use(self) -> Self:
        """Raise `ValueError` where a `use` names nothing that is used up."""
        if self.kind == "use" and self.text not in USABLE:
            msg = f"the text of a use is one of {', '.join(USABLE)}"
            raise ValueError(msg)
        return self


class Scope(Row):
    """A line of the scope: included, excluded, or left to the customer; `mains`: where no generator of ours runs."""

    key_field: ClassVar[str] = "code"
    code: str
    kind: Literal["included", "excluded", "customer"]
    when: Literal["always", "mains"] = "always"
    text: str
