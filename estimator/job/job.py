"""What came in: the one definition of a job, read strictly, in SI floats, frozen.

Sizes are in metres, times in seconds, temperatures in kelvin; angles on the clock stay in degrees and composition in
percent by mass, as everybody in the trade writes them.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Any, Literal, Self

from pydantic import Field, PrivateAttr, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError, DocumentError, Fault
from estimator.fields import Date, Discount, Document, Name, Note, Outdoors, Road, Text, Wind
from estimator.job.bore import Bore
from estimator.job.economics import Economics
from estimator.job.line import Line
from estimator.job.order import Customer, Equipment, Extra
from estimator.job.places import lines_hold
from estimator.job.readings import MOST_POINTS
from estimator.job.said import in_words, names_in
from estimator.strict import parse, validated
from estimator.units import split

__all__ = ["Bore", "Job", "Site", "read_job"]

MOST_BORES, MOST_READINGS, MOST_EXTRAS = 200, 10_000, 50


class Site(Document):
    """Where the machine stands."""

    address: Note | None = None
    distance: Road = 0.0
    access: Literal["open", "restricted", "confined"] = "open"
    ambient: Outdoors | None = None
    wind: Wind | None = None


class Job(Document):
    """One job: the bores to repair and all that bears on the price."""

    reference: Name
    bores: tuple[Bore, ...]
    title: Text | None = None
    note: Note | None = None
    currency: Name | None = None
    customer: Customer | None = None
    purchase_order: Name | None = None
    equipment: Equipment | None = None
    machine: Equipment | None = None
    site: Site = Site.plain()
    lines: dict[Name, Line] = Field(default_factory=dict)
    economics: Economics | None = None
    start: Date | None = None
    worked: Literal["day", "night", "weekend"] = "day"
    extras: Annotated[tuple[Extra, ...], Field(max_length=MOST_EXTRAS)] = ()
    discount: Discount | None = None
    _typed_in: Literal["metric", "us"] = PrivateAttr(default="metric")

    @property
    def asset(self) -> Equipment | None:
        """The customer's machine, under whichever of its two keys it stands."""
        return self.equipment or self.machine

    @property
    def typed_in(self) -> Literal["metric", "us"]:
        """In which units most of the bores were typed: papers are written in them unless others are asked for."""
        return self._typed_in

    def whole(self) -> Self:
        """Return the job with the bores' worn steps as bores of their own, after the others."""
        parts = tuple(part for bore in self.bores for part in bore.parts())
        names = {bore.name for bore in self.bores}
        taken = next((part.name for part in parts if part.name in names), None)
        if taken is not None:
            raise DocumentError([Fault("bores", f"{taken!r} is the name of a step here; name the bore otherwise")])
        return self.model_copy(update={"bores": (*self.bores, *parts)}) if parts else self

    def said_at(self, fault: Fault) -> Fault:
        """Return a fault about a step at the step's own place in the document."""
        head, _, rest = fault.path.partition(".")
        number, _, rest = rest.partition(".")
        if head != "bores" or not number.isdigit() or self.bores[int(number)].part_of is None:
            return fault
        part = self.bores[int(number)]
        parent = next(n for n, bore in enumerate(self.bores) if bore.name == part.part_of)
        place = [one.name for one in self.bores[parent].parts()].index(part.name)
        return replace(fault, path=f"bores.{parent}.steps.{place}.{rest}")

    @model_validator(mode="after")
    def _one_machine(self) -> Self:
        if self.equipment is not None and self.machine is not None:
            raise AtError("machine", "is the same as equipment; keep one of the two")
        return self

    @model_validator(mode="after")
    def _lines_hold(self) -> Self:
        lines_hold(self.bores, self.lines)
        return self

    @field_validator("worked")
    @classmethod
    def _at_a_rate(cls, worked: str, info: ValidationInfo) -> str:
        known = (info.context or {}).get("worked")
        if worked != "day" and known is not None and worked not in known:
            raise ValueError(f"the price book has no rates.labour_{worked}: say what such an hour costs on top")
        return worked

    @field_validator("currency")
    @classmethod
    def _of_the_book(cls, currency: str | None, info: ValidationInfo) -> str | None:
        book = (info.context or {}).get("currency")
        if currency is not None and book is not None and currency != book:
            raise ValueError(
                f"{currency!r} is not the price book's currency {book!r}; leave it out or use a book in it"
            )
        return currency


def _across(data: dict[str, Any]) -> Iterator[Fault]:
    """Yield what is wrong between the bores of a raw document."""
    bores = data.get("bores")
    if isinstance(bores, list) and not 1 <= len(bores) <= MOST_BORES:
        yield Fault("bores", f"{len(bores)} bores; a job holds 1 to {MOST_BORES}")
    bores = [bore if isinstance(bore, dict) else {} for bore in bores] if isinstance(bores, list) else []
    names: set[str] = set()
    axes: dict[str, object] = {}
    count = points = 0
    for number, bore in enumerate(bores):
        name, line, axis = bore.get("name"), bore.get("line"), bore.get("axis", "horizontal")
        if isinstance(name, str) and name in names:
            yield Fault(f"bores.{number}.name", f"{name!r} is given twice; names are unique in a job")
        if isinstance(line, str) and axes.setdefault(line, axis) != axis:
            yield Fault(
                f"bores.{number}.axis", f"the line {line!r} has a bore on the other axis; one line has one axis"
            )
        names.add(name) if isinstance(name, str) else None
        readings = bore.get("readings")
        rows = readings.get("values") if isinstance(readings, dict) else None
        rows = [row for row in rows if isinstance(row, list)] if isinstance(rows, list) else []
        if isinstance(readings, dict) and readings.get("kind") == "points":
            points += len(rows)
        else:
            count += sum(max(1, len(cell)) if isinstance(cell, list) else 1 for row in rows for cell in row)
    if count > MOST_READINGS:
        yield Fault("bores", f"{count} readings; a job holds {MOST_READINGS} at most")
    if points > MOST_POINTS:
        yield Fault("bores", f"{points} points; a job holds {MOST_POINTS} at most: thin them with the command read")


def read_job(document: bytes | str | dict[str, Any], context: dict[str, object]) -> Job:
    """Return the job in a document; raise `DocumentError` with every fault.

    The context holds what names are checked against: `steels`, `wires`, `gases`, `currency`, `hole class`.
    """
    data = document if isinstance(document, dict) else parse(document)
    faults = list(_across(data))
    bores = data.get("bores")
    if isinstance(bores, list) and len(bores) > MOST_BORES:
        raise DocumentError(faults)
    try:
        job = validated(Job, data, context)
    except DocumentError as error:
        raise DocumentError(in_words([*error.faults, *faults], names_in(data))) from None
    if faults:
        raise DocumentError(in_words(faults, names_in(data)))
    job._typed_in = _typed_in(data["bores"])
    return job


INCHES = ("in", "inch", "inches", "ft")


def _typed_in(bores: list[dict[str, Any]]) -> Literal["metric", "us"]:
    """Return in which units the nominal diameters of most bores of a sound document were typed."""
    inches = sum(split(str(bore["nominal_diameter"]))[1] in INCHES for bore in bores)
    return "us" if 2 * inches > len(bores) else "metric"
