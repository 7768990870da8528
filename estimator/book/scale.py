"""What a unit of each thing adds to the cost of a job: the one scale that every choice weighs on, at the bill's prices.

Overhead, contingency and margin lie on every line alike, so that they move no choice and are left out. What is charged
out as it stands bears none of them: it weighs less, by what would be laid on it.
"""

import functools
from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.units import factor

__all__ = ["Scale", "bears"]

EACH = "each"


def bears(path: tuple[str, ...], book: PriceBook) -> bool:
    """Return whether margin is laid on what is priced there: not on labour that is charged out, nor on a call-out."""
    if path[-1] == "call_out":
        return False
    return not ("labour" in path[-1] and book.rates.basis == "charge-out")


@dataclass(frozen=True)
class Scale:
    """A price book, with how many people of the crew stand on site while one works, an attendant among them."""

    book: PriceBook
    people: int

    @property
    def mark(self) -> tuple[object, ...]:
        """What two scales have in common only if they weigh alike."""
        return (*self.book.mark, self.people)

    @functools.cached_property
    def laid(self) -> float:
        """What overhead, contingency and margin make of a unit of cost that bears them. [-]"""
        book = self.book
        dearer = 1 / (1 - book.margin) if book.margin is not None else 1 + (book.markup or 0.0)
        return (1 + book.overhead) * (1 + book.contingency) * dearer

    def of(self, *path: str, unit: str = EACH) -> float:
        """Return what one SI unit of what is priced at a path weighs; `unit`: what it is priced by. [currency]"""
        amount = float(self.book.price(*path)) / (1.0 if unit == EACH else factor(unit))
        return amount if bears(path, self.book) else amount / self.laid

    @functools.cached_property
    def time(self) -> float:
        """What crew and equipment on site weigh. [currency/s]"""
        labour = self.of("rates", "labour_on_site", unit="h") * self.people
        return labour + self.of("rates", "equipment", unit="h")

    @functools.cached_property
    def running(self) -> float:
        """What fuel weighs while the machine runs, whatever it draws; nothing from the mains. [currency/s]"""
        own = self.book.equipment.generator
        return 0.0 if own is None else own.idle * self.of("consumables", "fuel", "price", unit="L")

    @functools.cached_property
    def energy(self) -> float:
        """What energy drawn weighs: electricity, or a generator's fuel. [currency/J]"""
        own = self.book.equipment.generator
        if own is None:
            return self.of("consumables", "energy", unit="kWh")
        return own.per_energy * self.of("consumables", "fuel", "price", unit="L")

    def part(self, name: str) -> float:
        """Return what one piece of a kind weighs ("tip", "disc"). [currency]"""
        return self.of("consumables", name, "price")
