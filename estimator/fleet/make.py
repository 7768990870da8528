"""The fleet document: each row's way, date, price and saving, and what one shutdown takes."""

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import NamedTuple, NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.compare.make import Book, compared
from estimator.errors import DocumentError, JobRefusedError
from estimator.express import money
from estimator.fleet.due import Action, action_of, due_at, loss_of, worn_by
from estimator.fleet.lines import Raw
from estimator.fleet.row import Bore, Default, RowError, bore_of
from estimator.fleet.window import Item, Named, Window, choose
from estimator.money.lines import minor_of
from estimator.units import deci

__all__ = ["Fleet", "Told", "Worth", "fleet", "in_turn", "worth_of"]

NOTHING: Mapping[str, str | None] = {}
WAYS = ("repair", "sleeve", "replace")


class Worth(NamedTuple):
    """What a bore's comparison says, as plain values; `faults`: why it cannot be compared, by path."""

    annual: Mapping[str, str | None] = NOTHING
    first: Mapping[str, str | None] = NOTHING
    best: str | None = None
    downtime_cost: float = 0.0
    crew_h: float = 0.0
    on_site_h: float = 0.0
    why: tuple[tuple[str, list[str]], ...] = ()
    faults: Sequence[tuple[str, str]] = ()


class FleetRow(TypedDict):
    """One bore. `worn_now_mm`: its diameter by now, as far as the wear seen tells; `why`: of ways not possible."""

    line: int
    machine: str
    bore: str
    site: str
    action: Action
    by_h: float | None
    worn_now_mm: float
    price: str | None
    annual_cost: dict[str, str | None]
    best: str | None
    saves_per_year: str | None
    loss_avoided: str
    crew_h: float
    on_site_h: float
    why: dict[str, list[str]]
    missing: list[str]
    defaults: list[Default]


class SetAside(TypedDict):
    """A row that could not be answered."""

    line: int
    reasons: list[str]


class FleetTotals(TypedDict):
    """Of all rows answered: how many by action; price and hours of what is due, and the loss that it avoids."""

    rows: int
    set_aside: int
    computed: int
    actions: dict[str, int]
    price: str
    crew_h: float
    loss_avoided: str


class Fleet(TypedDict):
    """A fleet's list answered row by row."""

    currency: str
    pricebook: Book
    rows: list[FleetRow]
    set_aside: list[SetAside]
    window: NotRequired[Window]
    totals: FleetTotals


Told = Callable[[int, int], None]
Answered = Callable[[Sequence[str]], Iterable[Worth]]  # job documents as texts, to what each is worth, in their order


def worth_of(document: str, book: PriceBook) -> Worth:
    """Return what the comparison of a job document says."""
    try:
        found, repair = compared(document, book)
    except (DocumentError, JobRefusedError) as error:
        return Worth(faults=[(fault.path, fault.message) for fault in error.faults])
    choices = found["choices"]
    return Worth(
        annual={one["name"]: one["annual_cost"] for one in choices},
        first={one["name"]: one["first_cost"] for one in choices},
        best=found["best"],
        downtime_cost=found["downtime_cost_per_h"],
        crew_h=repair.crew,
        on_site_h=repair.on_site,
        why=tuple((one["name"], one["reasons"]) for one in choices if one["reasons"]),
    )


def in_turn(book: PriceBook) -> Answered:
    """Return what answers job documents one after the other, in this process."""
    return lambda documents: (worth_of(document, book) for document in documents)


def _read(rows: Iterable[Raw], currency: str) -> tuple[list[Bore], list[SetAside]]:
    """Return the rows that can be read, and those set aside; a bore that stands twice is asked about."""
    bores, aside, there = list[Bore](), list[SetAside](), dict[tuple[str, str], int]()
    for row in rows:
        try:
            bore = bore_of(row, currency)
        except RowError as error:
            aside.append({"line": row.line, "reasons": error.reasons})
            continue
        first = there.setdefault((bore.machine, bore.name), bore.line)
        if first != bore.line:
            said = f"bore: {bore.name} of {bore.machine} stands in line {first} already; keep the newer reading there"
            aside.append({"line": row.line, "reasons": [said]})
            continue
        bores.append(bore)
    return bores, aside


OF_WAY = {"repair.life": "repair_life", "sleeve.price": "sleeve_price", "sleeve.life": "sleeve_life"}
OF_WAY |= {"replace.price": "part_price", "replace.life": "part_life", "replace.lead_time": "lead_time"}


def _column(path: str) -> str:
    """Return the column that a path of a job document comes from."""
    inner = path.removeprefix("bores.0.").removeprefix("economics.").removeprefix("site.")
    return OF_WAY.get(inner, inner)


def _saved(worth: Worth, minor: str) -> str | None:
    """Return by how much the best way is cheaper a year than the next best; None where there is none."""
    if worth.best is None:
        return None
    annual = {name: Decimal(cost) for name, cost in worth.annual.items() if cost is not None}
    others = [cost for name, cost in annual.items() if name != worth.best]
    return money(min(others) - annual[worth.best], minor) if others else None


def _row(bore: Bore, worth: Worth, minor: str) -> FleetRow:
    """Return the answer of one row."""
    action = action_of(bore, worth.best)
    loss = Decimal(repr(loss_of(bore, action, worth.downtime_cost)))
    return {
        "line": bore.line,
        "machine": bore.machine,
        "bore": bore.name,
        "site": bore.site,
        "action": action,
        "by_h": due_at(bore),
        "worn_now_mm": float(f"{worn_by(bore, bore.now):.6g}"),
        "price": None if worth.best is None else worth.first[worth.best],
        "annual_cost": {name: worth.annual.get(name) for name in WAYS},
        "best": worth.best,
        "saves_per_year": _saved(worth, minor),
        "loss_avoided": money(loss.quantize(Decimal(minor), ROUND_HALF_UP), minor),
        "crew_h": worth.crew_h if worth.best == "repair" else 0.0,
        "on_site_h": float(f"{worth.on_site_h:.12g}") if worth.best == "repair" else 0.0,
        "why": dict(worth.why),
        "missing": list(bore.missing),
        "defaults": list(bore.defaults),
    }


DUE = ("stop", "repair", "sleeve", "replace")


def _due(rows: list[FleetRow]) -> list[FleetRow]:
    """Return the rows whose work is due and has a price."""
    return [row for row in rows if row["action"] in DUE and row["price"] is not None]


def _summed(rows: Iterable[FleetRow], minor: str) -> tuple[str, float, str]:
    """Return price, hours of the crew and loss avoided of rows together."""
    some = list(rows)
    price = sum((Decimal(row["price"] or 0) for row in some), Decimal(0))
    loss = sum((Decimal(row["loss_avoided"]) for row in some), Decimal(0))
    return money(price, minor), float(f"{sum(row['crew_h'] for row in some):.12g}"), money(loss, minor)


def _window(rows: list[FleetRow], budget: Decimal | None, hours: float | None, minor: str) -> Window:
    """Return what one shutdown takes."""
    due = _due(rows)
    items = [Item(float(row["loss_avoided"]), float(row["price"] or 0), row["crew_h"]) for row in due]
    found = choose(items, None if budget is None else float(budget), hours)
    taken = [due[place] for place in found.places]
    price, crew, loss = _summed(taken, minor)
    named: list[Named] = [{"machine": row["machine"], "bore": row["bore"]} for row in taken]
    return {"chosen": named, "price": price, "crew_h": crew, "loss_avoided": loss, "proven_gap": found.gap}


def fleet(
    rows: Iterable[Raw],
    book: PriceBook,
    *,
    budget: Decimal | None = None,
    crew_hours: float | None = None,
    answered: Answered | None = None,
    told: Told = lambda _done, _whole: None,
) -> Fleet:
    """Return the fleet document of a list's rows.

    Parameters
    ----------
    rows
        As `rows_of_csv` reads them.
    book
        The price book.
    budget, crew_hours
        Of one shutdown; with either there is a window. [currency, s]
    answered
        What answers job documents, in this process unless said; rows equal in value are asked once.
    told
        Is told how many are answered, and of how many.
    """
    minor = minor_of(book)
    bores, aside = _read(rows, book.currency)
    texts = [json.dumps(bore.document, sort_keys=True) for bore in bores]
    asked = list(dict.fromkeys(texts))
    worths = dict(zip(asked, _counted((answered or in_turn(book))(asked), len(asked), told), strict=True))
    done = list[FleetRow]()
    for bore, text in zip(bores, texts, strict=True):
        worth = worths[text]
        if worth.faults:
            aside.append({"line": bore.line, "reasons": [f"{_column(path)}: {said}" for path, said in worth.faults]})
        else:
            done.append(_row(bore, worth, minor))
    price, crew, loss = _summed(_due(done), minor)
    actions: dict[str, int] = {row["action"]: 0 for row in done}
    for row in done:
        actions[row["action"]] += 1
    found: Fleet = {
        "currency": book.currency,
        "pricebook": {"name": book.name, "invented": book.invented, "note": book.note},
        "rows": done,
        "set_aside": sorted(aside, key=lambda one: one["line"]),
        "totals": {
            "rows": len(done),
            "set_aside": len(aside),
            "computed": len(asked),
            "actions": actions,
            "price": price,
            "crew_h": crew,
            "loss_avoided": loss,
        },
    }
    if budget is not None or crew_hours is not None:
        hours = None if crew_hours is None else deci(crew_hours, "h")
        found["window"] = _window(done, budget, hours, minor)
    return found


def _counted(worths: Iterable[Worth], whole: int, told: Told) -> Iterator[Worth]:
    for done, worth in enumerate(worths, 1):
        told(done, whole)
        yield worth
