"""What a job uses up: the one list that pages, workbook and order read, in `tables/used.csv`.

`key` is the document's key, `words` what people read, `item` its name in the price book and the order, `places` the
decimals that a workbook prints. Kinds: `wire` and `gas` of a name, a `part` of which nobody takes half a one along,
`bulk`, and what is `drawn` where it is used and not taken along.
"""

import csv
import functools
from importlib import resources
from typing import NamedTuple

__all__ = ["Used", "used_of", "used_up"]


class Used(NamedTuple):
    """One thing that is used up."""

    key: str
    words: str
    kind: str
    item: str
    places: int


@functools.cache
def used_up() -> tuple[Used, ...]:
    """Return all that is used up, in the order in which it is told."""
    text = resources.files("estimator.tables").joinpath("used.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    return tuple(Used(r["key"], r["words"], r["kind"], r["item"], int(r["places"])) for r in rows)


def used_of(kind: str) -> dict[str, str]:
    """Return the items of one kind by the document's key."""
    return {one.key: one.item for one in used_up() if one.kind == kind}
