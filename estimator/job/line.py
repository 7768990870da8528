"""What a line of bores is to its axis, as it came in: offsets from the wire, datums, a distance to keep. [SI]"""

import math
from typing import Annotated, Any, Literal, Self

from pydantic import Field, WithJsonSchema, model_validator

from estimator.errors import AtError
from estimator.fields import Deviation, Distance, Document, Length, Name, PartSize

__all__ = ["CentreDistance", "ClearRoom", "Datum", "Line", "Offset", "Place"]

MOST_OFFSETS, SLIP = 100, 0.1


_SIZE = {"type": "string", "description": "a length with its unit", "examples": ["0.8 mm"]}
Across = Annotated[
    tuple[Deviation, ...],
    Field(min_length=1, max_length=MOST_OFFSETS),
    WithJsonSchema({"anyOf": [_SIZE, {"type": "array", "items": _SIZE}]}),
]


class Place(Document):
    """A place across the line, from its wire or bar: x to 3 o'clock, y to 12 o'clock."""

    x: Deviation = 0.0
    y: Deviation = 0.0


class ClearRoom(Document):
    """Free room along the axis in front of each face of a bore; None where nobody measured it."""

    machine: Distance | None = None
    far: Distance | None = None


class Offset(Document):
    """Where the zero of a bore's readings, or the centre of the worn hole, lies from the wire: once or at depths."""

    x: Across
    y: Across
    depth: Annotated[tuple[Distance, ...], Field(max_length=MOST_OFFSETS)] = ()
    of: Literal["zero", "worn hole"] = "zero"

    def along(self, by: float) -> Self:
        """Return the offsets as they are from a face that lies that much farther along the line."""
        return self.model_copy(update={"depth": tuple(depth - by for depth in self.depth)})

    @model_validator(mode="before")
    @classmethod
    def _once(cls, data: Any) -> Any:  # noqa: ANN401  # a raw document
        """Read a single place as a list of one."""
        if not isinstance(data, dict):
            return data
        lone = {key: [data[key]] for key in ("x", "y") if key in data and not isinstance(data[key], list)}
        return {**data, **lone}

    @model_validator(mode="after")
    def _pairs(self) -> Self:
        due = len(self.depth) or 1
        for name in ("x", "y"):
            if len(getattr(self, name)) != due:
                said = f"{len(getattr(self, name))} for {due} place{'s' if due > 1 else ''}; one each is due"
                raise AtError(name, said if self.depth else f"{said}, or say the depth of each")
        if len(set(self.depth)) < len(self.depth):
            raise AtError("depth", "two depths are the same; keep one")
        return self


class Datum(Document):
    """An undamaged bore or counterbore on the line that the axis must run through, within a tolerance (a diameter)."""

    name: Name
    position: Distance
    length: PartSize
    tolerance: Length
    offset: Place = Place.plain()


class CentreDistance(Document):
    """The distance that the axis keeps from another line's centre, which lies at x and y from this line's wire."""

    x: Deviation
    y: Deviation = 0.0
    nominal: Length
    tolerance: Length

    @model_validator(mode="after")
    def _near(self) -> Self:
        far = math.hypot(self.x, self.y)
        if not abs(far - self.nominal) <= SLIP * self.nominal:
            times = f"{far / self.nominal:.3g} times nominal"
            raise AtError(
                "nominal", f"the other line's centre lies {times} from the wire: a slip of a point or a unit?"
            )
        return self


class Line(Document):
    """What the axis of one line must respect."""

    datums: Annotated[tuple[Datum, ...], Field(max_length=20)] = ()
    distance: CentreDistance | None = None

    @model_validator(mode="after")
    def _named_once(self) -> Self:
        names = [datum.name for datum in self.datums]
        if len(set(names)) < len(names):
            raise AtError("datums", "two datums have one name; give each its own")
        return self
