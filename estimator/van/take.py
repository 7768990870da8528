"""What to take for a job or several: of every item what covers its use, as an order for them would say."""

from collections.abc import Sequence

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.document.whole import Whole
from estimator.either import whole_up
from estimator.formula import choice
from estimator.van.shelf import SERVICE_LEVEL, Shelf
from estimator.van.use import Item, Kind, Use, use_of, uses_of

__all__ = ["Taken", "take_for", "take_of"]


class Taken(TypedDict):
    """One item to take: what is expected to be used, what covers it, in how many of the usual packs; by its unit."""

    item: str
    kind: Kind
    unit: str
    expected: float
    to_cover: float
    pack_size: float
    packs: int


def take_of(found: Whole, book: PriceBook) -> list[Taken]:
    """Return what to take for a job, at the usual service level; nothing of what it does not use."""
    return take_for([found], book)


def take_for(jobs: Sequence[Whole], book: PriceBook) -> list[Taken]:
    """Return what to take for several jobs together, as for one."""
    shelf, uses = Shelf(book, SERVICE_LEVEL), uses_of([use_of(found) for found in jobs])
    return [_taken(item, use, shelf) for item, use in uses.items() if use[0] + use[1] > 0]


def _taken(item: Item, use: Use, shelf: Shelf) -> Taken:
    cover, size = float(shelf.cover(item, use)), float(shelf.size(item, shelf.entry(item).pack))
    return {
        "item": item[1],
        "kind": item[0],
        "unit": shelf.unit(item),
        "expected": choice(float(f"{use[0] + use[1]:.10g}"), "expected", "use of all bores together"),
        "to_cover": choice(float(f"{cover:.10g}"), "to_cover", f"enough in {SERVICE_LEVEL:.0%} of cases"),
        "pack_size": choice(float(f"{size:.10g}"), "pack_size", "the usual pack of the price book"),
        "packs": choice(int(whole_up(cover / size)), "packs", "whole packs that hold what is to cover"),
    }
