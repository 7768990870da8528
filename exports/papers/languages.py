"""Which languages papers are printed in: those that the table of words has rows in."""

import csv
import functools
import re
from collections.abc import Mapping
from importlib import resources

__all__ = ["USUAL", "languages", "texts"]

USUAL = "en"
UNIT = re.compile(r"\} (?=(?:mm|km|h|Bh|°C|%)(?!\w))")  # a figure and its unit are never parted


@functools.cache
def texts() -> Mapping[str, Mapping[str, str]]:
    """Return the texts of every language by code."""
    table = resources.files("exports.papers").joinpath("words.csv").read_text("utf-8")
    found: dict[str, dict[str, str]] = {}
    for row in csv.DictReader(table.splitlines()):
        found.setdefault(row["language"], {})[row["code"]] = UNIT.sub("}\u00a0", row["text"])
    return found


def languages() -> tuple[str, ...]:
    """Return the languages that papers are printed in."""
    return tuple(texts())
