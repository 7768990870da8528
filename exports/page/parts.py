"""What a page of plain text is made of: headings, lists, wrapped lines, aligned columns."""

import textwrap
from collections.abc import Iterable

from exports.phrases import printable
from exports.signs import NARROW, kept

__all__ = ["WIDE", "columns", "cut", "heading", "joined", "listed", "named", "wrapped"]

WIDE = 94
LONGEST_NAME = 14


def wrapped(text: str, lead: str = "  ", rest: str | None = None) -> list[str]:
    """Return a text as lines no wider than the page; `rest` leads all lines but the first."""
    rest = " " * len(lead) if rest is None else rest
    said = kept(printable(text))
    return textwrap.wrap(said, WIDE, initial_indent=lead, subsequent_indent=rest, break_on_hyphens=False) or [lead]


def cut(text: str, width: int) -> str:
    """Return a text of that many signs at most, its end left out at a word and before a bracket it would break."""
    said = " ".join(text.split())
    if len(said) <= width:
        return said
    head = said[: width - 1]
    whole = head.rsplit(" ", 1)[0]
    head = whole if len(whole) > width // 2 else head
    opened = _opened(head)
    return (head[:opened] if opened > 0 else head).rstrip(" ,;:(") + "…"


def _opened(text: str) -> int:
    """Return where the outermost bracket that a text leaves open begins; 0 where none is open."""
    places = list[int]()
    for at, sign in enumerate(text):
        if sign == "(":
            places.append(at)
        elif sign == ")" and places:
            places.pop()
    return places[0] if places else 0


def joined(lines: Iterable[str]) -> str:
    """Return the lines of a page as one text."""
    return "\n".join(printable(line).replace(NARROW, " ") for line in lines) + "\n"


def heading(text: str) -> list[str]:
    """Return a heading with the space before it."""
    return ["", "", *wrapped(text, "")]


def listed(items: list[str], lead: str = "  - ") -> list[str]:
    """Return one entry an item."""
    return [line for item in items for line in wrapped(item, lead)]


def named(name: str, text: str, wide: int = 14) -> list[str]:
    """Return a name with what belongs to it beside it; below it, where the name is long."""
    lead = " " * (wide + 2)
    if len(name) >= wide:
        return [*wrapped(name), *wrapped(text, lead)]
    return wrapped(text, f"  {name:<{wide}}", lead)


def columns(head: list[list[str]], rows: list[list[str]], longest: int = LONGEST_NAME) -> list[str]:
    """Return rows as aligned columns below their headings: names to the left, figures to the right.

    A name too long for its column stands on a line of its own.
    """
    names = [row[0] for row in [*head, *rows] if len(row[0]) <= longest]
    first = max((len(name) for name in names), default=0)
    table = [*head, *rows]
    wide = [max(len(row[at]) for row in table) for at in range(1, len(table[0]))]
    lines = []
    for row in table:
        name = row[0]
        if len(name) > first:
            lines += wrapped(name)
            name = ""
        cells = (f"{cell:>{width}}" for cell, width in zip(row[1:], wide, strict=True))
        lines.append(printable(f"  {name:<{first}}  " + "  ".join(cells)))
    return lines
