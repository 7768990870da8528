"""The wall of a boss round the clock, where it is not the same all round. [SI; degrees]"""

from typing import Annotated, Self

from pydantic import Field, model_validator

from estimator.errors import AtError
from estimator.fields import Angle, Document, PartSize

__all__ = ["Walls"]


class Walls(Document):
    """Wall of the boss round the clock, where it is not the same all round."""

    clock: Annotated[tuple[Angle, ...], Field(min_length=1)]
    thickness: Annotated[tuple[PartSize, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _pairs(self) -> Self:
        if len(self.clock) != len(self.thickness):
            raise AtError("thickness", f"{len(self.thickness)} for {len(self.clock)} clock positions; one each is due")
        if len({angle % 360 for angle in self.clock}) < len(self.clock):
            raise AtError("clock", "two positions are the same (360 degrees is 0 again); keep one")
        return self

    def thinner(self, by: float) -> Self:
        """Return the walls to a bore that is larger by that much a side."""
        return self.model_copy(update={"thickness": tuple(wall - by for wall in self.thickness)})
