"""What was measured: readings on clock x depth, and limits of size as given. [m], angles in degrees."""

from typing import Annotated, Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from estimator.errors import AtError
from estimator.fields import Deviation, Distance, Document, Gauged, Length, Said
from estimator.units import UnitError, dimension_of

__all__ = ["Limits", "Readings"]

Angle = Annotated[float, Field(strict=True, ge=0, le=360, allow_inf_nan=False)]


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
    """Diameters or radii on clock x depth: one row a depth, one column a clock position. [m]"""

    kind: Literal["diameter", "radius"]
    clock: Annotated[tuple[Angle, ...], Field(min_length=1)]
    depth: Annotated[tuple[Distance, ...], Field(min_length=1)]
    values: Annotated[tuple[tuple[Length, ...], ...], Field(min_length=1)]
    unit: str | None = None
    temperature: Gauged | None = None

    @model_validator(mode="before")
    @classmethod
    def _said_once(cls, data: Any) -> Any:  # noqa: ANN401  # a raw document
        """Give the unit that was said once to every plain number of depth and values."""
        unit = data.get("unit") if isinstance(data, dict) else None
        if not isinstance(unit, str) or not _is_length(unit):
            return data
        plain = {key: data[key] for key in ("depth", "values") if isinstance(data.get(key), list)}
        return {**data, **{key: [_say(item, unit) for item in cells] for key, cells in plain.items()}}

    @field_validator("unit")
    @classmethod
    def _length_unit(cls, unit: str | None) -> str | None:
        if unit is not None and not _is_length(unit):
            raise ValueError(f'{unit!r} is no unit of length; write for instance "mm"')
        return unit

    @model_validator(mode="after")
    def _fits(self) -> Self:
        rows, columns = len(self.depth), len(self.clock)
        if len(self.values) != rows:
            raise AtError("values", f"{len(self.values)} rows for {rows} depths; one row a depth is due")
        for number, row in enumerate(self.values):
            if len(row) != columns:
                raise AtError(f"values.{number}", f"{len(row)} readings for {columns} clock positions; one each is due")
        turn = 180.0 if self.kind == "diameter" else 360.0
        if max(self.clock) > turn:
            raise AtError("clock", "a diameter's clock covers 0 to 180 degrees: its other end lies opposite")
        if len({angle % turn for angle in self.clock}) < columns:
            raise AtError("clock", f"two positions are the same ({turn:g} degrees is 0 again); keep one")
        if len(set(self.depth)) < rows:
            raise AtError("depth", "two depths are the same; keep one row a depth")
        return self


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
