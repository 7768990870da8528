"""The shelf of a price book: in which unit an item comes, how large its pack is, and how much of it covers a use."""

import math
from dataclasses import dataclass

from estimator.book.consumables import GasStock, PartStock, entry_of
from estimator.book.consumables import Item as Entry
from estimator.book.pricebook import PriceBook
from estimator.either import whole_up
from estimator.shop.gas_cylinder import contents_of
from estimator.tables.rows import Wire
from estimator.units import deci
from estimator.van import cover
from estimator.van.use import Item, Use

__all__ = ["SERVICE_LEVEL", "Shelf"]

SERVICE_LEVEL = 0.95  # enough of an item in so many of a hundred cases, unless asked otherwise


@dataclass(frozen=True)
class Shelf:
    """The price book, asked about one item at a time, at a service level."""

    book: PriceBook
    level: float

    def entry(self, item: Item) -> Entry:
        """Return what the price book says of an item."""
        return entry_of(item[1], self.book.consumables)

    def unit(self, item: Item) -> str:
        """Return the unit an item is ordered in."""
        entry = self.entry(item)
        return "each" if isinstance(entry, PartStock) else entry.price.per

    def size(self, item: Item, pack: float | None) -> float:
        """Return a pack of the price book in the item's unit; a cylinder's contents where only that is said."""
        entry = self.entry(item)
        if isinstance(entry, PartStock):
            return float(pack or 1)
        if pack is None:
            assert isinstance(entry, GasStock)  # only there may the pack be left out
            assert entry.cylinder is not None  # checked where the book is read
            pack = contents_of(item[1], entry.cylinder, self.book.facts)
        return deci(pack, self.unit(item))

    def _scatter(self, item: Item) -> tuple[float, float]:
        """Return the bound of the chart and the standard deviation of one job, both as shares."""
        facts, kind = self.book.facts, item[0]
        bound = facts.row("wires", item[1], Wire).feed_scatter if kind == "wire" else 0.0
        return bound, facts.constant(f"{kind}_scatter")

    def cover(self, item: Item, use: Use, level: float | None = None) -> float:
        """Return what covers a use of an item at the service level."""
        chance, ruled, square = use
        level = self.level if level is None else level
        if item[0] == "part":
            return cover.poisson_cover(chance, level) + int(whole_up(ruled))
        bound, share = self._scatter(item)
        return cover.bulk_cover(chance, bound, share * square, level)

    def service(self, item: Item, use: Use, amount: float) -> float:
        """Return the likelihood that an amount is enough."""
        if item[0] == "part":
            return cover.part_service(use[0], int(amount) - int(whole_up(use[1])))
        bound, share = self._scatter(item)
        return cover.bulk_service(use[0], bound, share * use[2], amount)

    def deviation(self, item: Item, use: Use) -> float:
        """Return the standard deviation of the use."""
        if item[0] == "part":
            return math.sqrt(use[0])
        bound, share = self._scatter(item)
        return math.hypot(cover.spread_of_bound(bound * use[0]), share * use[2])
