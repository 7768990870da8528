"""What stands on a bore's card besides its figures: the order of work, what to watch and what to do about it."""

from typing_extensions import TypedDict

from estimator.plans import BoreFigures
from estimator.tables import Tables
from estimator.tables.rows import CardRow

__all__ = ["Card", "card_of"]


class Watch(TypedDict):
    """What may be seen while welding, and what to do about it."""

    see: str
    do: str


class Card(TypedDict):
    """What stands on the bore's card besides its figures: the order of work, and what to watch."""

    order: list[str]
    watch: list[Watch]


def card_of(one: BoreFigures, facts: Tables) -> Card:
    """Return the words of a bore's card that fit its axis, wire, preheat and sector."""
    bore, here = one.plan.survey.bore, {"always", one.plan.survey.bore.axis, one.plan.weld.wire.kind}
    here |= {"sector"} if bore.sector is not None else set()
    here |= {"preheat"} if one.plan.heat.due else set()
    here |= one.plan.counts.around.here | one.plan.counts.decided
    rows = [row for row in facts.every("card", CardRow) if row.when in here]
    return {
        "order": [row.text for row in rows if row.kind == "order"],
        "watch": [{"see": row.text, "do": row.do} for row in rows if row.kind == "watch"],
    }
