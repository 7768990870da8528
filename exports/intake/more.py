"""The sheet More: what a job holds that the other sheets do not ask for, a row a key, as JSON; and back."""

import json
import re
from collections.abc import Mapping
from typing import Any

from estimator.errors import DocumentError
from estimator.strict import parse
from exports.cells import Cell, Row, Sheet, head, note, title
from exports.intake.faults import Places
from exports.intake.filled import More
from exports.intake.pages import Page

__all__ = ["NAME", "more_sheet", "put_more"]

NAME = "More"
WIDTHS = (14.0, 30.0, 90.0)
PIECE = 8000  # characters in one cell; a longer value goes on in the rows below
ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)|x(?=005F_)")
KEY = re.compile(r"[A-Za-z_]\w*(?:\.[A-Za-z_]\w*){0,3}")
SAID = "From the office: what was known of the job beside the other sheets. Leave it as it is. A value is JSON."


def _pieces(text: str) -> list[str]:
    """Return a JSON text in pieces that cells can hold, each beginning and ending with a sign that is no blank."""
    text = ESCAPE.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
    found = list[str]()
    while text:
        end = min(PIECE, len(text))
        while end < len(text) and (text[end - 1] == " " or text[end] in " =+-@'"):
            end -= 1
        found.append(text[:end])
        text = text[end:]
    return found


def more_sheet(more: tuple[More, ...]) -> Sheet:
    """Return the sheet of what has no question."""
    rows = [title("More", len(WIDTHS)), note(SAID, len(WIDTHS), sum(WIDTHS)), head("Bore", "Key", "Value")]
    for one in more:
        for number, piece in enumerate(_pieces(one.value)):
            named = (one.bore or None, one.key) if number == 0 else (None, None)
            rows.append(Row((*(Cell(name, "value") for name in named), Cell(piece, "value"))))
    return Sheet(NAME, WIDTHS, tuple(rows), 3, wide=True)


# ---------------------------------------------------------------- and back


def _rows(page: Page) -> list[tuple[int, object, object, str]]:
    """Return row, bore, key and whole value of each entry."""
    found = list[tuple[int, object, object, str]]()
    begin = next((row for row in range(1, page.last + 1) if page.get(row, 2) == "Key"), page.last)
    for row in range(begin + 1, page.last + 1):
        bore, key, value = (page.get(row, column) for column in (1, 2, 3))
        text = value if isinstance(value, str) else "" if value is None else json.dumps(value, default=str)
        if key is None and bore is None and found:
            at, whose, what, before = found[-1]
            found[-1] = (at, whose, what, before + text)
        elif key is not None or text:
            found.append((row, bore, key, text))
    return found


def put_more(page: Page, document: dict[str, Any], number_of: Mapping[str, int], places: Places) -> None:
    """Put the keys of the sheet into the document; note what is wrong with a row."""
    for row, bore, key, text in _rows(page):
        if not isinstance(key, str) or not KEY.fullmatch(key.strip()):
            places.wrong(page.at(row, 2), "is no key of the job document; leave the row out")
            continue
        number = None if bore is None else number_of.get(bore.strip() if isinstance(bore, str) else repr(bore))
        if bore is not None and number is None:
            places.wrong(page.at(row, 1), f"no bore {str(bore)[:40]!r} on sheet Bores")
            continue
        try:
            value = parse(f'{{"value": {text or "null"}}}')["value"]
        except (DocumentError, KeyError):
            places.wrong(page.at(row, 3), 'is not JSON; write for instance "0.5 mm", in quotes')
            continue
        target = document if number is None else document["bores"][number]
        prefix = "" if number is None else f"bores.{number}."
        _put(target, key.strip(), value, places, (prefix, page.at(row, 3)))


def _put(target: dict[str, Any], key: str, value: object, places: Places, where: tuple[str, str]) -> None:
    """Put one key; what another sheet says of it is said twice."""
    (prefix, cell), (*steps, last) = where, key.split(".")
    here: Any = target
    for step in steps:
        here = here.setdefault(step, {}) if isinstance(here, dict) else None
    if not isinstance(here, dict) or last in here:
        beside = places.cells.get(prefix + key, "another sheet")
        places.wrong(cell, f"{key} stands on {beside} as well; leave this row out")
        return
    here[last] = value
    places.cells[prefix + key] = cell
