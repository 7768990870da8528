"""Warnings on the first screen: stops, approvals by who decides, checks; in as many lines as there is room for."""

from collections.abc import Iterator

from estimator.estimate import Estimate
from exports.format import Grade, Told, by_who, counted, told
from exports.page.parts import WIDE, cut, wrapped

__all__ = ["LEAD", "check_rows", "each", "row", "short", "ways_to_settle"]

LEAD = 10  # columns that the names at the left take
CHECKS = 3  # that are told before the rest is pointed at
GRADES: tuple[tuple[str, Grade], ...] = (("STOP", "stop"), ("APPROVE", "approve"))
SHORTER = (70, 54, 40, 28, 20, 12)  # signs of a warning where many stand in little room


def row(name: str, text: str) -> list[str]:
    """Return a text beside its name, in as many lines as it takes."""
    return wrapped(text, f"{name:<{LEAD}}", " " * LEAD)


def short(name: str, text: str, lines: int = 1) -> list[str]:
    """Return a row of so many lines at most; 0: whole."""
    if not lines:
        return row(name, text)
    return row(name, cut(text, (WIDE - LEAD) * lines - 8 * (lines - 1)))[:lines]


def _bores(one: Told, most: int = 40) -> str:
    """Return which bores a warning is about, shortly."""
    names, said = list(one.bores), ", ".join(one.bores)
    if len(said) > most and len(names) > 1:
        said = f"{cut(names[0], most - 12)} and {len(names) - 1} more"
    return f"{cut(said, most)}: " if said else ""


def each(found: list[Told], name: str, lines: int) -> list[str]:
    """Return a row a warning, each of so many lines at most; 0: whole."""
    rows = list[str]()
    for text in [_bores(one) + one.text for one in found] or ["none"]:
        key = "" if rows else name
        rows += short(key, text, lines)
    return rows


def _by_who(found: list[Told], name: str, lines: int) -> list[str]:
    """Return the same of one grade, where somebody is named who decides: who, once, then what it is on."""
    rows = list[str]()
    for who, said in by_who(found).items():
        heads = row("" if rows else name, f"by {who}:") if who else []
        rows += [*heads, *each(said, "" if rows or heads else name, lines)]
    return rows or each([], name, lines)


def _packed(found: list[Told], name: str, width: int) -> list[str]:
    """Return all warnings of a grade in one text, each shortened."""
    said = [
        (f"by {who}: " if who and name == "APPROVE" else "")
        + "; ".join(cut(_bores(one, 16) + one.text, width) for one in each)
        for who, each in by_who(found).items()
    ]
    return row(name, "; ".join(said) or "none")


def check_rows(found: list[Told], room: int) -> tuple[int, list[str]]:
    """Return how many of what is to be checked there is room for, and their rows, whole or shortened."""
    count = min(len(found), CHECKS)
    for lines, told_first in [(0, count), *((2, many) for many in range(count, 0, -1))]:
        rest = len(found) - told_first
        rows = each(found[:told_first], "CHECK", lines)
        rows += row("", f"… {rest} more under --show basis") if rest else []
        if len(rows) <= room:
            return told_first, rows
    return 0, row("CHECK", f"{counted(len(found), 'point')}: --show basis" if found else "none")


def _told_in(found: list[Told], name: str, grade: Grade, lines: int) -> list[str]:
    return (_by_who if grade == "approve" else each)(found, name, lines)


def ways_to_settle(estimate: Estimate) -> Iterator[list[str]]:
    """Yield stops and approvals as rows, each time in less room."""
    found = {grade: [one for one in told(estimate) if one.grade == grade] for _, grade in GRADES}
    for lines in (0, 2, 1):
        yield [line for name, grade in GRADES for line in _told_in(found[grade], name, grade, lines)]
    for width in SHORTER:
        yield [line for name, grade in GRADES for line in _packed(found[grade], name, width)]
