"""The job as a whole: its tasks, the order of work that was chosen, and how it falls into days."""

import datetime
from collections.abc import Sequence

from estimator.book.pricebook import WEEK, PriceBook
from estimator.days import schedule
from estimator.days.calendar import Arrangement, Road
from estimator.days.crew import Crew, arranged
from estimator.days.durations import durations_of
from estimator.days.tasks import Station, Task, tasks_of
from estimator.formula import leaf, summed
from estimator.inputs import Inputs
from estimator.job.job import Job
from estimator.plans import BoreFigures, BorePlan, Plan
from estimator.shop.standards import bore_elements, line_elements, standards_in
from estimator.shop.time import daily_times, job_once
from estimator.tables import Tables

__all__ = ["arranged_for", "boss_of", "crew_of", "rearranged", "scheduled", "works_on"]


def crew_of(job: Job, book: PriceBook) -> Crew:
    """Return who goes: the book's crew, and an attendant where the space is confined."""
    extra = int(book.facts.constant("attendant")) if job.site.access == "confined" else 0
    return Crew(book.crew, extra, book.equipment.sets)


def boss_of(bore: BorePlan) -> str:
    """Return the name of the boss that a bore or step is in."""
    return bore.survey.bore.part_of or bore.survey.bore.name


def arranged_for(
    job: Job,
    book: PriceBook,
    bores: Sequence[BorePlan],
    figures: Sequence[BoreFigures],
    changes: dict[str, int],
    inputs: Inputs,
    crew: Crew,
) -> Arrangement:
    """Return the order of work chosen for a crew."""
    stations = [
        Station(
            one.survey.bore.name,
            one.line,
            boss_of(one),
            one.weld.wire.name,
            one.weld.gas.name,
            one.survey.bore.mounts == "clamped",
            _hot(one, book.facts, inputs),
            frozenset(each.phase for each in line_elements(one.counts, book.facts, inputs) if each.hot),
        )
        for one in bores
    ]
    tasks = tasks_of(stations)
    durations = _durations(tasks, bores, figures, changes, book, inputs)
    return arranged(tasks, durations, crew, float(job.site.distance), _days(job, book, inputs), book)


def _hot(bore: BorePlan, facts: Tables, inputs: Inputs) -> frozenset[str]:
    """Return the phases in which a bore of its own asks for a flame, an arc or sparks."""
    found = {each.phase for each in bore_elements(bore.counts, facts, inputs) if each.hot}
    for feature in bore.features:
        found |= {"precut"} if feature.code == "pocket" or feature.ground > 0 else set()
        found |= {row.phase for row in standards_in(facts) if row.hot == "yes" and feature.counts.get(row.basis)}
    return frozenset(found)


def _durations(
    tasks: Sequence[Task],
    bores: Sequence[BorePlan],
    figures: Sequence[BoreFigures],
    changes: dict[str, int],
    book: PriceBook,
    inputs: Inputs,
) -> list[float]:
    lines = {one.line: one.counts for one in reversed(bores)}
    once = job_once(changes, book.facts, inputs)
    return durations_of(tasks, [one.time for one in figures], lines, once, book.facts, inputs)


def _days(job: Job, book: PriceBook, inputs: Inputs) -> Road:
    """Return the way to the site and the hours of a day."""
    way = float(job.site.distance) / inputs.road_speed
    opening, closing = daily_times(book.facts, inputs)
    shift, day = book.number("shift_length"), book.facts.constant("day")
    return Road(way, shift, day, inputs.fire_watch, opening, closing, _week(job, book))


def works_on(date: str, book: PriceBook) -> bool:
    """Return whether a date is one of the book's days of work."""
    return WEEK[datetime.date.fromisoformat(date).weekday()] in book.work_days


def _week(job: Job, book: PriceBook) -> tuple[bool, ...]:
    """Return which days of a week are worked, from the day on that the job starts; none where that is not said."""
    if job.start is None:
        return ()
    first = datetime.date.fromisoformat(job.start).weekday()
    return tuple(WEEK[(first + n) % len(WEEK)] in book.work_days for n in range(len(WEEK)))


def rearranged(plan: Plan, crew: Crew) -> Arrangement:
    """Return the order of work of another crew."""
    inputs, figures = plan.seen
    return arranged_for(plan.job, plan.book, plan.bores, figures, plan.changes, inputs, crew)


def scheduled(plan: Plan, one: Arrangement, figures: Sequence[BoreFigures], inputs: Inputs) -> schedule.Schedule:
    """Return the whole job from door to door in an order of work."""
    once = job_once(plan.changes, plan.book.facts, inputs)
    bores = summed("bores", "s", *(each.time.total for each in figures))
    idle = summed("cooldown", "s", *(each.time.cooldown for each in figures))
    durations = _durations(one.tasks, plan.bores, figures, plan.changes, plan.book, inputs)
    distance = leaf(float(plan.job.site.distance), "given", "site.distance", "distance to the site, one way", unit="m")
    road = _days(plan.job, plan.book, inputs)
    return schedule.schedule_of(
        one, durations, bores, idle, once.work, once.fire_watch, distance, inputs.road_speed, road
    )
