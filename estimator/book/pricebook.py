"""Rates, packs, equipment, what the van carries, and the user's own rows of the tables: merged and validated."""

import functools
import re
from decimal import Decimal
from typing import Annotated, Any, Literal, Self, cast, get_args

from pydantic import Field, PrivateAttr, field_validator, model_validator

from estimator.book.builtin import builtin_document, demo_for, minor_units
from estimator.book.check import basis_faults, class_faults, constant_faults, currency_faults, cylinder_faults
from estimator.book.consumables import Consumables, item_names
from estimator.book.currency import Converted
from estimator.book.demo import same_at, without_demo
from estimator.book.house import Company, CustomerClass, Escalation, Margin, Markup, Taxes, Terms
from estimator.book.own_arc import OwnArc, calibrated, own_arc_faults
from estimator.book.rig import MOST_MACHINES, Equipment, equipment_faults, whole_machines
from estimator.errors import DocumentError, Fault, nearest
from estimator.fields import (
    Document,
    Fraction,
    Money,
    Name,
    Note,
    Overtime,
    Pause,
    PerDistance,
    Price,
    Rate,
    Shift,
    Speed,
    Time,
)
from estimator.formula import is_recording, leaf
from estimator.strict import merge, parse, sha256, validated
from estimator.tables import Tables
from estimator.units import on_rescale

__all__ = ["WEEK", "PriceBook", "builtin_document", "minor_units", "read_pricebook"]


Weekday = Literal["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
MOST_CLASSES = 50
CLOCK = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]")
WEEK: tuple[Weekday, ...] = get_args(Weekday)


class Rates(Document):
    """Hourly rates; `basis` says whether they are the shop's own cost or what it charges out.

    `labour_overtime`: what an hour beyond the shift costs on top; without it nobody works longer than a shift.
    `labour_night`, `labour_weekend`: what every paid hour of a job that is `worked` then costs on top.
    """

    basis: Literal["cost", "charge-out"]
    labour_on_site: Rate
    labour_travel: Rate
    labour_overtime: Rate | None = None
    labour_night: Rate | None = None
    labour_weekend: Rate | None = None
    equipment: Rate


class Carried(Document):
    """Wires and gases on the van, by name; the first wire is the one that is mounted."""

    wires: dict[Name, Literal[True]]
    gases: dict[Name, Literal[True]]


class Travel(Document):
    """How the crew gets there and what nights away cost, for one person; `call_out`: charged once a job, as it is."""

    road_speed: Speed
    distance: PerDistance
    night: Money
    call_out: Money | None = None


class PriceBook(Document):
    """All that turns quantities into money, and what the user's own shop can do."""

    name: Name
    note: Note
    invented: bool = False
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
    converted: Converted | None = None
    rates: Rates
    consumables: Consumables
    articles: dict[Name, Name] = Field(default_factory=dict)
    carried: Carried
    equipment: Equipment
    machines: Annotated[dict[Name, Equipment], Field(max_length=MOST_MACHINES)] = Field(default_factory=dict)
    own_arc: dict[Name, OwnArc] = Field(default_factory=dict)
    travel: Travel
    crew: Annotated[int, Field(strict=True, ge=1, le=20)]
    shift_length: Shift
    shift_start: Name = "07:00"
    night_start: Name = "19:00"
    work_days: Annotated[tuple[Weekday, ...], Field(min_length=1, max_length=7)] = ("Mon", "Tue", "Wed", "Thu", "Fri")
    overtime: Overtime = 0.0
    breaks: Pause = 0.0
    overhead: Fraction
    contingency: Fraction
    escalation: Escalation | None = None
    margin: Margin | None = None
    markup: Markup | None = None
    least_margin: Fraction = 0.0
    minimum_charge: Money
    tax: Fraction
    taxes: Taxes = Taxes()
    rounding: Money
    validity: Time
    company: Company | None = None
    terms: Terms = Terms()
    classes: Annotated[dict[Name, CustomerClass], Field(max_length=MOST_CLASSES)] = Field(default_factory=dict)
    tables: dict[str, Any] = Field(default_factory=dict)
    _tables: Tables = PrivateAttr()
    _document: dict[str, Any] = PrivateAttr(default_factory=dict)
    _machine: str = PrivateAttr("")
    _worked: str = PrivateAttr("")

    @field_validator("shift_start", "night_start")
    @classmethod
    def _clock(cls, said: str) -> str:
        if not CLOCK.fullmatch(said):
            raise ValueError(f'{said[:20]!r} is no time of day; write for instance "07:00"')
        return said

    @field_validator("currency")
    @classmethod
    def _iso(cls, code: str) -> str:
        if code not in minor_units():
            near = nearest(code, minor_units())
            raise ValueError(f"{code!r} is no ISO 4217 currency; near: {', '.join(near) or 'EUR, USD, GBP'}")
        return code

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.margin is None) is (self.markup is None):
            raise ValueError(
                "give margin (a fraction of the price) or markup (a fraction of the cost), the other one null"
            )
        return self

    @property
    def facts(self) -> Tables:
        """The tables with the user's own rows over them."""
        kept = self.__pydantic_private__  # read directly: it is asked for a hundred times a bore
        assert kept is not None
        tables: Tables = kept["_tables"]
        return tables

    def places(self) -> int:
        """Return how many decimals the book's currency has."""
        return minor_units()[self.currency]

    def context(self) -> dict[str, object]:
        """Return what the names and the currency of a job are checked against."""
        names = {table: self.facts.rows(table) for table in ("steels", "wires", "gases")}
        worked = {name for name in ("night", "weekend") if getattr(self.rates, f"labour_{name}") is not None}
        return {**names, "currency": self.currency, "worked": worked}

    @property
    def document(self) -> dict[str, Any]:
        """The whole book as a document."""
        return self._document

    @functools.cached_property
    def digest(self) -> str:
        """The hash of the book as it stands, the user's own rows included."""
        return str(self.facts.mark)

    def with_machine(self, name: str) -> Self:
        """Return the book with one of its further machines in the place of the usual one."""
        other = self.model_copy(update={"equipment": self.machines[name]})
        other._machine = name
        return other

    def for_hours(self, worked: Literal["day", "night", "weekend"]) -> Self:
        """Return the book with the start of the shift, or the days, of a job that is worked at night or at weekends."""
        if worked == "day":
            return self
        hours = {"night": {"shift_start": self.night_start}, "weekend": {"work_days": ("Sat", "Sun")}}
        other = self.model_copy(update=hours[worked])
        other._worked = worked
        return other

    def is_invented(self, path: str) -> bool:
        """Return whether a price is still the one that was invented for the built-in book."""
        return self.invented and same_at(path, self._document, demo_for(self._document))

    @property
    def mark(self) -> tuple[object, str, str]:
        """What two books have in common only if they are alike: their hash, the machine that is used, the hours."""
        return self.facts.mark, self._machine, self._worked

    def price(self, *path: str) -> Decimal:
        """Return a price by its path in the book ("rates", "labour_on_site")."""
        found: Any = self
        for step in path:
            found = found[step] if isinstance(found, dict) else getattr(found, step)
        assert isinstance(found, Price)  # a path of ours
        if not is_recording():
            return found.amount
        text = f"price book {self.name!r}: {'.'.join(path)}"
        return leaf(found.amount, "price", ".".join(path), text, unit=f"{found.currency}/{found.per}")

    def number(self, *path: str) -> float:
        """Return a number by its path in the book, as one ("travel.road_speed") or step by step."""
        found: Any = self
        for step in path if len(path) > 1 else path[0].split("."):
            found = found[step] if isinstance(found, dict) else getattr(found, step)
        if not is_recording():
            return cast(float, found)
        return leaf(found, "price", ".".join(path), f"price book {self.name!r}: {'.'.join(path)}")


def _book(document: dict[str, Any]) -> PriceBook:
    """Return a whole book; it keeps the document it was read from, for its hash."""
    faults: list[Fault] = []
    own = document.get("tables")
    try:
        tables = Tables(own if isinstance(own, dict) else None)
    except DocumentError as error:
        faults, tables = list(error.faults), Tables()
    try:
        book = validated(PriceBook, whole_machines(document, merge), {})
    except DocumentError as error:
        raise DocumentError([*error.faults, *faults]) from None
    if faults:
        raise DocumentError(faults)
    tables.mark = sha256(document)
    book._document, book._tables = document, tables
    return _with_own_arc(_checked(book))


def _with_own_arc(book: PriceBook) -> PriceBook:
    """Return the book with the rows of its wires moved to the shop's own arc."""
    for name, own in book.own_arc.items():
        book.facts.move("wires", name, calibrated(book.facts.rows("wires")[name], own, book.facts))  # pyrefly: ignore[bad-argument-type] # rows of the table of wires, as checked
    return book


@functools.cache
def _builtin() -> PriceBook:
    return _book(builtin_document())


on_rescale(_builtin.cache_clear)


def read_pricebook(document: bytes | str | dict[str, Any] | None = None) -> PriceBook:
    """Return the built-in book with a whole or partial one laid over it; raise `DocumentError` with every fault."""
    if document is None:
        return _builtin()
    patch = document if isinstance(document, dict) else parse(document)
    demo = demo_for(patch)
    return _book(without_demo(merge(demo, patch), demo))


def _checked(book: PriceBook) -> PriceBook:
    """Return the book if its names and currencies agree; raise `DocumentError` otherwise."""
    faults = currency_faults(book, book.currency, builtin_document()["currency"])
    for kind in ("wires", "gases"):
        known, stock = book.facts.rows(kind), getattr(book.consumables, kind)
        if not getattr(book.carried, kind):
            faults.append(Fault(f"carried.{kind}", f"is empty; name one of the {kind} on the van"))
        for name in getattr(book.carried, kind):
            if name not in known:
                faults.append(
                    Fault(f"carried.{kind}.{name}", f"no such row in tables.{kind}; near: {nearest(name, known)}")
                )
            elif name not in stock:
                faults.append(Fault(f"carried.{kind}.{name}", f"has no price under consumables.{kind}"))
    items = item_names(book.consumables)
    faults += [
        Fault(f"articles.{code}", f"no item named {item!r}; near: {', '.join(nearest(item, items)) or 'tip, nozzle'}")
        for code, item in book.articles.items()
        if item not in items
    ]
    faults += cylinder_faults(book.consumables.gases, book.facts)
    if book.overtime and book.rates.labour_overtime is None:
        said = "is missing: overtime is allowed, so say what an hour of it costs on top, or set overtime to 0 h"
        faults.append(Fault("rates.labour_overtime", said))
    faults += class_faults(book.classes, "margin" if book.margin is not None else "markup")
    faults += own_arc_faults(book.own_arc, book.facts)
    faults += basis_faults(book.tables.get("times", {}), book.facts)
    faults += constant_faults(book.tables.get("constants", {}), book.facts)
    faults += equipment_faults(book.equipment, "equipment")
    faults += [fault for name, one in book.machines.items() for fault in equipment_faults(one, f"machines.{name}")]
    if faults:
        raise DocumentError(faults)
    return book
