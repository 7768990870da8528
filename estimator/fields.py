"""Types of the keys of a document: a text with a unit, read once into an SI float, a price or a plain number."""

import datetime
import functools
import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Annotated, Any, NamedTuple, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, Strict, WithJsonSchema
from pydantic_core import CoreSchema, core_schema

from estimator.signs import name_in, note_in, text_in
from estimator.units import DIMENSIONS, UnitError, convert, factor, read, si_label, split, unit

__all__ = [
    "Allowance", "Angle", "AnyQuantity", "BoreSize", "Current", "Date", "Density", "Deviation", "Discount",
    "Distance", "Document", "Drive", "Filling", "Flow", "Fraction", "Frequency", "Gauged", "Interest", "Lead",
    "Length", "Life", "LinearDensity", "Mass", "Money", "Name", "Note", "Number", "Outdoors", "Overtime", "PartSize",
    "Pause", "PerDistance", "PerEnergy", "PerMass", "PerVolume", "PerWear", "Plate", "Pressure", "Price", "Rate",
    "Read", "Road", "Said", "Shift", "Speed", "Spool", "Temperature", "Tempering", "Text", "Time", "Voltage", "Volume",
    "Wait", "Wind", "quantity_field", "rate_field", "si_unit_of", "sized",
]  # fmt: skip


class Document(BaseModel):
    """Base of every model of a document: frozen, unknown keys are faults."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, hide_input_in_errors=True)

    @classmethod
    def plain(cls) -> Self:
        """Return one of defaults alone, which a model's own default is: nothing is checked, no validator built."""
        return cls.model_construct()


class Read(NamedTuple):
    """Reads a key by a function of ours, and writes what it answered as it is: built in a tenth of pydantic's time."""

    by: Callable[[object], object] | None = None
    beside: Callable[[object, Any], object] | None = None  # one that is also told what stands beside the key

    def __get_pydantic_core_schema__(self, _source: object, _handler: object) -> CoreSchema:
        if self.beside is not None:
            return core_schema.with_info_plain_validator_function(self.beside)
        assert self.by is not None
        return core_schema.no_info_plain_validator_function(self.by)


class Measures(NamedTuple):
    """The dimension of what a key holds."""

    dimension: str


class Said(NamedTuple):
    """A bare number whose unit was said once for its whole table."""

    number: float
    unit: str


def _reader(
    dimension: str, positive: bool, most: str = "", least: str = "", example: str = ""
) -> Callable[[object], float]:
    low = "above zero" if positive else "zero or more"

    def validate(value: object) -> float:
        if type(value) is Said:
            number, value = convert(value.number, unit(value.unit), dimension), f"{value.number:g} {value.unit}"
        else:
            number = read(value, dimension, example)
        if dimension != "temperature" and (number < 0 or (positive and number == 0)):
            raise UnitError(f"must be {low}, not {str(value)[:40]!r}")
        if dimension == "temperature" and number < 0:
            raise UnitError(f"{str(value)[:40]!r} lies below absolute zero")
        if most and number > read(most, dimension):
            raise UnitError(f"must be {most} at most, not {str(value)[:40]!r}")
        if least and number < read(least, dimension):
            raise UnitError(f"must be {least} at least, not {str(value)[:40]!r}")
        return number

    return validate


def quantity_field(dimension: str, *, positive: bool = True, most: str = "", least: str = "", example: str = "") -> Any:  # noqa: ANN401  # an annotation
    """Return the pydantic annotation of a key that holds a text with a unit, within bounds of reason."""
    schema = {
        "type": "string",
        "examples": [example or DIMENSIONS[dimension][1]],
        "description": f"a {dimension} with its unit",
    }
    read_as = Read(_reader(dimension, positive, most, least, example))
    return Annotated[float, read_as, WithJsonSchema(schema), Measures(dimension)]


def _signed(value: object) -> float:
    if isinstance(value, Said):
        return convert(value.number, unit(value.unit), "length")
    return read(value, "length")


_above_zero = _reader("length", True)


def sized(value: object, *, signed: bool) -> float:
    """Return a length in a table of readings, above zero unless it is a coordinate. [m]"""
    return _signed(value) if signed else _above_zero(value)


def _any(value: object) -> float:
    """Return the SI value of a text of whatever dimension; a plain number stays."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if not isinstance(value, str):
        raise UnitError('a number or a text with a unit is due, for instance "140 A"')
    number, symbol = split(value)
    if not symbol:
        raise UnitError("write a plain number without quotes, or a text with a unit")
    found = unit(symbol)
    return number * found.factor + found.offset


Length = quantity_field("length")
BoreSize = quantity_field("length", most="500 mm", least="3 mm")
PartSize = quantity_field("length", most="3 m", example="120 mm")
Plate = quantity_field("length", most="300 mm", example="30 mm")
Allowance = quantity_field("length", positive=False, most="20 mm", example="0.5 mm")
Shift = quantity_field("time", most="24 h", least="1 h", example="10 h")
Overtime = quantity_field("time", positive=False, most="12 h", example="2 h")
Pause = quantity_field("time", positive=False, most="3 h", example="45 min")
Drive = quantity_field("power", most="50 kW", least="100 W")
Road = quantity_field("length", positive=False, most="20000 km", example="85 km")
Outdoors = quantity_field("temperature", most="60 degC", least="-60 degC")
Gauged = quantity_field("temperature", most="120 degC", least="-60 degC")
Tempering = quantity_field("temperature", most="720 degC", least="100 degC")
Distance = quantity_field("length", positive=False)
_DEVIATES = {"type": "string", "examples": ["-0.021 mm"], "description": "a length with its unit"}
Deviation = Annotated[float, Read(_signed), WithJsonSchema(_DEVIATES), Measures("length")]
Time = quantity_field("time")
Wait = quantity_field("time", positive=False)
Life = quantity_field("time", example="6000 h")
Standing = quantity_field("time", positive=False, example="16 h")
Lead = quantity_field("time", positive=False, example="21 day")
Speed = quantity_field("speed")
Wind = quantity_field("speed", positive=False)
Flow = quantity_field("flow")
Current = quantity_field("current")
Voltage = quantity_field("voltage")
Temperature = quantity_field("temperature")
Mass = quantity_field("mass")
Spool = quantity_field("mass", least="0.4 kg")
Volume = quantity_field("volume")
Pressure = quantity_field("pressure")
Filling = quantity_field("pressure", most="450 bar", least="1 bar")
Frequency = quantity_field("frequency")
Torque = quantity_field("torque", most="100 kN.m", least="1 N.m")
Feed = quantity_field("length", most="5 mm", least="0.001 mm", example="0.2 mm")
Roughness = quantity_field("length", most="25 um", least="0.2 um", example="3.2 um")
Density = quantity_field("density")
LinearDensity = quantity_field("linear density")
AnyQuantity = Annotated[float, Read(_any), WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "number"}]})]
Angle = Annotated[float, Field(strict=True, ge=0, le=360, allow_inf_nan=False)]
Number = Annotated[float, Strict(), Field(allow_inf_nan=False)]
PERCENT = re.compile(r"\s*([0-9]{1,3}(?:\.[0-9]{1,12})?)\s*%\s*")
MOST_PERCENT = 100


def _fraction(value: object) -> float:
    """Return a fraction, typed as a plain number or in percent; raise `ValueError` with the cure."""
    percent = PERCENT.fullmatch(value[:40]) if isinstance(value, str) else None
    number = float(Decimal(percent[1]) / MOST_PERCENT) if percent else value
    if isinstance(number, bool) or not isinstance(number, int | float):
        raise ValueError('must be a plain number or a percentage, for instance 0.08 or "8 %"')
    if not 0 <= number <= 1:
        meant = f'{number / MOST_PERCENT:g} or "{number:g} %"' if 1 < number <= MOST_PERCENT else '0.08 or "8 %"'
        raise ValueError(f"must be a fraction from 0 to 1; write for instance {meant}")
    return float(number)


def _rate(value: object) -> float:
    """Return a rate of interest: a fraction below 1."""
    found = _fraction(value)
    if found == 1:
        raise ValueError('must be below 1; write for instance 0.08 or "8 %"')
    return found


def _discount(value: object) -> float:
    """Return what is taken off a price: a fraction below 1."""
    found = _fraction(value)
    if found == 1:
        raise ValueError('must be below 1; write for instance 0.05 or "5 %"')
    return found


_OF_ONE = {
    "anyOf": [{"type": "number", "minimum": 0, "maximum": 1}, {"type": "string", "examples": ["8 %"]}],
    "description": "a fraction, or a text in percent",
}
Fraction = Annotated[float, Read(_fraction), WithJsonSchema(_OF_ONE)]
Discount = Annotated[float, Read(_discount), WithJsonSchema(_OF_ONE)]
Interest = Annotated[float, Read(_rate), WithJsonSchema(_OF_ONE)]


@functools.cache
def si_unit_of(model: type[BaseModel], name: str) -> str:
    """Return the SI unit of a model's number, as text; empty for a plain number."""
    field = model.model_fields[name]
    dimension = _dimension([*field.metadata, field.annotation])
    return si_label(split(DIMENSIONS[dimension][1])[1] or "1") if dimension else ""


def _dimension(parts: Iterable[object]) -> str:
    for part in parts:
        if isinstance(part, Measures):
            return part.dimension
        if found := _dimension([*getattr(part, "__metadata__", ()), *get_args(part)]):
            return found
    return ""


Text = Annotated[str, Read(text_in), WithJsonSchema({"type": "string", "maxLength": 2000})]
Note = Annotated[str, Read(note_in), WithJsonSchema({"type": "string", "maxLength": 2000})]
Name = Annotated[str, Read(name_in), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": 120})]


DATE, EARLIEST, LATEST = re.compile(r"\d{4}-\d{2}-\d{2}"), 2000, 2100


def _date(value: object) -> str:
    text = name_in(value)
    try:
        date = datetime.date.fromisoformat(DATE.fullmatch(text)[0])  # pyrefly: ignore[unsupported-operation] # no match is no date
    except (TypeError, ValueError):
        raise ValueError(f'{text[:40]!r} is no date; write year, month and day, for instance "2027-03-08"') from None
    if not EARLIEST <= date.year <= LATEST:
        raise ValueError(f"{text} lies outside the years {EARLIEST} to {LATEST}; a slip?")
    return text


Date = Annotated[str, Read(_date), WithJsonSchema({"type": "string", "format": "date"})]


class Price(NamedTuple):
    """An amount of money per unit ("each" where it is for one), as it was written."""

    amount: Decimal
    currency: str
    per: str


PRICE = re.compile(r"\s*(-?[0-9]+(?:\.[0-9]+)?)\s*([A-Z]{3})(?:\s*/\s*(\S+))?\s*")
TWO_WAYS = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")  # 3.100: three and a tenth, or three thousand one hundred
THREE_PLACES = {"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"}  # ISO 4217: a thousandth is their smallest coin
RATE_PLACES = Decimal("0.000001")


def _priced(dimension: str | None, per: str) -> Callable[[object], Price]:
    """Return the reader of a price: an amount, or an amount for one unit of a dimension, turned to `per`."""
    example = "68.00 EUR" + (f"/{per}" if dimension else "")

    def validate(value: object) -> Price:
        match = PRICE.fullmatch(value) if isinstance(value, str) and len(value) <= 60 else None  # noqa: PLR2004  # longer is no price
        if match is None or bool(match[3]) is not bool(dimension):
            raise ValueError(f'a price is due; write for instance "{example}"')
        if not dimension and TWO_WAYS.fullmatch(match[1]) and match[2] not in THREE_PLACES:
            thousands, tenths = match[1].replace(".", ""), match[1].rstrip("0").rstrip(".")
            raise ValueError(f'can be read two ways; write "{thousands} {match[2]}" or "{tenths} {match[2]}"')
        amount = Decimal(match[1])
        if amount < 0:
            raise ValueError("must not be below zero")
        if amount > Decimal("1e12"):
            raise ValueError("is too large a price")
        if -int(amount.as_tuple().exponent) > -int(RATE_PLACES.as_tuple().exponent):
            raise ValueError("has more than six decimals; write the price of a larger unit")
        if dimension and match[3] != per:
            if unit(match[3]).exponents != DIMENSIONS[dimension][0]:
                raise ValueError(f'{match[3]!r} is no {dimension}; write for instance "{example}"')
            ratio = Decimal(f"{factor(per) / factor(match[3]):.12g}")
            amount = (amount * ratio).quantize(RATE_PLACES)
        return Price(amount, match[2], per if dimension else "each")

    return validate


def rate_field(dimension: str | None, per: str) -> Any:  # noqa: ANN401  # an annotation
    """Return the pydantic annotation of a price, for one unit of a dimension or for one piece."""
    example = "68.00 EUR" + (f"/{per}" if dimension else "")
    schema = {"type": "string", "examples": [example], "description": f"a price, {example}"}
    return Annotated[Price, Read(_priced(dimension, per)), WithJsonSchema(schema)]


Money = rate_field(None, "")
Rate = rate_field("time", "h")
PerMass = rate_field("mass", "kg")
PerVolume = rate_field("volume", "L")
PerDistance = rate_field("length", "km")
PerEnergy = rate_field("energy", "kWh")
PerWear = rate_field("length", "mm")
