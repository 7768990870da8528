"""Everything as plain files: a JSON and a CSV file a table, each quote with its papers. No secret goes along."""

import csv
import json
import os
import re
import unicodedata
import zlib
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa

from api.store.copies import TABLES, rows_of, snapshot
from api.store.engine import Store
from api.store.errors import UnusableError
from api.store.files import create, opened
from api.store.files import folder as own_folder
from api.store.papers import letters_in

__all__ = ["export"]

LEFT_OUT = {"sessions", "replays"}  # they open doors, or hold answers that stand elsewhere
SECRET = {("tokens", "sha256")}
DOCUMENTS = {"document", "judged", "detail", "job", "pricebook", "estimate", "settled"}  # texts that are JSON
WORKBOOKS = {"workbook": "", "workbook_without_cost": "-without-cost"}
FOLDERS = ("quotes", "invoices", "variations")
FORMULA = tuple("=+-@\t\r\n")
NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")


def export(store: Store, folder: str) -> dict[str, int]:
    """Write everything into a new or empty folder; return how many rows each table had.

    Raises `UnusableError` where the folder holds something or cannot be written.
    """
    try:
        if os.path.isdir(folder) and os.listdir(folder):
            raise UnusableError(f"{folder}: holds something; name a new folder, or empty it")
        own_folder(folder)
        for name in FOLDERS:
            own_folder(os.path.join(folder, name))
        with snapshot(store) as connection:
            return {table.name: _table(connection, table, folder) for table in TABLES if table.name not in LEFT_OUT}
    except OSError as error:
        raise UnusableError(f"{error.filename or folder}: {(error.strerror or str(error)).lower()}") from error


def _table(connection: sa.Connection, table: sa.Table, folder: str) -> int:
    """Write one table; return how many rows it had."""
    columns = [
        column.name
        for column in table.c
        if (table.name, column.name) not in SECRET and not isinstance(column.type, sa.LargeBinary)
    ]
    path, count = os.path.join(folder, table.name), 0
    with (
        opened(f"{path}.json") as plain,
        opened(f"{path}.csv") as cells,
    ):
        rows = csv.writer(cells)
        rows.writerow(columns)
        plain.write("[")
        for row in _rows(connection, table, folder):
            said = {name: row[name] for name in columns}
            rows.writerow([as_text(said[name]) for name in columns])
            plain.write(",\n" if count else "\n")
            json.dump(_read(said), plain, ensure_ascii=False)
            count += 1
        plain.write("\n]\n")
    return count


def as_text(value: object) -> object:
    """Return a cell that no spreadsheet takes for a formula: a text that begins like one gets an apostrophe.

    Examples
    --------
    >>> as_text("=1+1"), as_text("-12.50"), as_text(-3), as_text("+49 30 1")
    ("'=1+1", '-12.50', -3, "'+49 30 1")
    """
    if not isinstance(value, str) or NUMBER.fullmatch(value):
        return value
    narrow = unicodedata.normalize("NFKC", value.lstrip(" ")[:1])  # a wide sign counts as the narrow one
    return f"'{value}" if narrow.startswith(FORMULA) else value


def _rows(connection: sa.Connection, table: sa.Table, folder: str) -> Iterator[dict[str, Any]]:
    """Yield the rows of a table; a quote's papers are written beside."""
    for row in rows_of(connection, table):
        found = {str(name): value for name, value in row._mapping.items()}
        if table.name == "papers":
            _papers(found, os.path.join(folder, "quotes", str(found["number"])))
        elif table.name in FOLDERS[1:]:
            named = "-".join(str(found[key.name]) for key in table.primary_key.columns)
            _letters(found["papers"], os.path.join(folder, table.name, named), "pdf")
        yield found


def _read(row: dict[str, Any]) -> dict[str, Any]:
    """Return a row with its JSON texts as what they say."""
    return {
        name: json.loads(value) if name in DOCUMENTS and isinstance(value, str) and value[:1] in "{[" else value
        for name, value in row.items()
    }


def _papers(row: dict[str, Any], path: str) -> None:
    """Write what a quote says and stands on, its workbooks and letters, byte for byte."""
    explanations = json.loads(zlib.decompress(row["explanations"]))
    plain = {name: value for name, value in row.items() if not isinstance(value, bytes)}
    with opened(f"{path}.json") as file:
        json.dump(_read(plain) | {"explanations": explanations}, file, ensure_ascii=False)
    for name, end in WORKBOOKS.items():
        if row[name] is not None:
            with open(create(f"{path}{end}.xlsx"), "wb") as book:
                book.write(row[name])
    if row["pack"] is not None:
        with open(create(f"{path}-pack.pdf"), "wb") as pack:
            pack.write(row["pack"])
    _letters(row["letters"], path, "pdf")
    _letters(row["workbooks"], path, "xlsx")


def _letters(kept: bytes | None, path: str, ending: str) -> None:
    """Write papers that are kept by language, byte for byte."""
    for language, data in letters_in(kept).items():
        with open(create(f"{path}-{language}.{ending}"), "wb") as letter:
            letter.write(data)
