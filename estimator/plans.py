"""What the road hands on: all that was decided, of a bore and of a job, and all that follows."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from estimator.book.pricebook import PriceBook
from estimator.bore.line import LineAxis
from estimator.bore.survey import Survey
from estimator.cut.passes import CutPlan
from estimator.cut.setup import Setup
from estimator.features.feature import Feature
from estimator.features.figures import FeatureFigures
from estimator.inputs import Inputs
from estimator.job.job import Job
from estimator.shop.remedy import Remedy
from estimator.shop.supplies import Supplies
from estimator.shop.time import BoreTime, Counts
from estimator.tables.messages import Message
from estimator.weld.build import Build
from estimator.weld.course import HeatFigures
from estimator.weld.plan import WeldPlan
from estimator.weld.preheat import HeatPlan
from estimator.weld.steel import Base

if TYPE_CHECKING:
    from estimator.days.schedule import Schedule

__all__ = ["BoreFigures", "BorePlan", "Figures", "Plan"]


@dataclass(frozen=True)
class BorePlan:
    """All that was decided for one bore."""

    survey: Survey
    base: Base
    weld: WeldPlan
    heat: HeatPlan
    cut: CutPlan
    counts: Counts
    line: str
    features: tuple[Feature, ...]
    setup: Setup


@dataclass(frozen=True)
class Plan:
    """All that was decided for a job; `day`: the one that it was planned for, one number each."""

    job: Job
    book: PriceBook
    bores: tuple[BorePlan, ...]
    changes: dict[str, int]
    warnings: tuple[Message, ...]
    lines: tuple[LineAxis, ...]
    day: Inputs


@dataclass(frozen=True)
class BoreFigures:
    """All that follows for one bore. [SI]"""

    plan: BorePlan
    build: Build
    heat: HeatFigures
    time: BoreTime
    supplies: Supplies
    precut_volume: float
    finish_volume: float
    wait_saving: float
    features: tuple[FeatureFigures, ...]
    remedy: Remedy | None
    chips: float


@dataclass(frozen=True)
class Figures:
    """All that follows for a job. [SI]"""

    plan: Plan
    bores: tuple[BoreFigures, ...]
    schedule: "Schedule"
    inputs: Inputs
