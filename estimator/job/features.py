"""What a bore has besides a plain cylinder, as it came in: faces, grooves, gaps, holes, chamfers. [SI; degrees]

A kind of feature is a class: its fields, what its elements of work are counted per, and whether one fits the bore. It
is held under a key of `Featured`; whoever asks for features walks those, so that a kind is named nowhere else here.
"""

from collections.abc import Iterator, Sequence
from typing import Annotated, ClassVar, Literal, Self, get_args

from pydantic import Field, model_validator

from estimator.errors import AtError
from estimator.fields import Angle, Distance, Document, Length, PartSize
from estimator.job.cylinder import Cylinder

__all__ = [
    "PER_FEATURE",
    "Chamfer",
    "Face",
    "Featured",
    "Gap",
    "Groove",
    "Hole",
    "Item",
    "Keyway",
    "LugGap",
    "Sector",
    "Split",
]

Side = Literal["machine", "far"]
OF_A_SECTOR = ("bead", "return", "restart", "ground area", "pocket")
MOST = 20
MOST_POCKET, MOST_HOLE, MOST_CHAMFER = 2 / 3, 1 / 3, 1 / 4  # of the clock, of the diameter, of the length


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


class Item(Document):
    """One feature of a bore: what its elements of work are counted per, and whether it stops the arc on every turn."""

    per: ClassVar[str]
    interrupts: ClassVar[bool] = False

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError`, at a key of the feature, where it does not fit its bore."""

    @classmethod
    def together(cls, items: Sequence[Self]) -> Iterator[tuple[int, str, str]]:
        """Yield what is wrong between features of this kind: number, key, and what to do."""
        del items
        return iter(())


class Sided(Item):
    """A feature at one end of the bore, one a side."""

    side: Side = "machine"

    @classmethod
    def together(cls, items: Sequence[Self]) -> Iterator[tuple[int, str, str]]:
        """Yield that two of a kind lie on one side."""
        if len({item.side for item in items}) < len(items):
            yield 1, "side", f'two {cls.per}s lie on one side; write "side": "far" for the one opposite the machine'


class Face(Sided):
    """A worn face of the boss: outer diameter of the ring, how deep it is worn, what it must run true to."""

    per: ClassVar[str] = "face"
    outer_diameter: PartSize
    depth: Length
    runout: Length | None = None

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError` where the face has no width."""
        if self.outer_diameter <= bore.nominal_diameter:
            raise AtError("outer_diameter", "must be larger than nominal_diameter")


class Groove(Item):
    """A grease or seal groove to be cut again: diameter at its bottom, width, where it begins."""

    per: ClassVar[str] = "groove"
    kind: Literal["grease", "seal"] = "grease"
    diameter: PartSize
    width: Length
    at: Distance

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError` where the groove is none, goes through the boss or lies beyond the bore."""
        if self.diameter <= 1.01 * bore.nominal_diameter:
            raise AtError("diameter", "is the diameter at the groove's bottom: above nominal_diameter")
        if bore.outside_diameter is not None and self.diameter >= bore.outside_diameter:
            raise AtError("diameter", "goes through the boss: check outside_diameter")
        if self.at + self.width > bore.length:
            raise AtError("at", "lies beyond the bore's length; it counts from the machine's face")

    @classmethod
    def together(cls, items: Sequence[Self]) -> Iterator[tuple[int, str, str]]:
        """Yield where a groove overlaps one before it."""
        for number, one in enumerate(items):
            if any(one.at < other.at + other.width and other.at < one.at + one.width for other in items[:number]):
                yield number, "at", "overlaps another groove"


class Gap(Item):
    """A gap along the bore that interrupts arc and cut."""

    interrupts: ClassVar[bool] = True
    width: Length
    clock: Angle

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError` where the gap is too wide for the bore."""
        if self.width > bore.nominal_diameter / 2:
            raise AtError("width", "is more than half of nominal_diameter")


class Keyway(Gap):
    """A keyway that interrupts arc and cut."""

    per: ClassVar[str] = "keyway"
    depth: Length

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError` where the keyway is too wide, or goes through the wall."""
        super().fits(bore)
        if bore.outside_diameter is not None and self.depth >= (bore.outside_diameter - bore.nominal_diameter) / 2:
            raise AtError("depth", "goes through the wall of the boss")


class Split(Gap):
    """The gap of a split boss, through the wall."""

    per: ClassVar[str] = "split"


class Hole(Item):
    """A grease hole to be kept open."""

    per: ClassVar[str] = "grease hole"
    diameter: Length
    clock: Angle
    at: Distance

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError` where the hole lies beyond the bore or is too large for it."""
        if self.at > bore.length:
            raise AtError("at", "lies beyond the bore's length")
        if self.diameter > MOST_HOLE * bore.nominal_diameter:
            raise AtError("diameter", "is more than a third of nominal_diameter")


class Chamfer(Sided):
    """A chamfer at one end: width along the axis, angle to the axis."""

    per: ClassVar[str] = "chamfer"
    width: Length
    angle: Annotated[float, Field(strict=True, ge=10, le=80)] = 45.0

    def fits(self, bore: "Featured") -> None:
        """Raise `AtError` where the chamfer takes too much of the bore's length."""
        if self.width > MOST_CHAMFER * bore.length:
            raise AtError("width", "is more than a quarter of the bore's length")


class LugGap(Item):
    """The gap between two lugs, measured before and after welding, and how much of a change is allowed."""

    per: ClassVar[str] = "lug gap"
    before: PartSize
    after: PartSize | None = None
    tolerance: Length | None = None


class Featured(Cylinder):
    """A worn cylinder in a boss, and what it has besides; a step of it has none of this."""

    outside_diameter: PartSize | None = None
    sector: Sector | None = None
    pocket: Sector | None = None
    faces: Annotated[tuple[Face, ...], Field(max_length=2)] = ()
    grooves: Annotated[tuple[Groove, ...], Field(max_length=MOST)] = ()
    keyways: Annotated[tuple[Keyway, ...], Field(max_length=4)] = ()
    splits: Annotated[tuple[Split, ...], Field(max_length=2)] = ()
    grease_holes: Annotated[tuple[Hole, ...], Field(max_length=MOST)] = ()
    chamfers: Annotated[tuple[Chamfer, ...], Field(max_length=2)] = ()
    lug_gap: LugGap | None = None

    def kinds(self) -> dict[str, tuple[Item, ...]]:
        """Return the features under each key that holds some kind of them, also where there are none."""
        held = {key: getattr(self, key) for key in FEATURES}
        return {key: one if isinstance(one, tuple) else () if one is None else (one,) for key, one in held.items()}

    def items(self) -> tuple[Item, ...]:
        """Return every feature, kind by kind."""
        return tuple(item for items in self.kinds().values() for item in items)

    @model_validator(mode="after")
    def _features_fit(self) -> Self:
        if self.outside_diameter is not None and self.outside_diameter <= self.nominal_diameter:
            raise AtError("outside_diameter", "must be larger than nominal_diameter")
        _pocket_fits(self)
        for key, items in self.kinds().items():
            place = f"{key}.{{}}." if isinstance(getattr(self, key), tuple) else f"{key}."
            for number, item in enumerate(items):
                try:
                    item.fits(self)
                except AtError as error:
                    raise AtError(place.format(number) + error.path, str(error)) from None
            for number, wrong, said in FEATURES[key].together(items):
                raise AtError(place.format(number) + wrong, said)
        return self


def _pocket_fits(bore: Featured) -> None:
    """Raise `AtError` where a pocket is one part of the clock too many, or was not seen in the readings."""
    if bore.pocket is None:
        return
    if bore.sector is not None:
        raise AtError("pocket", "a bore is built up in a sector, or after a pocket is filled; keep one of them")
    if bore.readings is None or bore.readings.kind not in ("radius", "points"):
        raise AtError("pocket", "needs radii or points: a diameter does not say on which side the wear lies")
    if bore.pocket.share > MOST_POCKET:
        raise AtError("pocket", "takes more than two thirds of the clock: build the bore up all round instead")


def _kind_in(annotation: object) -> type[Item] | None:
    """Return the kind of feature that a field holds, or None where it holds something else."""
    if isinstance(annotation, type) and issubclass(annotation, Item):
        return annotation
    return next((kind for part in get_args(annotation) if (kind := _kind_in(part))), None)


FEATURES = {key: kind for key, field in Featured.model_fields.items() if (kind := _kind_in(field.annotation))}
PER_FEATURE = (*OF_A_SECTOR, *(kind.per for kind in FEATURES.values()))
