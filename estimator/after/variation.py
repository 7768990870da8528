"""A variation order: more wear found than was quoted, or other work, with its cause and price; and who accepted it.

More wear is priced by the rate that the quote's letter states, so that it surprises nobody.
"""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from typing import Annotated, Any, Literal

from pydantic import Field

from estimator.after.taxes import by_rate, minor_of, usual_rate
from estimator.document.bore import Bore
from estimator.errors import DocumentError, Fault
from estimator.estimate import Estimate
from estimator.express import digits
from estimator.fields import Distance, Document, Money, Name, Note
from estimator.money.lines import to_minor
from estimator.strict import validated

__all__ = ["Asked", "Settled", "read_variation", "variation"]

MILLI = 1e-3
HUNDREDTH = Decimal("0.01")  # [mm] of wear, as it is read and as it is charged
NO_RATE = "the quote states no price for more wear; give the price of this bore"


class MoreWear(Document):
    """A bore in which more wear was found: its largest wear a side now; `price` where the quote states no rate."""

    name: Name
    wear: Distance
    price: Money | None = None


class Work(Document):
    """Other work, at a price before tax."""

    description: Name
    price: Money


class Asked(Document):
    """What is to be ordered beside the quote, and why."""

    cause: Name
    bores: Annotated[tuple[MoreWear, ...], Field(max_length=200)] = ()
    work: Annotated[tuple[Work, ...], Field(max_length=50)] = ()
    note: Note | None = None


class Settled(Document):
    """Who accepted or declined a variation order, and how."""

    by: Name
    how: Literal["phone", "paper", "message", "in person"] = "in person"


def read_variation(data: dict[str, Any], estimate: Estimate) -> Asked:
    """Return what is to be ordered, checked against the quote; raise `DocumentError` with every fault."""
    found = validated(Asked, data, {"currency": estimate["price"]["currency"]})
    faults = list(_across(found, estimate))
    if faults:
        raise DocumentError(faults)
    return found


def _across(found: Asked, estimate: Estimate) -> Iterator[Fault]:
    """Yield what does not fit the estimate."""
    known, seen = {bore["name"]: bore for bore in estimate["bores"]}, set[str]()
    currency = estimate["price"]["currency"]
    prices = [(f"bores.{number}.price", one.price) for number, one in enumerate(found.bores) if one.price]
    prices += [(f"work.{number}.price", one.price) for number, one in enumerate(found.work)]
    for path, price in prices:
        if price.currency != currency:
            yield Fault(path, f"{price.currency} is not the quote's currency {currency}")
    for number, one in enumerate(found.bores):
        if one.name not in known:
            yield Fault(f"bores.{number}.name", f"the quote has no bore {one.name!r}; it has {', '.join(known)}")
            continue
        if one.name in seen:
            yield Fault(f"bores.{number}.name", f"{one.name!r} is given twice")
        seen.add(one.name)
        before = known[one.name]["wear"]["max_radial_wear_mm"]
        if _read(one.wear) <= _read(before * MILLI):
            yield Fault(f"bores.{number}.wear", f"is no more than the {before:g} mm a side that were quoted")
        if one.price is None and _rate(estimate) is None:
            yield Fault(f"bores.{number}.price", NO_RATE)
    if not found.bores and not found.work:
        yield Fault("bores", "nothing is ordered; name a bore with more wear, or other work")


def _rate(estimate: Estimate) -> Decimal | None:
    """Return what the quote's letter states for a millimetre more of wear. [the currency/mm]"""
    letter: Any = estimate.get("letter")
    told = letter["terms"]["more_wear"] if letter else None
    return Decimal(told["price"]) if told else None


def _read(wear: float) -> Decimal:
    """Return a wear as it is read on a gauge, to a hundredth. [mm]"""
    return Decimal(f"{wear / MILLI:.9f}").quantize(HUNDREDTH, ROUND_HALF_UP)


def variation(asked: Asked, estimate: Estimate) -> dict[str, Any]:
    """Return a variation order of a quote: its lines, tax and sum as money texts."""
    minor, bores = str(minor_of(estimate)), {bore["name"]: bore for bore in estimate["bores"]}
    lines = [_worn(one, bores[one.name], estimate, minor) for one in asked.bores]
    lines += [_line("work", one.description, Decimal(1), "each", one.price.amount, minor) for one in asked.work]
    lines = [line | {"tax_fraction": usual_rate(estimate)} for line in lines]
    return {
        "reference": estimate["reference"],
        "customer": estimate["job"]["customer"],
        "purchase_order": estimate["job"].get("purchase_order"),
        "currency": estimate["price"]["currency"],
        "cause": asked.cause,
        "note": asked.note,
        "lines": lines,
        **by_rate(lines, minor),
    }


def _line(code: str, text: str, quantity: Decimal, unit: str, each: Decimal, minor: str) -> dict[str, Any]:
    price = to_minor(quantity * each, minor)
    said = {"code": code, "description": text, "bore": None, "before_mm": None, "after_mm": None}
    return said | {"quantity": float(quantity), "unit": unit, "unit_price": f"{each:f}", "price": f"{price:f}"}


def _worn(one: MoreWear, bore: Bore, estimate: Estimate, minor: str) -> dict[str, Any]:
    """Return the line of more wear in a bore: as quoted, as found, by the rate or at its own price."""
    before, after = _read(bore["wear"]["max_radial_wear_mm"] * MILLI), _read(one.wear)
    text, rate = f"more wear in bore {one.name}", _rate(estimate)
    if one.price is not None or rate is None:
        assert one.price is not None  # as read
        line = _line("more_wear", text, Decimal(1), "each", one.price.amount, minor)
    else:
        line = _line("more_wear", text, after - before, "mm", rate, minor)
    worn = {key: digits("max_radial_wear_mm", float(value)) for key, value in (("before", before), ("after", after))}
    return line | {"bore": one.name, "before_mm": worn["before"], "after_mm": worn["after"]}
