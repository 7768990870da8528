"""What was measured: readings on clock x depth or points, and limits of size as given. [m], angles in degrees."""

import math
from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, Tag, ValidationInfo, WithJsonSchema, model_validator

from estimator.errors import AtError
from estimator.fields import Allowance, Angle, Deviation, Distance, Document, Gauged, Read, Said, sized
from estimator.units import UnitError, dimension_of

__all__ = ["MOST_POINTS", "TURNS", "Frame", "Limits", "Readings", "cell_mean"]

TURNS = {"diameter": 180.0, "radius": 360.0, "three-point": 120.0, "points": 360.0}
FEWEST_POINTS, MOST_POINTS, MOST_REPEATS = 12, 20_000, 50
HOURS, DEGREES_AN_HOUR = 12, 30
Cell = float | tuple[float, ...] | None
ENDS = {
    "diameter": "a diameter's clock covers 0 to 180 degrees: its other end lies opposite",
    "three-point": "a three-point gauge's clock covers 0 to 120 degrees: its other anvils follow at 120 and 240",
    "radius": "the clock covers 0 to 360 degrees",
}


def _cell(value: object, info: ValidationInfo) -> Cell:
    """Return one reading: a size, several of one place, or none; a coordinate where points are read."""
    if value is None:
        return None
    signed = info.data.get("kind") == "points"
    if isinstance(value, list):
        if signed or not 1 <= len(value) <= MOST_REPEATS:
            raise ValueError(f"repeat readings are a list of 1 to {MOST_REPEATS} sizes")
        return tuple(sized(item, signed=False) for item in value)
    return sized(value, signed=signed)


def cell_mean(cell: Cell) -> float:
    """Return the mean of a cell's readings; NaN for none. [m]"""
    if cell is None:
        return math.nan
    return cell if isinstance(cell, float) else sum(cell) / len(cell)


_SIZE = {"type": "string", "description": "a length with its unit", "examples": ["90.8 mm"]}
_SCHEMA: Any = {
    "anyOf": [
        _SIZE,
        {"type": "number"},
        {"type": "null"},
        {"type": "array", "items": {"anyOf": [_SIZE, {"type": "number"}]}},
    ]
}
Reading = Annotated[Cell, Read(beside=_cell), WithJsonSchema(_SCHEMA)]


_PLACE: Any = {"type": "array", "items": {"anyOf": [_SIZE, {"type": "number"}]}, "minItems": 3, "maxItems": 3}


class Frame(Document):
    """Where a bore lies among points: centre of the machine's face, direction of depth and of 12 o'clock."""

    origin: Annotated[tuple[Deviation, Deviation, Deviation], WithJsonSchema(_PLACE)]
    along: tuple[float, float, float]
    up: tuple[float, float, float]

    @model_validator(mode="after")
    def _spans(self) -> Self:
        (a, b, c), (d, e, f) = self.along, self.up
        across = math.hypot(b * f - c * e, c * d - a * f, a * e - b * d)
        if not across > 1e-3 * math.hypot(a, b, c) * math.hypot(d, e, f):  # nearly one direction
            raise ValueError("along and up must be two directions, neither zero nor nearly the same")
        return self

    def moved(self, along: float) -> "Frame":
        """Return the frame of a face that lies that much farther along the axis. [m]"""
        by = _unit(self.along)
        x, y, z = (place + along * step for place, step in zip(self.origin, by, strict=True))
        return self.model_copy(update={"origin": (x, y, z)})

    def ahead(self, other: "Frame") -> float:
        """Return how far another frame's face lies along this one's axis. [m]"""
        steps = zip(_unit(self.along), self.origin, other.origin, strict=True)
        return sum(step * (there - here) for step, here, there in steps)

    def shares(self, other: "Frame") -> bool:
        """Return whether two frames have the directions of depth and of 12 o'clock in common."""
        pairs = ((self.along, other.along), (self.up, other.up))
        return all(math.dist(_unit(one), _unit(another)) < ALIKE for one, another in pairs)


ALIKE = 1e-6  # between unit vectors


def _unit(vector: tuple[float, float, float]) -> tuple[float, float, float]:
    length = math.hypot(*vector)
    return vector[0] / length, vector[1] / length, vector[2] / length


class Limits(Document):
    """Limits of the finished bore as deviations from its nominal diameter."""

    lower: Deviation
    upper: Deviation

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.lower >= self.upper:
            raise ValueError("lower must be below upper, both as deviations from the nominal diameter")
        return self


class Readings(Document):
    """Sizes on clock x depth, one row a depth and one column a clock position; or points, one row each. [m]"""

    kind: Literal["diameter", "radius", "three-point", "points"]
    clock: tuple[Angle, ...] = ()
    depth: tuple[Distance, ...] = ()
    values: Annotated[tuple[tuple[Reading, ...], ...], Field(min_length=1)]
    unit: str | None = None
    temperature: Gauged | None = None
    missing: Literal["refused", "allowed"] = "refused"
    uncertainty: Allowance | None = None
    frame: Annotated[
        Annotated[Literal["bore"], Tag("<bore>")] | Annotated[Frame, Tag("<frame>")],
        Discriminator(lambda value: "<frame>" if isinstance(value, dict | Frame) else "<bore>"),
    ] = "bore"

    @model_validator(mode="before")
    @classmethod
    def _said_once(cls, data: Any) -> Any:  # noqa: ANN401  # a raw document
        """Give the unit that was said once to every plain number of depth and values."""
        unit = data.get("unit") if isinstance(data, dict) else None
        if isinstance(data, dict) and unit is None and _plain(data.get("values")):
            raise AtError("unit", 'is missing; say it once for all plain numbers, for instance "unit": "mm"')
        if not isinstance(unit, str):
            return data
        if not _is_length(unit):
            raise AtError("unit", f'{unit[:40]!r} is no unit of length; write for instance "mm"')
        plain = {key: data[key] for key in ("depth", "values") if isinstance(data.get(key), list)}
        said: dict[str, object] = {key: [_say(item, unit) for item in cells] for key, cells in plain.items()}
        frame = data.get("frame")
        if isinstance(frame, dict) and isinstance(frame.get("origin"), list):
            said["frame"] = {**frame, "origin": _say(frame["origin"], unit)}
        return {**data, **said}

    @model_validator(mode="after")
    def _fits(self) -> Self:
        if self.kind == "points":
            _points_fit(self)
            return self
        _grid_fits(self)
        turn = TURNS[self.kind]
        if len(self.clock) > 1 and max(self.clock) <= HOURS and all(angle.is_integer() for angle in self.clock):
            degrees = ", ".join(f"{DEGREES_AN_HOUR * angle:g}" for angle in self.clock)
            raise AtError("clock", f"these read as hours of a clock; the clock is in degrees: {degrees}")
        if max(self.clock) > turn:
            raise AtError("clock", ENDS[self.kind])
        if len({angle % turn for angle in self.clock}) < len(self.clock):
            raise AtError("clock", f"two positions are the same ({turn:g} degrees is 0 again); keep one")
        if len(set(self.depth)) < len(self.depth):
            raise AtError("depth", "two depths are the same; keep one row a depth")
        return self


def _points_fit(readings: Readings) -> None:
    """Raise `AtError` unless every row is a point, and nothing is said that only a clock has."""
    said = next((name for name in ("clock", "depth") if getattr(readings, name)), None)
    if said:
        raise AtError(said, "points bring their own place; leave it out")
    if not FEWEST_POINTS <= len(readings.values) <= MOST_POINTS:
        cure = "thin a larger file with the command read" if len(readings.values) > MOST_POINTS else "measure more"
        count = len(readings.values)
        raise AtError("values", f"{count} points; a bore takes {FEWEST_POINTS} to {MOST_POINTS}: {cure}")
    for number, row in enumerate(readings.values):
        if len(row) != 3 or not all(isinstance(cell, float) for cell in row):  # noqa: PLR2004  # x, y, z
            raise AtError(f"values.{number}", "a point is three coordinates: [x, y, z]")


def _grid_fits(readings: Readings) -> None:
    """Raise `AtError` unless the table of readings has one row a depth, one column a clock position, and no gap."""
    for name, cells in (("clock", readings.clock), ("depth", readings.depth)):
        if not cells:
            raise AtError(name, f"is missing; readings of the kind {readings.kind!r} lie on clock and depth")
    if readings.frame != "bore":
        raise AtError("frame", "belongs to readings of points; leave it out")
    rows, columns = len(readings.depth), len(readings.clock)
    if len(readings.values) != rows:
        raise AtError("values", f"{len(readings.values)} rows for {rows} depths; one row a depth is due")
    for number, row in enumerate(readings.values):
        if len(row) != columns:
            raise AtError(f"values.{number}", f"{len(row)} readings for {columns} clock positions; one each is due")
        if None in row and readings.missing == "refused":
            at = f"values.{number}.{row.index(None)}"
            raise AtError(at, 'is missing; read it again, or say "missing": "allowed" and it is filled from beside')
        if 2 * row.count(None) > columns:
            raise AtError(f"values.{number}", "more than half of the row is missing; leave this depth out")
    for number, angle in enumerate(readings.clock):
        if all(row[number] is None for row in readings.values):
            raise AtError(f"clock.{number}", f"nothing was read at {angle:g} degrees; leave this clock position out")


def _plain(values: object) -> bool:
    """Return whether a table holds a plain number somewhere in its first row."""
    row = values[0] if isinstance(values, list) and values else None
    return isinstance(row, list) and any(isinstance(one, int | float) and not isinstance(one, bool) for one in row)


def _is_length(unit: str) -> bool:
    try:
        return dimension_of(unit) == "length"
    except UnitError:
        return False


def _say(item: object, unit: str) -> object:
    if isinstance(item, list):
        return [_say(cell, unit) for cell in item]
    if isinstance(item, int | float) and not isinstance(item, bool):
        return Said(float(item), unit)
    return item
