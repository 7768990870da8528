"""What a role may not see is left out of a document, before anything is made of it.

Owner and estimator see all. Fleet sees what is planned and what is paid, never what it costs us: no cost, no margin,
and nothing that leads back to either. Field sees what is planned, and no money at all. A price book's hash goes too:
who knows all of a book but one rate finds that rate by trying. So does the hash of an estimate that holds its cost;
theirs is of the estimate as they get it.
"""

from collections.abc import Mapping
from typing import Any, Literal, get_args

from estimator.document.old import told_of_cost
from estimator.strict import sha256
from estimator.tables.messages import of_the_office

__all__ = ["ROLES", "Role", "redact", "sees_cost", "sees_money"]

Role = Literal["owner", "estimator", "field", "fleet"]
ROLES: tuple[Role, ...] = get_args(Role)

HIDDEN = {"cost", "unit_cost", "amount", "margin", "markup", "rule", "price_key", "bears_margin"}
HIDDEN |= {"labour"}  # what an hour of a record really cost us
HIDDEN |= {"advised_service_level", "advised_cover"}  # they tell the ratio of two costs
HIDDEN |= {"spread"}  # quantiles of what a job costs us; a price that is quoted has none for others
HIDDEN |= {"frontier", "neighbours", "shadow_prices"}  # plans set side by side by their cost
HIDDEN_OF_BOOK = {"basis", "sha256"}
MONEY = {"price", "total", "before_tax", "tax", "tax_fraction", "tax_name", "price_more", "other_price", "letter"}
MONEY |= {"taxes", "unit_price", "overtime_hour_price", "price_less_by_overtime", "economics", "extras", "discount"}
MONEY |= {"rate"}  # of standing time, in a record
MONEY_OF_BUDGET = {"low", "likely", "high"}


def sees_cost(role: Role) -> bool:
    """Return whether a role sees what a job costs us."""
    return role in {"owner", "estimator"}


def sees_money(role: Role) -> bool:
    """Return whether a role sees what a customer pays."""
    return role != "field"


def redact(document: Any, role: Role) -> Any:  # noqa: ANN401  # a document of any kind, of the same kind again
    """Return a document as a role may see it.

    Parameters
    ----------
    document
        An estimate, comparison, order, quote, or anything that holds them; it is left as it is.
    role
        Whom it is for.

    Returns
    -------
    Any
        The document itself for owner and estimator; else one without what they may not see.
    """
    return document if sees_cost(role) else _shown(document, HIDDEN if sees_money(role) else HIDDEN | MONEY)


def _shown(item: Any, hidden: set[str]) -> Any:  # noqa: ANN401  # JSON is of any type
    if isinstance(item, Mapping):
        return _object(item, hidden)
    if isinstance(item, (list, tuple)):
        return [_shown(one, hidden) for one in item if not (_is_hidden(one) or told_of_cost(one))]
    return item


def _is_hidden(item: Any) -> bool:  # noqa: ANN401  # the same
    """Return whether an item is a warning that tells of our cost."""
    return isinstance(item, Mapping) and item.get("code") in of_the_office() and "grade" in item


def _object(item: Mapping[str, Any], hidden: set[str]) -> dict[str, Any]:
    """Return an object without its hidden keys; what they add up to and their hash go with them."""
    lost = hidden | ({"total"} if "service_level" in item else set())
    if "measure" in item and hidden >= MONEY:
        lost |= MONEY_OF_BUDGET
    found = {key: _shown(value, hidden) for key, value in item.items() if key not in lost}
    book = found.get("pricebook")
    if isinstance(book, dict):
        found["pricebook"] = {key: value for key, value in book.items() if key not in HIDDEN_OF_BOOK}
    if found.get("sha256") is not None and "state" in found:  # a quote, or its row in a list
        found["sha256"] = sha256(found["estimate"]) if isinstance(found.get("estimate"), dict) else None
    return found
