"""All pictures of an estimate document, each with the name of its file and what had to be left out."""

import re
import unicodedata
from collections.abc import Iterator
from typing import NamedTuple

from estimator.estimate import Estimate
from exports.pictures.line_axis import line_of_bores
from exports.pictures.plate_ends import plate_ends, used_of
from exports.pictures.schedule import schedule_pictures
from exports.pictures.section import section
from exports.pictures.setup import setup_of_line
from exports.pictures.setup_parts import set_ups
from exports.pictures.spread import drivers, spread_strip
from exports.pictures.wear import has_map
from exports.pictures.wear_map import wear_map

__all__ = ["Picture", "file_word", "order_of_work", "pictures", "spread_pictures"]

LONGEST = 40  # signs of a name within a file's name


class Picture(NamedTuple):
    """A picture: the name of its file, and its text."""

    file: str
    svg: str


def file_word(name: str, number: int) -> str:
    """Return a name as a part of a file name on any system: letters, digits, point, dash, underscore of ASCII.

    A name that leaves nothing becomes its number.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^A-Za-z0-9._-]+", "-", plain).strip("-._")[:LONGEST].rstrip("-._") or f"{number}"


def _words(names: list[str]) -> Iterator[str]:
    """Yield one word a name, none twice on a system that takes small and capital letters as one."""
    taken: set[str] = set()
    for number, name in enumerate(names, 1):
        word = file_word(name, number)
        again = 1
        while (unique := word if again == 1 else f"{word}-{again}").lower() in taken:
            again += 1
        taken.add(unique.lower())
        yield unique


def pictures(estimate: Estimate) -> tuple[list[Picture], list[str]]:
    """Return all pictures of an estimate document in its order, and a note on each that could not be drawn."""
    bores, lines = estimate.get("bores") or [], estimate.get("lines") or []
    drawn, left_out = [], []
    for bore, word in zip(bores, _words([bore["name"] for bore in bores]), strict=True):
        if has_map(bore):
            drawn.append(Picture(f"bore-{word}-wear.svg", wear_map(bore)))
        else:
            left_out.append(
                f"bore {bore['name']}: one worst diameter only, so no wear map; its section is drawn as circles"
            )
        drawn.append(Picture(f"bore-{word}-section.svg", section(bore)))
    for line, word in zip(lines, _words([line["name"] for line in lines]), strict=True):
        drawn.append(Picture(f"line-{word}.svg", line_of_bores(line, estimate)))
    held = set_ups(estimate)
    for one, word in zip(held, _words([one.name for one in held]), strict=True):
        drawn.append(Picture(f"setup-{word}.svg", setup_of_line(one, estimate)))
    if used := used_of(estimate):
        drawn.append(Picture("plate-ends.svg", plate_ends(used)))
    drawn += order_of_work(estimate)
    drawn += spread_pictures(estimate)
    return drawn, left_out


def spread_pictures(estimate: Estimate) -> list[Picture]:
    """Return the pictures of how far the job may come out otherwise, where days were drawn."""
    found = estimate.get("spread")
    if found is None:
        return []
    currency = estimate["price"]["currency"] if "price" in estimate else ""
    return [Picture("spread.svg", spread_strip(found, currency)), Picture("doubts.svg", drivers(found))]


def order_of_work(estimate: Estimate) -> list[Picture]:
    """Return the pictures of the order of work: one sheet, or several numbered ones for many days."""
    sheets = schedule_pictures(estimate)
    return [Picture(f"schedule{f'-{n}' if n > 1 else ''}.svg", svg) for n, svg in enumerate(sheets, 1)]
