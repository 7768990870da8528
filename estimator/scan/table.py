"""A table of XYZ points as text: columns x, y, z in any order, a label a bore, the unit in the header or beside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np

from estimator.errors import DocumentError, Fault
from estimator.geometry.frame import Array, Whole
from estimator.scan.header import header_of
from estimator.scan.lines import lines_of
from estimator.scan.rows import Block, Reader

__all__ = ["PointTable", "read_points"]

MOST_LABELS = 200  # bores of a job


@dataclass(frozen=True, eq=False)
class PointTable:
    """Points by label (one empty label where there is no such column): places (n, 3) [m], the row each stands in."""

    points: dict[str, Array]
    rows: dict[str, Whole]
    labelled: bool
    unused: tuple[str, ...]


def read_points(stream: BinaryIO, unit: str | None = None) -> PointTable:
    """Return the points of a CSV file; raise `DocumentError` with every fault, by row.

    Parameters
    ----------
    stream
        The file, read once from here to its end in blocks.
    unit
        Unit of length of the coordinates where the file does not say it.
    """
    reader, row, blocks = None, 1, list[Block]()
    for lines in lines_of(stream):
        here = lines
        if reader is None:
            blank = next((number for number, line in enumerate(lines) if line.strip()), len(lines))
            row, here = row + blank, lines[blank:]
            if not here:
                continue
            reader = Reader(header_of(here[0], row, unit))
            row, here = row + 1, here[1:]
        if here:
            blocks.append(reader.block(here, row))
        row += len(here)
    if reader is None:
        raise DocumentError([Fault("", "is empty; a header row x [mm],y [mm],z [mm] and one row a point are due")])
    if reader.faults:
        raise DocumentError(reader.faults)
    if not reader.count:
        raise DocumentError([Fault(f"row {row}", "no point follows the header; one row a point is due")])
    return _by_label(blocks, reader)


def _by_label(blocks: Sequence[Block], reader: Reader) -> PointTable:
    """Return the points sorted by label."""
    points, rows, labels = (np.concatenate(part) for part in zip(*blocks, strict=True))
    if reader.columns.label < 0:
        return PointTable({"": points}, {"": rows}, False, reader.columns.unused)
    numbers = reader.labels
    if "" in numbers:
        row = int(rows[np.argmax(labels == numbers[""])])
        raise DocumentError([Fault(f"row {row}", "has no label; where there is such a column each row names its bore")])
    if len(numbers) > MOST_LABELS:
        raise DocumentError([Fault("", f"holds {len(numbers)} labels; a job holds {MOST_LABELS} bores at most")])
    parts = {name: labels == numbers[name] for name in sorted(numbers)}
    return PointTable(
        {name: points[part] for name, part in parts.items()},
        {name: rows[part] for name, part in parts.items()},
        True,
        reader.columns.unused,
    )
