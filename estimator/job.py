"""What came in: the one definition of a job, read strictly, in SI floats, frozen.

Sizes are in metres, times in seconds, temperatures in kelvin; angles on the clock stay in degrees and composition in
percent by mass, as everybody in the trade writes them.
"""

from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, Tag, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError, DocumentError, Fault, nearest
from estimator.fields import (
    Current,
    Distance,
    Document,
    Length,
    Money,
    Name,
    Temperature,
    Text,
    Time,
    Wait,
    Wind,
    rate_field,
)
from estimator.readings import Limits, Readings
from estimator.strict import parse, validated

__all__ = ["Bore", "Condition", "Economics", "Job", "Limits", "Options", "Readings", "Site", "read_job"]

MOST_BORES, MOST_READINGS, MOST_PERCENT = 200, 10_000, 60
ELEMENTS = ("C", "Si", "Mn", "P", "S", "Cr", "Mo", "Ni", "Cu", "V", "Nb", "Ti", "Al", "B", "N", "W", "Co")
Answer = Literal["no", "yes", "unknown"]


class Condition(Document):
    """What is known of the part before any arc is struck."""

    cracks: Answer = "unknown"
    welded_before: Answer = "unknown"
    hardened: Answer = "unknown"
    coated: Answer = "unknown"
    bush: Answer = "unknown"
    duty: Literal["ordinary", "lifting", "rollover", "pressure", "unknown"] = "unknown"


class Options(Document):
    """What the user pins; the planner keeps it or refuses with the reason."""

    wire: Name | None = None
    gas: Name | None = None
    current: Current | None = None
    step: Length | None = None
    layers: Annotated[int, Field(strict=True, ge=1, le=50)] | None = None
    rotation: Literal["alternating", "one way"] | None = None
    slag: Literal["each layer", "at the end"] = "each layer"

    @field_validator("wire", "gas")
    @classmethod
    def _known(cls, name: str | None, info: ValidationInfo) -> str | None:
        known = (info.context or {}).get(f"{info.field_name}s")
        if name is not None and known is not None and name not in known:
            raise ValueError(f"no {info.field_name} named {name!r}; near: {_near(name, known)}")
        return name


def _near(name: str, known: Any) -> str:  # noqa: ANN401  # any mapping
    return ", ".join(nearest(name, known) or sorted(known)[:8])


Material = Annotated[
    Annotated[Name, Tag("<name>")] | Annotated[dict[str, float], Tag("<composition>")],
    Discriminator(lambda value: "<composition>" if isinstance(value, dict) else "<name>"),
]
Tolerance = Annotated[
    Annotated[Name, Tag("<class>")] | Annotated[Limits, Tag("<limits>")],
    Discriminator(lambda value: "<limits>" if isinstance(value, dict | Limits) else "<class>"),
]


class Bore(Document):
    """One worn bore: sizes, readings or the worst diameter, steel, what is asked of the plan."""

    name: Name
    nominal_diameter: Length
    length: Length
    material: Material
    tolerance: Tolerance = "H8"
    axis: Literal["horizontal", "vertical"] = "horizontal"
    outside_diameter: Length | None = None
    plate_thickness: Length | None = None
    line: Name | None = None
    position: Distance | None = None
    condition: Condition = Condition()
    readings: Readings | None = None
    wear: Literal["one-sided", "even"] = "one-sided"
    worn_diameter: Length | None = None
    cleanup_diameter: Length | None = None
    cleanup_allowance: Distance | None = None
    machining_allowance: Distance | None = None
    sector: Any = None
    faces: Any = None
    options: Options = Options()

    @field_validator("material", mode="before")
    @classmethod
    def _material(cls, material: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a raw document
        if isinstance(material, dict):
            return _composition(material)
        known = (info.context or {}).get("steels")
        if not isinstance(material, str):
            raise ValueError(
                'must be the name of a steel, such as "S355J2", or its composition {"C": 0.2, ...} in percent'
            )
        if known is not None and material not in known:
            raise ValueError(f"no steel named {material!r}; near: {_near(material, known)}, or give its composition")
        return material

    @field_validator("tolerance", mode="before")
    @classmethod
    def _tolerance(cls, tolerance: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a raw document
        check = (info.context or {}).get("hole class")
        if isinstance(tolerance, str) and callable(check):
            check(tolerance, info.data.get("nominal_diameter"))
        elif not isinstance(tolerance, str | dict):
            raise ValueError('must be an ISO 286 hole class such as "H8", or {"lower": "0 mm", "upper": "0.054 mm"}')
        return tolerance

    @field_validator("sector", "faces")
    @classmethod
    def _later(cls, value: object) -> object:
        if value is not None:
            raise ValueError("not built yet; leave it out")
        return value

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if (self.readings is None) is (self.worn_diameter is None):
            said = "is missing; give readings, or worn_diameter for a budget price"
            raise AtError("readings", said if self.readings is None else "give readings or worn_diameter, not both")
        for number, depth in enumerate(self.readings.depth if self.readings else ()):
            if depth > self.length:
                raise AtError(
                    f"readings.depth.{number}", "lies beyond the bore's length; it counts from the machine's face"
                )
        if self.outside_diameter is not None and self.outside_diameter <= self.nominal_diameter:
            raise AtError("outside_diameter", "must be larger than nominal_diameter")
        return self


def _composition(material: dict[str, Any]) -> dict[str, Any]:
    unknown = [key for key in material if key not in ELEMENTS]
    if unknown:
        raise ValueError(f"unknown element {unknown[0]!r}; known: {', '.join(ELEMENTS)}")
    if "C" not in material:
        raise ValueError('the composition must give carbon, for instance {"C": 0.2, "Mn": 1.2}')
    for element, percent in material.items():
        if isinstance(percent, bool) or not isinstance(percent, int | float) or not 0 <= percent <= MOST_PERCENT:
            raise AtError(element, f"a percent by mass is a plain number from 0 to {MOST_PERCENT}, for instance 0.42")
    return material


class Site(Document):
    """Where the machine stands."""

    distance: Distance = 0.0
    access: Literal["open", "restricted", "confined"] = "open"
    ambient: Temperature | None = None
    wind: Wind | None = None


def _in_the_books_currency(price: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a price or nothing
    """Raise `ValueError` unless a price is in the price book's currency."""
    book = (info.context or {}).get("currency")
    if price is not None and book is not None and price.currency != book:
        raise ValueError(f"{price.currency} is not the price book's currency {book}")
    return price


class Way(Document):
    """One way out: what it costs where it is bought, how long it lasts, how long the machine stands."""

    price: Money | None = None
    life: Time | None = None
    downtime: Wait | None = None
    lead_time: Wait | None = None
    _currency = field_validator("price")(_in_the_books_currency)


class Economics(Document):
    """What the fleet needs to compare repair with sleeve and replacement."""

    discount_rate: Annotated[float, Field(strict=True, ge=0, le=10, allow_inf_nan=False)]
    hours_per_year: Annotated[float, Field(strict=True, gt=0, le=8784, allow_inf_nan=False)]
    downtime_cost: rate_field("time", "h") | None = None  # type: ignore[valid-type] # an annotation made by a function
    repair: Way | None = None
    sleeve: Way | None = None
    replace: Way | None = None
    _currency = field_validator("downtime_cost")(_in_the_books_currency)


class Customer(Document):
    """Who asked."""

    name: Text
    contact: Text | None = None


class Equipment(Document):
    """The machine the part belongs to."""

    description: Text
    hours: Annotated[float, Field(strict=True, ge=0, allow_inf_nan=False)] | None = None


class Job(Document):
    """One job: the bores to repair and all that bears on the price."""

    reference: Name
    bores: tuple[Bore, ...]
    title: Text | None = None
    note: Text | None = None
    currency: Name | None = None
    customer: Customer | None = None
    equipment: Equipment | None = None
    site: Site = Site()
    economics: Economics | None = None

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
    count = 0
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
        values = readings.get("values") if isinstance(readings, dict) else None
        count += sum(len(row) for row in values if isinstance(row, list)) if isinstance(values, list) else 0
    if count > MOST_READINGS:
        yield Fault("bores", f"{count} readings; a job holds {MOST_READINGS} at most")


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
        raise DocumentError([*error.faults, *faults]) from None
    if faults:
        raise DocumentError(faults)
    return job
