"""The totals of a job in the estimate document."""

from typing_extensions import TypedDict

from estimator.document.supplies import Consumption, supplies_shown
from estimator.express import all_shown
from estimator.formula import summed
from estimator.plans import Figures
from estimator.shop.supplies import SHOWN

__all__ = ["Totals", "totals_of"]


class DoorToDoor(TypedDict):
    """Hours of the whole job, from door to door, and who goes."""

    arc_time_min: float
    on_site_min: float
    once_min: float
    fire_watch_min: float
    used_wait_min: float
    away_wait_min: float
    travel_min: float
    labour_h: float
    elapsed_h: float
    overtime_h: float
    standing_h: float
    nights: int
    trips: int
    people: int


class Totals(Consumption, DoorToDoor):
    """The whole job."""


def totals_of(figures: Figures) -> Totals:
    """Return the totals of the job: sums of the bores, and the whole from door to door."""
    names = [f"bore {one.plan.survey.bore.name}" for one in figures.bores]
    used = {
        name: summed(name, unit, *(getattr(one.supplies, name) for one in figures.bores), of=names)
        for name, (_, unit) in SHOWN.items()
    }
    whole = figures.schedule
    hours = DoorToDoor(
        arc_time_min=summed("arc_time", "s", *(one.build.arc_time for one in figures.bores), of=names),
        on_site_min=whole.on_site,
        once_min=whole.once,
        fire_watch_min=whole.fire_watch,
        used_wait_min=whole.used_waits,
        away_wait_min=whole.away_wait,
        travel_min=whole.travel,
        labour_h=whole.labour,
        elapsed_h=whole.elapsed,
        overtime_h=whole.overtime,
        standing_h=whole.standing,
        nights=whole.nights,
        trips=whole.trips,
        people=whole.people,
    )
    return {**supplies_shown(used), **all_shown(hours)}
