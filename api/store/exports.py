"""Everything as plain files: a JSON and a CSV file a table, and each quote with its workbook. No secret goes along."""

import csv
import json
import os
import zlib
from collections.abc import Callable, Iterator
from typing import Any

import sqlalchemy as sa

from api.store.copies import TABLES, rows_of, snapshot
from api.store.engine import Store
from api.store.errors import UnusableError

__all__ = ["export"]

LEFT_OUT = {"sessions", "replays"}  # they open doors, or hold answers that stand elsewhere
SECRET = {("tokens", "sha256")}
DOCUMENTS = {"document", "judged", "detail", "job", "pricebook", "estimate"}  # texts that are JSON
WORKBOOKS = {"workbook": "", "workbook_without_cost": "-without-cost"}
Put = Callable[[dict[str, Any]], None]


def export(store: Store, folder: str) -> dict[str, int]:
    """Write everything into a new or empty folder; return how many rows each table had.

    Raises `UnusableError` where the folder holds something or cannot be written.
    """
    try:
        if os.path.isdir(folder) and os.listdir(folder):
            raise UnusableError(f"{folder}: holds something; name a new folder, or empty it")
        os.makedirs(os.path.join(folder, "quotes"))
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
        open(f"{path}.json", "w", encoding="utf-8") as plain,
        open(f"{path}.csv", "w", encoding="utf-8", newline="") as cells,
    ):
        rows = csv.writer(cells)
        rows.writerow(columns)
        plain.write("[")
        for row in _rows(connection, table, folder):
            said = {name: row[name] for name in columns}
            rows.writerow([said[name] for name in columns])
            plain.write(",\n" if count else "\n")
            json.dump(_read(said), plain, ensure_ascii=False)
            count += 1
        plain.write("\n]\n")
    return count


def _rows(connection: sa.Connection, table: sa.Table, folder: str) -> Iterator[dict[str, Any]]:
    """Yield the rows of a table; a quote's papers are written beside."""
    for row in rows_of(connection, table):
        found = dict(row._mapping)
        if table.name == "papers":
            _papers(found, os.path.join(folder, "quotes", str(found["number"])))
        yield found


def _read(row: dict[str, Any]) -> dict[str, Any]:
    """Return a row with its JSON texts as what they say."""
    return {
        name: json.loads(value) if name in DOCUMENTS and isinstance(value, str) and value[:1] in "{[" else value
        for name, value in row.items()
    }


def _papers(row: dict[str, Any], path: str) -> None:
    """Write what a quote says and stands on, and its workbooks, byte for byte."""
    explanations = json.loads(zlib.decompress(row["explanations"]))
    plain = {name: value for name, value in row.items() if not isinstance(value, bytes)}
    with open(f"{path}.json", "w", encoding="utf-8") as file:
        json.dump(_read(plain) | {"explanations": explanations}, file, ensure_ascii=False)
    for name, end in WORKBOOKS.items():
        if row[name] is not None:
            with open(f"{path}{end}.xlsx", "wb") as book:
                book.write(row[name])
