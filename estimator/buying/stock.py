"""Stock on hand: a CSV text or rows of a document; items by name, plural or article code."""

import csv
import io
import re
from collections.abc import Collection, Sequence
from typing import Any

from estimator.book.consumables import PARTS, entry_of, item_names
from estimator.book.pricebook import PriceBook
from estimator.errors import DocumentError, Fault, nearest

__all__ = ["known_stock", "read_stock"]

STOCK_KEYS = ("item", "on_hand", "pack_size")
SMALLEST_PACK, LARGEST = 1e-3, 1e9
PLAIN = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")


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


def known_stock(stock: Sequence[object], book: PriceBook) -> tuple[dict[str, dict[str, Any]], list[Fault]]:
    """Return the rows of a stock by the item's own name, and what is wrong with it, row by row."""
    faults, found, names = list[Fault](), dict[str, dict[str, Any]](), item_names(book.consumables)
    for number, row in enumerate(stock):
        path = f"stock.{number}"
        if not isinstance(row, dict):
            faults.append(Fault(path, "must be an object with item, on_hand and pack_size"))
            continue
        for key in row:
            if key not in STOCK_KEYS:
                faults.append(Fault(f"{path}.{key}", f"unknown key; known: {', '.join(STOCK_KEYS)}"))
        item = _named(row.get("item"), book, names)
        if item is None:
            said = str(row.get("item"))
            near = ", ".join(nearest(said, names)) or ", ".join(sorted(names))
            faults.append(Fault(f"{path}.item", f"no item named {said[:60]!r}; near: {near}"))
        elif item in found:
            faults.append(Fault(f"{path}.item", f"{item!r} stands twice; keep one row an item"))
        faults += _number_fault(row, "on_hand", path, 0.0, item)
        faults += _number_fault(row, "pack_size", path, SMALLEST_PACK, item)
        if item is not None:
            found[item] = row
    return found, faults


def _named(item: object, book: PriceBook, names: Collection[str]) -> str | None:
    """Return the item that a name, an article code or a plural stands for, or None."""
    if not isinstance(item, str):
        return None
    if item in names:
        return item
    articles = {article: name for name in names if (article := entry_of(name, book.consumables).article)}
    articles |= book.articles
    if item in articles:
        return articles[item]
    plain = {name.casefold(): name for name in names}
    said = item.strip().casefold()
    forms = (said, said.removesuffix("s"), said.removesuffix("es"), said.replace("_", " "), said.replace(" ", "-"))
    return next((plain[form] for form in forms if form in plain), None)


def _number_fault(row: dict[str, Any], key: str, path: str, least: float, item: str | None) -> list[Fault]:
    value = row.get(key)
    if value is None and key == "pack_size":
        return []
    if not isinstance(value, int | float) or isinstance(value, bool) or not least <= value <= LARGEST:
        return [Fault(f"{path}.{key}", f"must be a plain number from {least:g} to {LARGEST:g}")]
    if item in PARTS.values() and value != int(value):
        return [Fault(f"{path}.{key}", "must be a whole number: parts are counted")]
    return []
