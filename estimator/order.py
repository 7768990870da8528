"""What to take for several jobs: expected use, cover to a service level, packs, stock on hand."""

import csv
import io
import math
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from statistics import NormalDist
from typing import Any

from estimator.either import whole_up
from estimator.errors import DocumentError, Fault, JobRefusedError, OutOfRangeError, nearest, require_range
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
SMALLEST_PACK, LARGEST, LARGEST_MEAN = 1e-3, 1e9, 1e7
EVEN_ODDS = 0.5
PLAIN = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")


def _likelihoods(mean: float) -> tuple[int, list[float]]:
    """Return the lowest number and the likelihoods from there on, as parts of the highest, until they vanish."""
    middle = int(mean)
    below, above, number, likelihood = list[float](), [1.0], middle, 1.0
    while number > 0 and likelihood > 0:
        likelihood *= number / mean
        below.append(likelihood)
        number -= 1
    number, likelihood = middle, 1.0
    while likelihood > 0:
        number += 1
        likelihood *= mean / number
        above.append(likelihood)
    return middle - len(below), below[::-1] + above


@formula(
    "to_cover", "smallest n with P(Poisson(expected) <= n) >= service level (Hopp and Spearman, Factory Physics 2.4)"
)
def poisson_cover(expected: float, service_level: float) -> int:
    """Number of parts that covers the demand at a service level. [-]

    Likelihoods are taken against the highest one and summed from the small end, so that neither a large mean nor a
    level near one costs digits.

    Parameters
    ----------
    expected
        Zero or more, up to 10 000 000. [-]
    service_level
        Above 0, below 1. [-]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Examples
    --------
    >>> poisson_cover(3.0, 0.64), poisson_cover(3.0, 0.65)
    (3, 4)
    """
    require_range("service_level", service_level, math.nextafter(1.0, 0.0))
    if expected == 0:
        return 0
    require_range("expected", expected, LARGEST_MEAN)
    lowest, likelihoods = _likelihoods(expected)
    whole, total = math.fsum(likelihoods), 0.0
    if service_level < EVEN_ODDS:
        for number, likelihood in enumerate(likelihoods, lowest):
            total += likelihood
            if total >= service_level * whole:
                return number
    room, number = (1 - service_level) * whole, lowest + len(likelihoods) - 1
    for likelihood in reversed(likelihoods):
        total += likelihood
        if total > room:
            break
        number -= 1
    return number


@formula("to_cover", "normal cover of a bulk amount: expected (1 + z scatter), never below expected", "computed")
def bulk_cover(expected: float, scatter: float, z: float) -> float:
    """Amount of wire or gas that covers the use at a service level. [as expected]"""
    return expected * max(1.0, 1 + z * scatter)


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Return the cells of every line that holds any, with the number of the line."""
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    try:
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader]
    except csv.Error as error:
        raise DocumentError([Fault("stock", f"is no CSV at line {reader.line_num}: {error}")]) from None
    return [(line, cells) for line, cells in rows if any(cells)]


def _cell(text: str, path: str, line: int) -> tuple[float | None, list[Fault]]:
    """Return the number in a cell; None for an empty one."""
    if not text or PLAIN.fullmatch(text):
        return (float(text) if text else None), []
    hint = "with a decimal point, not a comma" if "," in text else "for instance 12, in the item's own unit"
    return None, [Fault(path, f"line {line}: {text[:40]!r} is no plain number; write it {hint}")]


def read_stock(text: str) -> list[dict[str, Any]]:
    """Return the stock of a CSV text with the header item,on_hand,pack_size; raise `DocumentError` with every fault.

    An empty `pack_size` means the price book's pack. Paths count the rows of items from 0, as in a JSON document; the
    message names the line of the file.
    """
    rows = _rows(text)
    if not rows or tuple(rows[0][1]) != STOCK_KEYS:
        raise DocumentError([Fault("stock", f"the first line must be {','.join(STOCK_KEYS)}, separated by commas")])
    found, faults = [], []
    for number, (line, cells) in enumerate(rows[1:]):
        path = f"stock.{number}"
        if len(cells) != len(STOCK_KEYS):
            faults.append(Fault(path, f"line {line}: has {len(cells)} cells; {len(STOCK_KEYS)} are due"))
            continue
        on_hand, wrong = _cell(cells[1], f"{path}.on_hand", line)
        pack_size, wrong_too = _cell(cells[2], f"{path}.pack_size", line)
        if not cells[1]:
            wrong = [Fault(f"{path}.on_hand", f"line {line}: is empty; write 0 if there is none")]
        faults += wrong + wrong_too
        found.append({"item": cells[0], "on_hand": on_hand, "pack_size": pack_size})
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
        faults += [*_number_fault(row, "on_hand", path, 0.0), *_number_fault(row, "pack_size", path, SMALLEST_PACK)]
    return faults


def _number_fault(row: dict[str, Any], key: str, path: str, least: float) -> list[Fault]:
    value = row.get(key)
    if value is None and key == "pack_size":
        return []
    if not isinstance(value, int | float) or isinstance(value, bool) or not least <= value <= LARGEST:
        return [Fault(f"{path}.{key}", f"must be a plain number from {least:g} to {LARGEST:g}")]
    if row.get("item") in PARTS.values() and value != int(value):
        return [Fault(f"{path}.{key}", "must be a whole number: parts are counted")]
    return []


def _expected(
    jobs: Sequence[dict[str, Any] | bytes | str], book: PriceBook
) -> tuple[dict[tuple[str, str], float], list[str]]:
    """Return the expected use of every item over all jobs, by kind and name; and what is odd about the jobs."""
    used: dict[tuple[str, str], float] = {}
    references: list[str] = []
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
        except OutOfRangeError as error:
            refused.append(Fault(f"jobs.{number}", f"no plan lies within the range of the formulas: {error}"))
            continue
        references.append(found["reference"])
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
    twice = sorted({name for name in references if references.count(name) > 1})
    said = [f"more than one job has the reference {name!r}: each one is counted" for name in twice]
    return {item: float(f"{amount:.12g}") for item, amount in used.items()}, said


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
        "expected": expected,
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
    faults, level = [], service_level
    if type(level) not in (int, float) or not 0 < level < 1:
        faults.append(Fault("service_level", "must be a number between 0 and 1, for instance 0.95"))
    if not jobs:
        faults.append(Fault("jobs", "is empty; give one job at least"))
    names = {*book.consumables.wires, *book.consumables.gases, *PARTS.values()}
    faults += _stock_faults(stock or [], names)
    if faults:
        raise DocumentError(faults)
    have = {row["item"]: row for row in stock or [] if isinstance(row, dict)}
    used, odd = _expected(jobs, book)
    idle = sorted(set(have) - {name for _, name in used})
    warnings = odd + [f"{name} is in stock and not used by these jobs" for name in idle]
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
