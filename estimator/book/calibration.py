"""What a shop's own jobs have taught, as it lies in its price book: by element and group how many times the book's."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from estimator.errors import AtError
from estimator.fields import Document, Name
from estimator.formula import formula, leaf

__all__ = ["ALL", "ELEMENTS", "Calibration", "Learnt", "as_learnt", "by_shop", "own_ratio", "shop_factors"]

ALL = "all"
TIMES = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")
ELEMENTS = (*TIMES, "wire", "gas")
MOST, MOST_FACTORS = 10.0, 500
Element = Literal[
    "setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown", "wire", "gas"
]  # fmt: skip
Ratio = Annotated[float, Field(strict=True, gt=0, le=MOST, allow_inf_nan=False)]


class Learnt(Document):
    """How many times the book's an element takes in a group of jobs, and the 95 % band of that.

    `scatter`: standard deviation of the logarithm of one job's ratio; without it only the band is in doubt.
    """

    element: Element
    group: Name = ALL
    jobs: Annotated[int, Field(strict=True, ge=1)]
    ratio: Ratio
    low: Ratio
    high: Ratio
    scatter: Annotated[float, Field(strict=True, ge=0, le=2, allow_inf_nan=False)] = 0.0

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not self.low <= self.ratio <= self.high:
            raise AtError("ratio", "must lie between low and high")
        return self


class Calibration(Document):
    """A calibration as `learn` writes it; what was tested and asked about beside its factors is not used.

    `version`: as the store counts it; `crew`, `rig`: for whom and with what is estimated, where groups of these differ.
    """

    version: Annotated[int, Field(strict=True, ge=1)] | None = None
    crew: Name | None = None
    rig: Name | None = None
    jobs: Annotated[int, Field(strict=True, ge=0)] = 0
    factors: Annotated[tuple[Learnt, ...], Field(max_length=MOST_FACTORS)] = ()
    drift: list[Any] = Field(default_factory=list)
    back_test: dict[str, Any] = Field(default_factory=dict)
    asked_about: list[Any] = Field(default_factory=list)

    @model_validator(mode="after")
    def _once(self) -> Self:
        seen = set[tuple[str, str]]()
        for number, one in enumerate(self.factors):
            if (one.element, one.group) in seen:
                raise AtError(f"factors.{number}", f"{one.element} of {one.group} is given twice")
            seen.add((one.element, one.group))
        return self

    def kept(self, version: int | None = None) -> dict[str, Any]:
        """Return what of it a book keeps; `version`: as the store counts it, else as it says itself."""
        said = self.version if version is None else version
        own = self.model_dump(include={"crew", "rig", "jobs", "factors"}, exclude_none=True, mode="json")
        return own | ({} if said is None else {"version": said})

    def of(self, element: str, wire: str, position: str) -> Iterator[Learnt]:
        """Yield the factors that hold of an element where a wire and a position are welded with: all jobs' first."""
        groups = (ALL, f"wire: {wire}", f"position: {position}", f"crew: {self.crew}", f"rig: {self.rig}")
        known = {one.group: one for one in self.factors if one.element == element}
        return (known[group] for group in groups if group in known)


@formula("shop_factor", "definition: the group's ratio over that of all jobs", "computed")
def own_ratio(shop_factor: float, group_ratio: float, all_ratio: float) -> float:
    """How many times the book's an element takes, one group more being known. [-]"""
    return shop_factor * group_ratio / all_ratio


@formula("shop_factor", "definition: the shop's, times the day's own", "computed")
def on_day(shop_factor: float, day_factor: float) -> float:
    """How many times the book's an element takes on a day. [-]"""
    return shop_factor * day_factor


@formula("as_learnt", "definition: as estimated by the book, times what recorded jobs took over that", "computed")
def as_learnt(amount: float, shop_factor: float) -> float:
    """What this shop takes of an element. [as the amount]"""
    return amount * shop_factor


def by_shop(amount: float, element: str, factors: Mapping[str, float]) -> float:
    """Return what this shop takes of an element; as the book says where nothing was learnt of it. [as the amount]"""
    return as_learnt(amount, factors[element]) if element in factors else amount


def shop_factors(
    calibration: Calibration | None, wire: str, position: str, day: Mapping[str, float]
) -> Mapping[str, float]:
    """Return by how much each element of a bore is multiplied; nothing for elements that are as the book says.

    `day`: by element what the day takes over what such days take. [-]
    """
    if calibration is None:
        return {}
    found: dict[str, float] = {}
    for element in ELEMENTS:
        each = list(calibration.of(element, wire, position))
        if not each:
            continue
        whole = next((_told(one) for one in each if one.group == ALL), leaf(1.0, "fact", "ratio", "as the book says"))
        factor = whole
        for one in each:
            factor = factor if one.group == ALL else own_ratio(factor, _told(one), whole)
        found[element] = on_day(factor, day[element]) if element in day else factor
    return found


def _told(one: Learnt) -> float:
    """Return a ratio that knows from how many jobs it comes."""
    said = f"calibration: {one.element} of {one.group}, {one.jobs} jobs, {one.low:.2f} to {one.high:.2f}"
    return leaf(one.ratio, "price", "ratio", said)
