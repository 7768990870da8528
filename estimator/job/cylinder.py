"""What a bore and a worn step of one have in common: a size, its tolerance, and how its wear was measured. [SI]"""

from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Tag, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError
from estimator.fields import BoreSize, Document, Length, Name, PartSize
from estimator.job.measured import measured
from estimator.job.readings import Limits, Readings

__all__ = ["Cylinder"]

FAR_OFF = 0.05  # share of the nominal diameter

Tolerance = Annotated[
    Annotated[Name, Tag("<class>")] | Annotated[Limits, Tag("<limits>")],
    Discriminator(lambda value: "<limits>" if isinstance(value, dict | Limits) else "<class>"),
]


class Cylinder(Document):
    """A worn cylinder: its size as new, and readings or the worst diameter."""

    nominal_diameter: BoreSize
    length: PartSize
    tolerance: Tolerance = "H8"
    readings: Readings | None = None
    wear: Literal["one-sided", "even"] = "one-sided"
    worn_diameter: Length | None = None
    cleanup_diameter: Length | None = None

    @field_validator("tolerance", mode="before")
    @classmethod
    def _tolerance(cls, tolerance: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a raw document
        check = (info.context or {}).get("hole class")
        if isinstance(tolerance, str) and callable(check):
            check(tolerance, info.data.get("nominal_diameter"))
        elif not isinstance(tolerance, (str, dict)):
            raise ValueError('must be an ISO 286 hole class such as "H8", or {"lower": "0 mm", "upper": "0.054 mm"}')
        return tolerance

    @model_validator(mode="after")
    def _as_measured(self, info: ValidationInfo) -> Self:
        measured(self)
        _points_lie(self, info)
        _limits_near(self)
        return self


def _limits_near(one: Cylinder) -> None:
    """Raise `AtError` where limits are no deviations from the nominal size."""
    limits = one.tolerance
    if isinstance(limits, Limits) and max(abs(limits.lower), abs(limits.upper)) > FAR_OFF * one.nominal_diameter:
        raise AtError("tolerance", "lies far off the nominal size; give deviations from it, such as 0.054 mm")


def _points_lie(one: Cylinder, info: ValidationInfo) -> None:
    """Raise `AtError` where points do not lie about their bore; the check comes with the context."""
    check = (info.context or {}).get("points")
    if one.readings is not None and one.readings.kind == "points" and callable(check):
        check(one.readings, one.length, one.nominal_diameter)
