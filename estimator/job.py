"""What came in: the one definition of a job, read strictly, in SI floats, frozen.

Sizes are in metres, times in seconds, temperatures in kelvin; angles on the clock stay in degrees and composition in
percent by mass, as everybody in the trade writes them.
"""

import re
from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, Tag, ValidationInfo, field_validator, model_validator

from estimator.economics import Economics
from estimator.errors import AtError, DocumentError, Fault, nearest
from estimator.fields import (
    Allowance,
    BoreSize,
    Current,
    Distance,
    Document,
    Length,
    Name,
    Outdoors,
    PartSize,
    Plate,
    Road,
    Text,
    Wind,
)
from estimator.readings import MOST_POINTS, Limits, Readings
from estimator.strict import parse, validated

__all__ = ["Bore", "Condition", "Economics", "Job", "Limits", "Options", "Readings", "Site", "read_job"]

MOST_BORES, MOST_READINGS, MOST_PERCENT = 200, 10_000, 60
LEAST_SIZE, MOST_SIZE, FAR_OFF = 0.7, 2.0, 0.05  # shares of the nominal diameter
ELEMENTS = ("C", "Si", "Mn", "P", "S", "Cr", "Mo", "Ni", "Cu", "V", "Nb", "Ti", "Al", "B", "N", "W", "Co")
IRON, IRONS = re.compile(r"(cast[ -]?iron|GJ[LSM]|GG[GLV]?)[ -]?\d*", re.IGNORECASE), ("EN-GJL-250", "EN-GJS-400-15")
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
    nominal_diameter: BoreSize
    length: PartSize
    material: Material
    tolerance: Tolerance = "H8"
    axis: Literal["horizontal", "vertical"] = "horizontal"
    outside_diameter: PartSize | None = None
    plate_thickness: Plate | None = None
    line: Name | None = None
    position: Distance | None = None
    condition: Condition = Condition()
    readings: Readings | None = None
    wear: Literal["one-sided", "even"] = "one-sided"
    worn_diameter: Length | None = None
    cleanup_diameter: Length | None = None
    cleanup_allowance: Allowance | None = None
    machining_allowance: Allowance | None = None
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
        if known is not None and material not in known and IRON.match(material):
            raise ValueError(f"{material!r} looks like cast iron, which is not welded here; near: {', '.join(IRONS)}")
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

    @field_validator("readings")
    @classmethod
    def _points_later(cls, readings: Readings | None) -> Readings | None:
        if readings is not None and readings.kind == "points":
            raise AtError("kind", "points are not built yet; read radii or diameters on clock and depth")
        return readings

    @field_validator("sector", "faces")
    @classmethod
    def _later(cls, value: object) -> object:
        if value is not None:
            raise ValueError("not built yet; leave it out")
        return value

    def _deviations(self) -> tuple[float, float]:
        """Return the deviations of limits that were given."""
        return (self.tolerance.lower, self.tolerance.upper) if isinstance(self.tolerance, Limits) else (0.0, 0.0)

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
        for key, size in _sizes_read(self):
            if not LEAST_SIZE * self.nominal_diameter <= size <= MOST_SIZE * self.nominal_diameter:
                times = f"{size / self.nominal_diameter:.3g} times the nominal size"
                raise AtError(
                    key, f"is {times}: a slip of the point, of the unit (inch for mm), or of radius and diameter?"
                )
        if isinstance(self.tolerance, Limits) and max(map(abs, self._deviations())) > FAR_OFF * self.nominal_diameter:
            raise AtError("tolerance", "lies far off the nominal size; give deviations from it, such as 0.054 mm")
        if self.outside_diameter is not None and self.outside_diameter <= self.nominal_diameter:
            raise AtError("outside_diameter", "must be larger than nominal_diameter")
        return self


def _sizes_read(bore: Bore) -> Iterator[tuple[str, float]]:
    """Yield every size measured in a bore as a diameter, with its key."""
    if bore.worn_diameter is not None:
        yield "worn_diameter", bore.worn_diameter
    if bore.cleanup_diameter is not None:
        yield "cleanup_diameter", bore.cleanup_diameter
    if bore.readings is not None and bore.readings.kind != "points":
        times = 2.0 if bore.readings.kind == "radius" else 1.0
        for row, cells in enumerate(bore.readings.values):
            for column, cell in enumerate(cells):
                for value in cell if isinstance(cell, tuple) else (cell,) if cell is not None else ():
                    yield f"readings.values.{row}.{column}", times * value


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

    distance: Road = 0.0
    access: Literal["open", "restricted", "confined"] = "open"
    ambient: Outdoors | None = None
    wind: Wind | None = None


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
        raise DocumentError([*error.faults, *faults]) from None
    if faults:
        raise DocumentError(faults)
    return job
