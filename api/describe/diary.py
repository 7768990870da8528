"""What the service's description says of the diary: what is placed, who goes, days off."""

from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter

from api.describe.answers import Answer, Schema, named, template
from estimator.fields import Date, Document, Name

__all__ = ["DAYS_OFF", "NAMES", "PLACINGS", "DayOff", "Named", "Placing", "Span", "components_of_diary"]

MOST = 20


class Placing(Document):
    """From which date on a quote is placed, and who goes; who is free, where nobody is named."""

    start: Date
    technicians: Annotated[tuple[Name, ...], Field(min_length=1, max_length=MOST)] | None = None
    rigs: Annotated[tuple[Name, ...], Field(min_length=1, max_length=MOST)] | None = None


class Span(Document):
    """From when until when the diary is read."""

    since: Annotated[Date | None, Field(alias="from")] = None
    until: Date | None = None


class Named(Document):
    """A technician or a rig."""

    kind: Literal["technician", "rig"]
    name: Name


class DayOff(Document):
    """A date on which nobody works, and why."""

    date: Date
    name: Name


class DayOfQuote(Answer):
    """One day of a quote: its number among them, its date, from when until when by the clock."""

    day: int
    date: str
    begins: str
    ends: str


class InDiary(Answer):
    """A quote on its days."""

    number: str
    state: str
    job_id: int
    reference: str
    title: str | None
    customer: str | None
    machine: str | None
    site: str | None
    distance_km: float
    start: str
    until: str
    days: list[DayOfQuote]
    technicians: list[str]
    rigs: list[str]


class PlacedNow(InDiary):
    """A quote on its days; `new` are names that were not known before, `moved` whether it stood elsewhere."""

    new: list[str]
    moved: bool


class Waiting(Answer):
    """An accepted quote on no days."""

    number: str
    job_id: int
    reference: str
    customer: str | None
    days: int
    technicians: int


class FreeWeek(Answer):
    """The next week in which somebody has every day of work free, and who."""

    start: str
    technicians: list[str]


class Diary(Answer):
    """The diary from a date to another; `waiting` are the newest accepted quotes on no days."""

    start: Annotated[str, Field(alias="from")]
    until: str
    work_days: list[str]
    holidays: list[DayOff]
    technicians: list[str]
    rigs: list[str]
    items: list[InDiary]
    waiting: list[Waiting]
    next_free_week: FreeWeek | None


class Sharing(Answer):
    """A placed quote that could share the trip, and what that is based on."""

    number: str
    reference: str
    dates: list[str]
    basis: str


class First(Answer):
    """The first days that have room, and who and what is free then."""

    start: str
    dates: list[str]
    technicians: list[str]
    rigs: list[str]


class DaysOfQuote(Answer):
    """Where a quote stands, what it takes, when it could begin, and who goes near the same place then."""

    number: str
    placed: InDiary | None
    days: int
    technicians: int
    rigs: int
    people: int
    earliest: First | None
    nearby: list[Sharing]


class KnownNames(Answer):
    """Technicians and rigs, by name."""

    technicians: list[str]
    rigs: list[str]


class OffDay(Answer):
    """A day off, and the quotes that stand on it and had better be moved."""

    date: str
    name: str
    standing: list[str]


PLACINGS: dict[str, Any] = {
    "by name": {"summary": "Who goes is named", "value": {"start": "2027-03-08", "technicians": ["Anna"]}},
    "who is free": {"summary": "Whoever is free", "value": {"start": "2027-03-08"}},
}
NAMES: dict[str, Any] = {
    "a technician": {"summary": "Somebody who can go", "value": {"kind": "technician", "name": "Anna"}},
    "a rig": {"summary": "A boring and welding machine", "value": {"kind": "rig", "name": "Rig 1"}},
}
DAYS_OFF: dict[str, Any] = {
    "a day off": {"summary": "Nobody works", "value": {"date": "2027-03-26", "name": "Good Friday"}},
}


def components_of_diary() -> dict[str, Schema]:
    """Return every schema that the routes of the diary refer to."""
    found: dict[str, Schema] = {}
    for model in (Diary, DaysOfQuote, PlacedNow, KnownNames, OffDay):
        name = model.__name__
        said = TypeAdapter(model).json_schema(ref_template=template(name), mode="serialization", by_alias=True)
        found |= named(said, name)
    for model in (Placing, Named, DayOff):
        name = f"{model.__name__}Sent"
        found |= named(model.model_json_schema(ref_template=template(name)), name)
    return found
