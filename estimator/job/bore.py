"""One bore of a job as it came in: sizes, readings, steel, condition, and what is asked of the plan. [SI]"""

import re
from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, PrivateAttr, Strict, Tag, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError
from estimator.fields import Allowance, Distance, Document, Length, Money, Name, Plate, Roughness
from estimator.job.cylinder import Cylinder
from estimator.job.economics import in_the_books_currency
from estimator.job.features import Featured
from estimator.job.line import ClearRoom, Offset, Place
from estimator.job.options import Options, near
from estimator.job.plate import PlateAround
from estimator.job.readings import Frame
from estimator.job.steel import Certificate
from estimator.job.walls import Walls

__all__ = ["Bore", "Condition", "Step"]

MOST_PERCENT = 60
ROUGHLY = 1 - 1e-9  # a plate that ends with the boss ends where the boss does
MOST_HELD = 1000  # readings of a bore whose results are held on to
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


class Step(Cylinder):
    """A worn step or counterbore on the bore's axis: a diameter of its own, repaired in the same set-up."""

    side: Literal["machine", "far"] = "machine"


class Bore(Featured):
    """One worn bore: sizes, readings or the worst diameter, steel, what is asked of the plan."""

    name: Name
    material: Material
    certificate: Certificate | None = None
    roughness: Roughness | None = None
    axis: Literal["horizontal", "vertical"] = "horizontal"
    plate_thickness: Plate | None = None
    plate: PlateAround | None = None
    line: Name | None = None
    position: Distance | None = None
    offset: Offset | None = None
    original: Place = Place.plain()
    position_tolerance: Length | None = None
    blind: Annotated[bool, Strict()] = False
    clear_room: ClearRoom = ClearRoom.plain()
    mounts: Literal["welded", "clamped"] = "welded"
    condition: Condition = Condition.plain()
    cleanup_allowance: Allowance | None = None
    machining_allowance: Allowance | None = None
    steps: Annotated[tuple[Step, ...], Field(max_length=6)] = ()
    walls: Walls | None = None
    options: Options = Options.plain()
    price: Money | None = None
    _currency = field_validator("price")(in_the_books_currency)
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
        if known is not None and material not in known and material.strip().lower() in known:
            return material.strip().lower()
        if known is not None and material not in known and IRON.match(material):
            irons = ", ".join(IRONS)
            raise ValueError(
                f"{material!r} looks like cast iron, which is not welded: fit a sleeve or a new part; near: {irons}"
            )
        if known is not None and material not in known:
            raise ValueError(f"no steel named {material!r}; near: {near(material, known)}, or give its composition")
        return material

    @property
    def part_of(self) -> str | None:
        """Name of the bore whose step this is, if it is one."""
        return self._part_of

    @cached_property
    def mark(self) -> tuple[object, ...] | None:
        """What two bores have in common only if they are alike; None of one with too many readings to hold on to."""
        rows = () if self.readings is None else self.readings.values
        if sum(map(len, rows)) > MOST_HELD:
            return None
        return self.model_dump_json(warnings=False), self._part_of, repr(self._frame)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """Return a copy with some fields changed, and a mark of its own."""
        copied = super().model_copy(update=update, deep=deep)
        copied.__dict__.pop("mark", None)
        return copied

    @property
    def arm_frame(self) -> Frame | None:
        """Where the bore lies in the frame of a measuring arm, if its points stand in one."""
        own = self.readings.frame if self.readings is not None else None
        return own if isinstance(own, Frame) else self._frame

    def parts(self) -> tuple[Self, ...]:
        """Return the bore's worn steps as bores of their own, on its line, with its steel and condition."""
        found = []
        for number, step in enumerate(self.steps, 1):
            shed: dict[str, Any] = {name: field.get_default() for name, field in Featured.model_fields.items()}
            shed |= {name: getattr(step, name) for name in Cylinder.model_fields}
            shed |= {
                "outside_diameter": self.outside_diameter,
                "steps": (),
                "price": None,
                "options": self.options.model_copy(update={"by_hand": ()}),
                "line": self.line or self.lone_line,
            }
            name, larger = f"step {number} of {self.name}", (step.nominal_diameter - self.nominal_diameter) / 2
            shed["walls"] = None if self.walls is None else self.walls.thinner(larger)
            moved = -step.length if step.side == "machine" else self.length
            if self.position is not None:
                shed["position"] = self.position + moved
            shed["offset"] = None if self.offset is None else self.offset.along(moved)
            part = self.model_copy(update={**shed, "name": name})
            part._part_of = self.name
            part._frame = None if self.arm_frame is None else self.arm_frame.moved(moved)
            found.append(part)
        return tuple(found)

    @property
    def lone_line(self) -> str:
        """Name of the line of a bore that shares its axis with none."""
        return f"bore {self.name}"

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.certificate is not None and isinstance(self.material, dict):
            raise AtError("certificate", "goes beside a named steel; here the composition is given as material")
        _on_a_line(self)
        _steps_fit(self)
        _plate_fits(self)
        return self


def _on_a_line(bore: Bore) -> None:
    """Raise `AtError` where something is said of a bore's place on a line that it is not on."""
    framed = bore.arm_frame is not None
    for name in ("offset", "position_tolerance"):
        if getattr(bore, name) is not None and (bore.line is None or (bore.position is None and not framed)):
            raise AtError(name, "is from the wire of a line; say the line and the bore's position along it")
    if bore.original.model_fields_set and bore.line is None:
        raise AtError("original", "is from the wire of a line; say the line, or leave it out")
    for number, depth in enumerate(bore.offset.depth if bore.offset else ()):
        if depth > bore.length:
            raise AtError(f"offset.depth.{number}", "lies beyond the bore's length")
    if bore.blind:
        _closed(bore)


def _closed(bore: Bore) -> None:
    """Raise `AtError` where something is said of the far side of a bore that is closed there."""
    if bore.clear_room.far is not None:
        raise AtError("clear_room.far", "a blind bore has no room on its far side; leave it out, or say blind: false")
    if bore.options.ends == "run-off rings":
        raise AtError("options.ends", 'a closed end takes no ring; write "run over", or say blind: false')
    if bore.options.ends == "past the faces":
        raise AtError("options.ends", 'no bead runs past a closed end; write "run over", or say blind: false')
    cure = 'a blind bore is closed there; write "side": "machine", or say blind: false'
    for key, items in {**bore.kinds(), "steps": bore.steps}.items():
        for number, one in enumerate(items):
            if getattr(one, "side", "machine") == "far":
                raise AtError(f"{key}.{number}.side", cure)


def _steps_fit(bore: Bore) -> None:
    """Raise `AtError` where a step does not open outwards, or is the second on its side."""
    sides = [step.side for step in bore.steps]
    for number, step in enumerate(bore.steps):
        if step.nominal_diameter <= bore.nominal_diameter:
            raise AtError(f"steps.{number}.nominal_diameter", "must be larger than the bore's: a step opens outwards")
        if sides.index(step.side) < number:
            raise AtError(f"steps.{number}.side", 'a second step on this side; write "side": "far" for the other one')
        if bore.outside_diameter is not None and step.nominal_diameter >= bore.outside_diameter:
            raise AtError(f"steps.{number}.nominal_diameter", "is as wide as the boss: check outside_diameter")


def _plate_fits(bore: Bore) -> None:
    """Raise `AtError` where the plate's thickness is said twice, or it ends within the boss."""
    plate = bore.plate
    if plate is None:
        return
    if plate.thickness is not None and bore.plate_thickness not in {None, plate.thickness}:
        raise AtError("plate_thickness", "and plate.thickness say different things; keep plate.thickness")
    inner = bore.nominal_diameter if bore.outside_diameter is None else bore.outside_diameter
    if plate.reach is not None and 2 * plate.reach < inner * ROUGHLY:
        what = "the bore" if bore.outside_diameter is None else "the boss"
        raise AtError("plate.reach", f"ends within {what}; it goes from the bore's centre to the nearest free edge")


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
