"""Rows about work on site: how long an element takes, and what the place and the weather make of it."""

from typing import Annotated, ClassVar, Literal, Self, get_args

from pydantic import Field, model_validator

from estimator.errors import AtError
from estimator.fields import AnyQuantity, Fraction, Length, Road, Wait
from estimator.tables.row import Row

__all__ = [
    "OF_A_LINE", "PLAIN", "Access", "Doubt", "Event", "FinishGrade", "RoadPart", "TimeStandard",
    "Weather", "When", "YesNo",
]  # fmt: skip

YesNo = Literal["yes", "no"]
When = Literal[
    "always",
    "preheat",
    "coated",
    "welded mounts",
    "clamped mounts",
    "blind",
    "warm mounts",
    "cracks unknown",
    "slow cooling",
    "windy",
    "warm gauging",
    "honing",
]
BORE_BY_BORE = ("preheat", "slow cooling", "warm gauging", "honing")
OfAJob = Literal["job", "day", "wire change", "gas change"]
OfABore = Literal[
    "bore",
    "metre",
    "gap",
    "layer",
    "slag layer",
    "skim",
    "precut pass",
    "finish pass",
    "pass",
    "clean-up",
    "gauging stop",
    "end",
    "past end",
    "ring",
]
OF_A_JOB: tuple[str, ...] = get_args(OfAJob)
OF_A_LINE: tuple[str, ...] = ("line", "bearing")
PLAIN: tuple[str, ...] = (*OF_A_JOB, *OF_A_LINE, *get_args(OfABore))


class TimeStandard(Row):
    """How long one element of work takes, and once per what.

    `duration` is the likely time, the one that is planned with; `low` and `high` are the ends of what is met with.
    `basis`: one of `PLAIN`, or what the features of a kind are counted per.
    `hot`: arc, flame or sparks; `hand`: takes longer where access or weather is bad, and goes quicker the second time.
    """

    key_field: ClassVar[str] = "code"
    sheds: ClassVar[dict[str, tuple[str, ...]]] = {"duration": ("low", "high")}
    code: str
    phase: Literal["job", "setup", "precut", "preheat", "weld", "finish", "inspection", "teardown"]
    basis: str
    when: When
    low: Wait | None = None
    duration: Wait
    high: Wait | None = None
    hand: YesNo
    hot: YesNo = "no"
    meaning: str

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low is not None and self.low > self.duration:
            raise AtError("low", "must not be above duration, the likely time")
        if self.high is not None and self.high < self.duration:
            raise AtError("high", "must not be below duration, the likely time")
        return self

    @model_validator(mode="after")
    def _counted(self) -> Self:
        if (self.phase == "job") != (self.basis in OF_A_JOB):
            raise AtError(
                "phase", f"an element of the phase job is counted per {', '.join(OF_A_JOB)}, any other is not"
            )
        if self.when != "always" and (self.basis in OF_A_JOB or self.basis not in PLAIN):
            raise AtError("when", f"an element counted per {self.basis} is always done where there is one")
        if self.when in BORE_BY_BORE and self.basis in OF_A_LINE:
            raise AtError("when", f"{self.when} is decided bore by bore; count the element per bore")
        return self


class FinishGrade(Row):
    """What a tolerance grade asks of finishing: semi-finishing passes, stops to gauge beside the usual ones."""

    name: str
    semi: Annotated[int, Field(ge=0, le=1)]
    stops: Annotated[int, Field(ge=0, le=20)]
    meaning: str


class Access(Row):
    """How much longer hand work takes."""

    name: str
    factor: Annotated[float, Field(ge=1, le=10)]
    meaning: str


class RoadPart(Row):
    """How quick the part of a way is that lies so far from home, as a share of the book's speed."""

    name: str
    above: Road
    up_to: Road
    share: Annotated[float, Field(gt=0.1, le=5)]
    meaning: str


class Weather(Row):
    """How much longer hand work takes outdoors: in a range of temperature or wind, upper end included."""

    name: str
    quantity: Literal["temperature", "wind"]
    above: AnyQuantity
    up_to: AnyQuantity
    factor: Annotated[float, Field(ge=1, le=10)]
    meaning: str

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.up_to <= self.above:
            raise AtError("up_to", "must be above the lower end")
        return self


Factor = Annotated[float, Field(strict=True, ge=0, le=100, allow_inf_nan=False)]
OfADay = Literal[
    "pace",
    "efficiency",
    "wire_loss",
    "arc_between_stops",
    "purge_time",
    "leak_flow",
    "test_bead_arc",
    "tip_life",
    "nozzle_life",
    "edge_life",
    "burner_power",
    "emissivity",
    "road_speed",
    "wind",
]


class Doubt(Row):
    """A number of the day that may come out otherwise: which, and what its middle is multiplied by at the ends.

    `group`: the doubt that it is told under; `of`: the number's name among the day's, or `pace` of all work by hand.
    """

    key_field: ClassVar[str] = "code"
    code: str
    group: Literal["crew", "wire", "gas", "parts", "heat", "road"]
    of: OfADay
    low: Factor
    likely: Factor
    high: Factor
    meaning: str

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.low <= self.likely <= self.high:
            raise AtError("likely", "must lie between low and high")
        if self.low <= 0 and self.of != "wind":
            raise AtError("low", "must be above 0")
        return self


class Event(Row):
    """Something that happens or does not, for which the job is planned anew: when, how likely, how much deeper."""

    key_field: ClassVar[str] = "code"
    code: str
    when: Literal["gauged", "guessed"]
    chance: Fraction
    deeper: Length | None = None
    meaning: str


class Learning(Row):
    """How far shops lie from the book in one element, and how far one shop's jobs scatter.

    Both are standard deviations of the logarithm of recorded over estimated.
    """

    key_field: ClassVar[str] = "element"
    element: str
    shops: Annotated[float, Field(gt=0, le=2)]
    scatter: Annotated[float, Field(gt=0, le=2)]
    meaning: str
