"""What to take for several jobs: expected use, cover to a service level, packs, stock on hand."""

import csv
import io
import math
from collections.abc import Iterable, Sequence
from decimal import Decimal
from statistics import NormalDist
from typing import Any

from estimator.either import whole_up
from estimator.errors import DocumentError, Fault, JobRefusedError, nearest
from estimator.estimate import estimate
from estimator.express import money
from estimator.formula import formula
from estimator.money.lines import amount_of, minor_of
from estimator.pricebook import PriceBook
from estimator.tables.rows import Wire
from estimator.units import deci

__all__ = ["bulk_cover", "order", "poisson_cover", "read_stock"]

PARTS = {"tips": "tip", "nozzles": "nozzle", "inserts": "insert"}
STOCK_KEYS = ("item", "on_hand", "pack_size")
LARGEST, LARGE_MEAN = 1e9, 500.0


@formula(
    "to_cover", "smallest n with P(Poisson(expected) <= n) >= service level (Hopp and Spearman, Factory Physics 2.4)"
)
def poisson_cover(expected: float, service_level: float) -> int:
    """Number of parts that covers the demand at a service level. [-]

    Each term is made from its logarithm, so that large means do not underflow.
    """
    if expected <= 0:
        return 0
    number, logarithm = 0, math.log(expected)
    if expected > LARGE_MEAN:  # nothing of the sum lies more than forty deviations below the mean
        number = max(0, int(expected - 40 * math.sqrt(expected)))
    total, most = 0.0, expected + 60 * math.sqrt(expected) + 200
    while number < most:
        total += math.exp(number * logarithm - expected - math.lgamma(number + 1))
        if total >= service_level:
            break
        number += 1
    return number


@formula("to_cover", "normal cover of a bulk amount: expected (1 + z scatter), never below expected", "computed")
def bulk_cover(expected: float, scatter: float, z: float) -> float:
    """Amount of wire or gas that covers the use at a service level. [as expected]"""
    return expected * max(1.0, 1 + z * scatter)


def read_stock(text: str) -> list[dict[str, Any]]:
    """Return the stock of a CSV text with the header item,on_hand,pack_size; raise `DocumentError` with every fault."""
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))
    rows = [[cell.strip() for cell in row] for row in rows if any(cell.strip() for cell in row)]
    if not rows or tuple(rows[0]) != STOCK_KEYS:
        raise DocumentError([Fault("stock", f"the first line must be {','.join(STOCK_KEYS)}")])
    found, faults = [], []
    for number, row in enumerate(rows[1:]):
        if len(row) != len(STOCK_KEYS):
            faults.append(Fault(f"stock.{number}", f"has {len(row)} cells; {len(STOCK_KEYS)} are due"))
            continue
        entry: dict[str, Any] = {"item": row[0]}
        for key, cell in zip(STOCK_KEYS[1:], row[1:], strict=True):
            try:
                entry[key] = float(cell)
            except ValueError:
                faults.append(Fault(f"stock.{number}.{key}", f"{cell[:40]!r} is no number; write for instance 12"))
        found.append(entry)
    if faults:
        raise DocumentError(faults)
    return found


def _stock_faults(stock: Sequence[object], known: Iterable[str]) -> list[Fault]:
    """Return what is wrong with the stock, row by row."""
    faults, seen, names = [], set[str](), set(known)
    for number, row in enumerate(stock):
        path = f"stock.{number}"
        if not isinstance(row, dict):
            faults.append(Fault(path, "must be an object with item, on_hand and pack_size"))
            continue
        for key in row:
            if key not in STOCK_KEYS:
                faults.append(Fault(f"{path}.{key}", f"unknown key; known: {', '.join(STOCK_KEYS)}"))
        item = row.get("item")
        if not isinstance(item, str) or item not in names:
            near = ", ".join(nearest(str(item), names)) or ", ".join(sorted(names))
            faults.append(Fault(f"{path}.item", f"no item named {str(item)[:60]!r}; near: {near}"))
        elif item in seen:
            faults.append(Fault(f"{path}.item", f"{item!r} stands twice; keep one row an item"))
        seen.add(str(item))
        faults += _number_fault(row, "on_hand", path, above=False) + _number_fault(row, "pack_size", path, above=True)
    return faults


def _number_fault(row: dict[str, Any], key: str, path: str, above: bool) -> list[Fault]:
    value = row.get(key)
    if value is None and key == "pack_size":
        return []
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    if plain and (0 < value < LARGEST if above else 0 <= value < LARGEST):  # type: ignore[operator] # a plain number
        return []
    return [Fault(f"{path}.{key}", f"must be a number {'above zero' if above else 'of zero or more'}")]


def _expected(jobs: Sequence[dict[str, Any] | bytes | str], book: PriceBook) -> dict[tuple[str, str], float]:
    """Return the expected use of every item over all jobs, by kind and name."""
    used: dict[tuple[str, str], float] = {}
    wrong: list[Fault] = []
    refused: list[Fault] = []
    for number, job in enumerate(jobs):
        try:
            found = estimate(job, book)
        except DocumentError as error:
            wrong += [Fault(f"jobs.{number}.{f.path}".rstrip("."), f.message) for f in error.faults]
            continue
        except JobRefusedError as error:
            refused += [Fault(f"jobs.{number}.{f.path}".rstrip("."), f.message) for f in error.faults]
            continue
        for bore in found["bores"]:
            built, amounts = bore["buildup"], bore["consumption"]
            entries = {("wire", built["wire"]): amounts["wire_kg"], ("gas", built["gas"]): amounts["gas_L"]}
            entries |= {("part", part): amounts[key] for key, part in PARTS.items()}
            for item, amount in entries.items():
                used[item] = used.get(item, 0.0) + amount
    if wrong:
        raise DocumentError(wrong)
    if refused:
        raise JobRefusedError(refused)
    return used


def _stocked(kind: str, name: str, book: PriceBook) -> tuple[str, float, Decimal, str]:
    """Return unit, pack size, price for one unit and article code of an item, from the price book."""
    if kind == "wire":
        wire = book.consumables.wires[name]
        return "kg", deci(wire.pack, "kg"), wire.price.amount, wire.article
    if kind == "gas":
        gas = book.consumables.gases[name]
        return "L", deci(gas.pack, "L"), gas.price.amount, gas.article
    part = getattr(book.consumables, name)
    return "each", float(part.pack), part.price.amount, part.article


def _cover(kind: str, name: str, expected: float, level: float, book: PriceBook) -> float:
    if kind == "part":
        return poisson_cover(expected, level)
    z = NormalDist().inv_cdf(level)
    scatter = book.facts.row("wires", name, Wire).feed_scatter if kind == "wire" else book.facts.constant("gas_scatter")
    return bulk_cover(expected, scatter, z)


def _line(
    item: tuple[str, str], expected: float, stock: dict[str, dict[str, Any]], level: float, book: PriceBook
) -> dict[str, Any]:
    kind, name = item
    unit, pack, price, article = _stocked(kind, name, book)
    have = stock.get(name, {})
    pack = float(have["pack_size"]) if have.get("pack_size") is not None else pack
    on_hand = float(have.get("on_hand", 0.0))
    cover = _cover(kind, name, expected, level, book)
    packs = int(whole_up(max(0.0, cover - on_hand) / pack))
    quantity = packs * pack
    minor = minor_of(book)
    return {
        "item": name,
        "kind": kind,
        "unit": unit,
        "expected": float(f"{expected:.12g}"),
        "to_cover": cover if kind == "part" else float(f"{cover:.12g}"),
        "on_hand": on_hand,
        "pack_size": pack,
        "packs": packs,
        "quantity": float(f"{quantity:.12g}"),
        "cost": money(amount_of(Decimal(f"{quantity:.12g}"), price, minor), minor),
        "article": article or None,
    }


def order(
    jobs: Sequence[dict[str, Any] | bytes | str],
    book: PriceBook,
    stock: Sequence[object] | None = None,
    service_level: float = 0.95,
) -> dict[str, Any]:
    """Return the order document of several jobs.

    Raises
    ------
    DocumentError
        If a job, the stock or the service level is wrong; paths begin with `jobs.0` and the like.
    JobRefusedError
        If one of the jobs must not be welded.
    """
    faults = []
    level = service_level
    if type(level) not in (int, float) or not 0 < level < 1:
        faults.append(Fault("service_level", "must be a number between 0 and 1, for instance 0.95"))
    if not jobs:
        faults.append(Fault("jobs", "is empty; give one job at least"))
    names = {*book.consumables.wires, *book.consumables.gases, *PARTS.values()}
    faults += _stock_faults(stock or [], names)
    if faults:
        raise DocumentError(faults)
    have = {row["item"]: row for row in stock or [] if isinstance(row, dict)}
    used = _expected(jobs, book)
    idle = sorted(set(have) - {name for _, name in used})
    warnings = [f"{name} is in stock and not used by these jobs" for name in idle]
    warnings += [f"PRICES ARE INVENTED: {book.note}"] if book.invented else []
    kinds = ("wire", "gas", "part")
    lines = [
        _line(item, used[item], have, level, book) for item in sorted(used, key=lambda i: (kinds.index(i[0]), i[1]))
    ]
    total = sum((Decimal(str(line["cost"])) for line in lines), Decimal(0))
    return {
        "service_level": level,
        "jobs": len(jobs),
        "currency": book.currency,
        "lines": lines,
        "total": money(total, minor_of(book)),
        "warnings": warnings,
    }
