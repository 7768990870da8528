"""One bore of a job as it came in: sizes, readings, steel, condition, and what is asked of the plan. [SI]"""

import re
from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, PrivateAttr, Strict, Tag, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError
from estimator.fields import Allowance, BoreSize, Distance, Document, Length, Name, PartSize, Plate, Roughness
from estimator.job.features import Chamfer, Face, Groove, Hole, Keyway, LugGap, Sector, Split, Walls
from estimator.job.fit import features_fit, on_a_line
from estimator.job.line import ClearRoom, Offset, Place
from estimator.job.measured import measured
from estimator.job.options import Options, near
from estimator.job.readings import Frame, Limits, Readings
from estimator.job.steel import Certificate

__all__ = ["Bore", "Condition", "Options", "Step"]

MOST_PERCENT, MOST_FEATURES = 60, 20
FAR_OFF = 0.05  # share of the nominal diameter
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
    certificate: Certificate | None = None
    tolerance: Tolerance = "H8"
    roughness: Roughness | None = None
    axis: Literal["horizontal", "vertical"] = "horizontal"
    outside_diameter: PartSize | None = None
    plate_thickness: Plate | None = None
    line: Name | None = None
    position: Distance | None = None
    offset: Offset | None = None
    original: Place = Place()
    position_tolerance: Length | None = None
    blind: Annotated[bool, Strict()] = False
    clear_room: ClearRoom = ClearRoom()
    mounts: Literal["welded", "clamped"] = "welded"
    condition: Condition = Condition()
    readings: Readings | None = None
    wear: Literal["one-sided", "even"] = "one-sided"
    worn_diameter: Length | None = None
    cleanup_diameter: Length | None = None
    cleanup_allowance: Allowance | None = None
    machining_allowance: Allowance | None = None
    sector: Sector | None = None
    pocket: Sector | None = None
    faces: Annotated[tuple[Face, ...], Field(max_length=2)] = ()
    steps: Annotated[tuple["Step", ...], Field(max_length=6)] = ()
    grooves: Annotated[tuple[Groove, ...], Field(max_length=MOST_FEATURES)] = ()
    keyways: Annotated[tuple[Keyway, ...], Field(max_length=4)] = ()
    splits: Annotated[tuple[Split, ...], Field(max_length=2)] = ()
    grease_holes: Annotated[tuple[Hole, ...], Field(max_length=MOST_FEATURES)] = ()
    chamfers: Annotated[tuple[Chamfer, ...], Field(max_length=2)] = ()
    walls: Walls | None = None
    lug_gap: LugGap | None = None
    options: Options = Options()
    _part_of: str | None = PrivateAttr(default=None)
    _frame: Frame | None = PrivateAttr(default=None)

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
            raise ValueError(f"no steel named {material!r}; near: {near(material, known)}, or give its composition")
        return material

    @field_validator("tolerance", mode="before")
    @classmethod
    def _tolerance(cls, tolerance: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a raw document
        return _checked_tolerance(tolerance, info)

    @property
    def part_of(self) -> str | None:
        """Name of the bore whose step this is, if it is one."""
        return self._part_of

    @property
    def arm_frame(self) -> Frame | None:
        """Where the bore lies in the frame of a measuring arm, if its points stand in one."""
        own = self.readings.frame if self.readings is not None else None
        return own if isinstance(own, Frame) else self._frame

    def parts(self) -> tuple[Self, ...]:
        """Return the bore's worn steps as bores of their own, on its line, with its steel and condition."""
        found = []
        for number, step in enumerate(self.steps, 1):
            own = {name: getattr(step, name) for name in type(step).model_fields if name != "side"}
            shed: dict[str, Any] = {
                "sector": None,
                "pocket": None,
                "steps": (),
                "lug_gap": None,
                "options": self.options.model_copy(update={"by_hand": ()}),
                "line": self.line or self.lone_line,
            }
            shed |= dict.fromkeys(("faces", "grooves", "keyways", "splits", "grease_holes", "chamfers"), ())
            name, larger = f"step {number} of {self.name}", (step.nominal_diameter - self.nominal_diameter) / 2
            shed["walls"] = None if self.walls is None else self.walls.thinner(larger)
            moved = -step.length if step.side == "machine" else self.length
            if self.position is not None:
                shed["position"] = self.position + moved
            shed["offset"] = None if self.offset is None else self.offset.along(moved)
            part = self.model_copy(update={**own, **shed, "name": name, "cleanup_diameter": step.cleanup_diameter})
            part._part_of = self.name
            part._frame = None if self.arm_frame is None else self.arm_frame.moved(moved)
            found.append(part)
        return tuple(found)

    @property
    def lone_line(self) -> str:
        """Name of the line of a bore that shares its axis with none."""
        return f"bore {self.name}"

    @model_validator(mode="after")
    def _consistent(self, info: ValidationInfo) -> Self:
        measured(self)
        _points_lie(self, info)
        _limits_near(self)
        if self.outside_diameter is not None and self.outside_diameter <= self.nominal_diameter:
            raise AtError("outside_diameter", "must be larger than nominal_diameter")
        if self.certificate is not None and isinstance(self.material, dict):
            raise AtError("certificate", "goes beside a named steel; here the composition is given as material")
        on_a_line(self)
        features_fit(self)
        return self


class Step(Document):
    """A worn step or counterbore on the bore's axis: a diameter of its own, repaired in the same set-up."""

    nominal_diameter: BoreSize
    length: PartSize
    side: Literal["machine", "far"] = "machine"
    tolerance: Tolerance = "H8"
    readings: Readings | None = None
    worn_diameter: Length | None = None
    wear: Literal["one-sided", "even"] = "one-sided"
    cleanup_diameter: Length | None = None

    @field_validator("tolerance", mode="before")
    @classmethod
    def _tolerance(cls, tolerance: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a raw document
        return _checked_tolerance(tolerance, info)

    @model_validator(mode="after")
    def _consistent(self, info: ValidationInfo) -> Self:
        measured(self)
        _limits_near(self)
        _points_lie(self, info)
        return self


def _checked_tolerance(tolerance: Any, info: ValidationInfo) -> Any:  # noqa: ANN401  # a raw document
    """Return a tolerance as it came; raise `ValueError` unless it is a hole class of that size, or limits."""
    check = (info.context or {}).get("hole class")
    if isinstance(tolerance, str) and callable(check):
        check(tolerance, info.data.get("nominal_diameter"))
    elif not isinstance(tolerance, str | dict):
        raise ValueError('must be an ISO 286 hole class such as "H8", or {"lower": "0 mm", "upper": "0.054 mm"}')
    return tolerance


def _limits_near(bore: "Bore | Step") -> None:
    """Raise `AtError` where limits are no deviations from the nominal size."""
    limits = bore.tolerance
    if isinstance(limits, Limits) and max(abs(limits.lower), abs(limits.upper)) > FAR_OFF * bore.nominal_diameter:
        raise AtError("tolerance", "lies far off the nominal size; give deviations from it, such as 0.054 mm")


def _points_lie(bore: "Bore | Step", info: ValidationInfo) -> None:
    """Raise `AtError` where points do not lie about their bore; the check comes with the context."""
    check = (info.context or {}).get("points")
    if bore.readings is not None and bore.readings.kind == "points" and callable(check):
        check(bore.readings, bore.length, bore.nominal_diameter)


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


Bore.model_rebuild()
