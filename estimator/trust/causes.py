"""Which causes moved a price: from one job and book to another, cause by cause, adding up to the difference.

A cause is a key of the job document or of the price book that differs. Starting from the first, the causes are laid
in one after another in the order of the second document, and the road is run each time; a cause that cannot stand alone
(the job in between is wrong or refused) goes together with the next. What each moved depends on the order, which is
stated.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.errors import DocumentError, JobRefusedError
from estimator.estimate import Priced, estimate
from estimator.strict import parse
from estimator.trust.plainly import key_said, value_said

__all__ = ["causes", "differences", "moved_lines"]

GONE = object()
ORDER = (
    "changes are applied one after another, as they stand in the second document; "
    "applied in another order each would take another share"
)
MOST_LINES = 4


@dataclass(frozen=True)
class Cause:
    """One key that differs: in which document, its path, and what it becomes."""

    place: str
    path: tuple[str | int, ...]
    before: object
    after: object
    what: str = ""

    @property
    def key(self) -> str:
        """Return the key as it is written in faults."""
        path = ".".join(map(str, self.path))
        return path if self.place == "job" else f"pricebook: {path}"


Change = tuple[tuple[str | int, ...], object, object]


def differences(before: object, after: object, path: tuple[str | int, ...] = ()) -> Iterator[Change]:
    """Yield every path at which two documents differ; lists of one length are followed, others taken whole."""
    if isinstance(before, dict) and isinstance(after, dict) and "values" not in after:
        for key in [*after, *(key for key in before if key not in after)]:
            yield from differences(before.get(key, GONE), after.get(key, GONE), (*path, key))
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after) and _are_objects(after):
        for number, (one, other) in enumerate(zip(before, after, strict=True)):
            yield from differences(one, other, (*path, number))
    elif before != after:
        yield path, before, after


def _are_objects(items: list[Any]) -> bool:
    return all(isinstance(item, dict) for item in items)


def _laid(document: Any, path: tuple[str | int, ...], value: object) -> Any:  # noqa: ANN401  # a document
    """Return a copy of a document with the value at a path replaced, or taken away."""
    if not path:
        return value
    step, *rest = path
    copied = dict(document) if isinstance(document, dict) else list(document)
    if not rest and value is GONE:
        del copied[step]  # pyrefly: ignore[unsupported-operation] # a key of a dict
    else:
        inner = copied.get(step, {}) if isinstance(copied, dict) else copied[step]  # pyrefly: ignore[bad-index] # a number of a list
        copied[step] = _laid(inner, tuple(rest), value) if rest else value  # pyrefly: ignore[unsupported-operation] # the same
    return copied


def _shown(value: object) -> str | None:
    return None if value is GONE else value_said(value)


def _priced(job: Any, book: Any) -> Priced | None:  # noqa: ANN401  # documents of any kind
    try:
        return estimate(job, read_pricebook(book), "price")
    except (DocumentError, JobRefusedError):
        return None


def moved_lines(before: Priced, after: Priced) -> list[dict[str, str]]:
    """Return the cost lines that moved most between two estimates, by code."""
    moved, names = dict[str, Decimal](), dict[str, str]()
    for found, sign in ((before, -1), (after, 1)):
        for line in found["cost"]["lines"]:
            moved[line["code"]] = moved.get(line["code"], Decimal(0)) + sign * Decimal(line["amount"])
            names[line["code"]] = line["description"]
    most = sorted(moved.items(), key=lambda item: -abs(item[1]))[:MOST_LINES]
    return [{"code": code, "name": names[code], "moved": f"{amount}"} for code, amount in most if amount]


def causes(first: bytes | str, second: bytes | str, book: PriceBook, other: PriceBook) -> dict[str, Any]:
    """Return which causes moved the price with tax from the first job and book to the second.

    Raises
    ------
    DocumentError, JobRefusedError
        If either job is wrong or refused as it stands.
    """
    job, target = parse(first), parse(second)
    rates, wanted = book.document, other.document
    start, end = estimate(job, book, "price"), estimate(target, other, "price")
    found = [Cause("job", *one, key_said(one[0], job, target)) for one in differences(job, target)]
    said = "price book: "
    found += [Cause("pricebook", *one, said + key_said(one[0], rates, wanted)) for one in differences(rates, wanted)]
    moved, waiting, now = [], list[Cause](), start
    for cause in found:
        waiting.append(cause)
        if cause.place == "job":
            job = _laid(job, cause.path, cause.after)
        else:
            rates = _laid(rates, cause.path, cause.after)
        after = _priced(job, rates)
        if after is None:
            continue
        moved.append(_moved(waiting, now, after))
        waiting, now = [], after
    before, last = Decimal(start["price"]["total"]), Decimal(end["price"]["total"])
    return {
        "first": {"reference": start["reference"], "total": start["price"]["total"]},
        "second": {"reference": end["reference"], "total": end["price"]["total"]},
        "currency": end["price"]["currency"],
        "difference": f"{last - before}",
        "causes": moved,
        "order": ORDER,
    }


def _moved(waiting: list[Cause], before: Priced, after: Priced) -> dict[str, Any]:
    """Return what a cause, or several that only stand together, moved."""
    change = Decimal(after["price"]["total"]) - Decimal(before["price"]["total"])
    return {
        "keys": [cause.key for cause in waiting],
        "what": [cause.what for cause in waiting],
        "from": [_shown(cause.before) for cause in waiting],
        "to": [_shown(cause.after) for cause in waiting],
        "moved": f"{change}",
        "lines": moved_lines(before, after),
    }
