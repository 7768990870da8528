"""Minutes rounded so that they add up as they are shown: parts to their sum, rows to the table's last row."""

import math
from collections.abc import Sequence

from exports.format import clock_time

__all__ = ["adding_up", "round_half_up", "rounded_rows", "said_adding_up"]


def adding_up(parts: Sequence[float], total: int) -> list[int]:
    """Return parts as whole numbers that add up to a total: each within one of its value, by largest remainders."""
    down = [math.floor(part) for part in parts]
    order = sorted(range(len(parts)), key=lambda at: (down[at] - parts[at], at))
    for at in order[: max(0, total - sum(down))]:
        down[at] += 1
    return down


def round_half_up(value: float) -> int:
    """Return the nearest whole number."""
    return math.floor(value + 0.5)


def rounded_rows(rows: Sequence[Sequence[float]]) -> list[list[int]]:
    """Return the rows of a table in whole numbers, each with its sum behind it; sums add up to the rounded whole."""
    sums = [math.fsum(row) for row in rows]
    totals = adding_up(sums, round_half_up(math.fsum(sums)))
    return [[*adding_up(row, total), total] for row, total in zip(rows, totals, strict=True)]


def said_adding_up(parts: Sequence[float], total: float) -> list[str]:
    """Return minutes as one says them, in whole ones that add up to the rounded total; what is taken off as a minus."""
    signs = [-1 if part < 0 else 1 for part in parts]
    whole = adding_up(parts, round_half_up(total))
    return [clock_time(sign * part) for sign, part in zip(signs, whole, strict=True)]
