"""The plate round a boss in the estimate document: where it ends, whether that was told, what it may be if not."""

from typing import NotRequired

from typing_extensions import TypedDict

from estimator.express import all_shown
from estimator.inputs import Inputs
from estimator.plans import BoreFigures
from estimator.steps.warmth import were_it
from estimator.tables import Tables
from estimator.tables.rows import PlateEnds
from estimator.weld.around import BEST, WORST

__all__ = ["MayBe", "Plate", "plate_of"]


class MayBe(TypedDict):
    """What waits and cooling would be did the plate end on other sides, as near."""

    ends: str
    plainly: str
    interpass_wait_min: float
    cooldown_min: float


class Plate(TypedDict):
    """Where the plate round a boss ends; `may_be`: the best and the worst case where nobody said, if asked for."""

    plate_thickness_mm: float
    plates: int
    ends: str
    plainly: str
    plate_reach_mm: float | None
    plate_neck_mm: float | None
    assumed: bool
    may_be: NotRequired[list[MayBe]]


def plate_of(one: BoreFigures, facts: Tables, inputs: Inputs) -> Plate:
    """Return the plate round a bore's boss."""
    around, asked = one.plan.heat.boss.around, one.plan.weld.beside is not None
    cases = (BEST, WORST) if asked and not around.told else ()
    found = all_shown(
        Plate(
            plate_thickness_mm=around.thickness,
            plates=around.plates,
            ends=around.ends,
            plainly=_plainly(around.ends, facts),
            plate_reach_mm=around.reach or None,
            plate_neck_mm=around.neck or None,
            assumed=not around.told,
            may_be=[_may_be(one, ends, facts, inputs) for ends in cases],
        )
    )
    if not asked:
        del found["may_be"]
    return found


def _plainly(ends: str, facts: Tables) -> str:
    return facts.row("plate_ends", ends, PlateEnds).plainly


def _may_be(one: BoreFigures, ends: str, facts: Tables, inputs: Inputs) -> MayBe:
    heat = were_it(one, ends, facts, inputs)
    return all_shown(
        MayBe(
            ends=ends,
            plainly=_plainly(ends, facts),
            interpass_wait_min=heat.interpass_wait,
            cooldown_min=heat.cooldown,
        )
    )
