"""What a bore has besides a plain cylinder, as it came in: sector, faces, grooves, gaps, holes, walls. [SI; degrees]"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from estimator.errors import AtError
from estimator.fields import Angle, Distance, Document, Length, PartSize

__all__ = ["Chamfer", "Face", "Groove", "Hole", "Keyway", "LugGap", "Sector", "Split", "Walls"]

Side = Literal["machine", "far"]


class Sector(Document):
    """A part of the clock; where `from` lies beyond `to` it runs across 0."""

    start: Annotated[Angle, Field(alias="from")]
    end: Annotated[Angle, Field(alias="to")]

    @model_validator(mode="after")
    def _some(self) -> Self:
        if self.start % 360 == self.end % 360:
            raise ValueError("from and to are the same place; leave the key out for the whole bore")
        return self

    @property
    def share(self) -> float:
        """Share of the clock it takes. [-]"""
        return ((self.end - self.start) % 360) / 360

    def holds(self, clock: float) -> bool:
        """Return whether a place on the clock lies in it."""
        return (clock - self.start) % 360 <= (self.end - self.start) % 360


class Face(Document):
    """A worn face of the boss: outer diameter of the ring, how deep it is worn, what it must run true to."""

    outer_diameter: PartSize
    depth: Length
    side: Side = "machine"
    runout: Length | None = None


class Groove(Document):
    """A grease or seal groove to be cut again: diameter at its bottom, width, where it begins."""

    kind: Literal["grease", "seal"] = "grease"
    diameter: PartSize
    width: Length
    at: Distance


class Keyway(Document):
    """A keyway that interrupts arc and cut."""

    width: Length
    depth: Length
    clock: Angle


class Split(Document):
    """The gap of a split boss, through the wall."""

    width: Length
    clock: Angle


class Hole(Document):
    """A grease hole to be kept open."""

    diameter: Length
    clock: Angle
    at: Distance


class Chamfer(Document):
    """A chamfer at one end: width along the axis, angle to the axis."""

    width: Length
    angle: Annotated[float, Field(strict=True, ge=10, le=80)] = 45.0
    side: Side = "machine"


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


class LugGap(Document):
    """The gap between two lugs, measured before and after welding, and how much of a change is allowed."""

    before: PartSize
    after: PartSize | None = None
    tolerance: Length | None = None
