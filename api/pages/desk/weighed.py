"""What each choice of a bore's plan costs against what the program chooses: one run of the road for each."""

import copy
import csv
import functools
import json
from decimal import Decimal
from importlib import resources
from typing import Any, NamedTuple

from api.filled import filled
from api.pages.desk.typed import Document, at_path
from api.work.tasks import book_of
from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError
from estimator.estimate import Estimate, estimate
from exports.format import amount, clock_time

__all__ = ["Choice", "choices", "pinned", "weighed"]

OF_A_LINE = {"mounts"}  # one bar is held in one way
ERRORS = (DocumentError, JobRefusedError, OutOfRangeError)


class Choice(NamedTuple):
    """One choice of a plan, its key below the bore, and what is tried for it."""

    key: str
    label: str
    kind: str
    tries: tuple[str, ...]


@functools.cache
def choices() -> dict[str, Choice]:
    """Return the choices by their keys, as the table has them."""
    text = resources.files("api.pages.desk").joinpath("choices.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    return {row["key"]: Choice(row["key"], row["label"], row["kind"], tuple(row["tries"].split("; "))) for row in rows}


def pinned(document: Document, bore: int, key: str, value: object) -> Document:
    """Return a job document with one choice of a bore pinned; left to the program where the value is None."""
    changed = copy.deepcopy(document)
    line = changed["bores"][bore].get("line")
    shared = [one for one in changed["bores"] if key in OF_A_LINE and line is not None and one.get("line") == line]
    for one in shared or [changed["bores"][bore]]:
        inner = one
        *above, last = key.split(".")
        for name in above:
            inner = inner.setdefault(name, {})
        inner.pop(last, None)
        if value is not None:
            inner[last] = value
        if "options" in one and not one["options"]:
            del one["options"]
    return changed


def weighed(document: str, bore: int, key: str, book: str | None) -> str:
    """Return what may be chosen for one key of a bore, and what each costs beside the best."""
    choice, job, prices = choices()[key], json.loads(document), book_of(book)
    free = job if choice.kind == "crew" else pinned(job, bore, key, None)
    try:
        best = estimate(free, prices, "plan")
    except ERRORS as error:
        return filled("choice.html", None, "", choice=choice, rows=[], said=str(error))
    chosen = None if choice.kind == "crew" else at_path(job["bores"][bore], key)
    shown = said_of(best, bore, key)
    first = {"value": "", "said": f"as the program chooses: {shown}" if shown else "as the program chooses",
             "money": "", "hours": "", "why": "", "chosen": chosen is None}  # fmt: skip
    rows = [_row(free, bore, (choice, value), best, prices) for value in _tries(choice, best, bore, prices)]
    for row in rows:
        row["chosen"] = chosen is not None and row["value"] == str(chosen)
    return filled("choice.html", None, "", choice=choice, rows=[first, *rows], said="")


def _tries(choice: Choice, best: Estimate, bore: int, book: PriceBook) -> list[Any]:
    """Return what is tried for a choice."""
    if choice.kind == "carried":
        return list(book.document["carried"][choice.tries[0]])
    built = best["bores"][bore]["buildup"]
    if choice.key == "options.layers":
        return [len(built["layers"]) + int(one) for one in choice.tries if len(built["layers"]) + int(one) > 0]
    if choice.kind == "near":
        now = built["layers"][-1]["current_A"]
        return [f"{now + int(one):g} A" for one in choice.tries]
    return list(choice.tries)


def _row(free: Document, bore: int, tried: tuple[Choice, Any], best: Estimate, book: PriceBook) -> dict[str, Any]:
    """Return what one try costs more or less than the best; or why it cannot be done."""
    choice, value = tried
    row = {"value": str(value), "said": str(value), "money": "", "hours": "", "why": "", "chosen": False}
    try:
        if choice.kind == "crew":
            found = estimate(free, _with_crew(book, int(value)), "price")
        else:
            found = estimate(pinned(free, bore, choice.key, value), book, "price")
    except ERRORS as error:
        told = getattr(error, "faults", None)
        return row | {"why": told[0].message if told else str(error)}
    more = Decimal(found["price"]["before_tax"]) - Decimal(best["price"]["before_tax"])
    minutes = found["totals"]["on_site_min"] - best["totals"]["on_site_min"]
    return row | {"money": signed(more, best["price"]["currency"]), "hours": clock_signed(minutes)}


@functools.lru_cache(maxsize=8)
def _crewed(text: str, crew: int) -> PriceBook:
    return read_pricebook(json.loads(text) | {"crew": crew})


def _with_crew(book: PriceBook, crew: int) -> PriceBook:
    return _crewed(json.dumps(book.document), crew)


def signed(more: Decimal, currency: str) -> str:
    """Return a difference of money with its sign; "the same" for none."""
    if not more:
        return "the same"
    return f"{'+' if more > 0 else '−'}{amount(f'{abs(more):.2f}', currency)}"


def clock_signed(minutes: float) -> str:
    """Return a difference of time with its sign; empty for none."""
    if abs(minutes) < 0.5:  # noqa: PLR2004  # less than what is shown
        return ""
    return f"{'+' if minutes > 0 else '−'}{clock_time(abs(minutes))}"


def said_of(found: Estimate, bore: int, key: str) -> str:
    """Return what the program chose for a key, in words."""
    one = found["bores"][bore]
    built = one["buildup"]
    sizes, wear, given = one["sizes"], one["wear"], one["given"]
    clean = (sizes["cleanup_mm"] - given["nominal_diameter_mm"]) / 2 - wear["max_radial_wear_mm"]
    middle = (sizes["finish_min_mm"] + sizes["finish_max_mm"]) / 2
    said = {
        "options.wire": built["wire"],
        "options.gas": built["gas"],
        "options.current": f"{built['layers'][-1]['current_A']:.0f} A" if built["layers"] else "",
        "options.layers": str(len(built["layers"])),
        "options.ends": str(built["ends"]["how"]),
        "options.aim": built["aim"],
        "cleanup_allowance": f"{clean:.2f} mm",
        "machining_allowance": f"{(middle - sizes['weld_mm']) / 2:.2f} mm",
        "mounts": one["setup"]["mounts"],
        "crew": str((found["schedule"] or {}).get("technicians", "")),
    }
    return said.get(key, "")
