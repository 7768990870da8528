"""The job as a whole: its tasks, the order of work that was chosen, and how it falls into days."""

import datetime
import functools
from collections.abc import Callable, Iterator, Sequence

from estimator.book.pricebook import WEEK, PriceBook
from estimator.days import schedule
from estimator.days.calendar import Arrangement, Road
from estimator.days.crew import Crew, in_order, ways_of
from estimator.days.durations import durations_of
from estimator.days.schedule import slowed_part
from estimator.days.taken import taken_in_order
from estimator.days.tasks import Station, Task, tasks_of
from estimator.formula import leaf, summed
from estimator.inputs import Inputs
from estimator.job.job import Job
from estimator.plans import BoreFigures, BorePlan, Plan
from estimator.shop.standards import bore_elements, line_elements, standards_in
from estimator.shop.time import daily_times, job_once
from estimator.tables import Tables
from estimator.tables.rows import RoadPart

__all__ = [
    "attendants_in",
    "boss_of",
    "by_road",
    "crew_of",
    "durations_in",
    "pause_of",
    "scheduled",
    "scheduled_each",
    "shortest",
    "way_to",
    "ways_to_spend",
    "works_on",
]


def crew_of(plan: Plan) -> Crew:
    """Return who goes: the book's crew, and an attendant where the space is confined."""
    return Crew(plan.book.crew, attendants_in(plan.job, plan.book), plan.book.equipment.sets)


def attendants_in(job: Job, book: PriceBook) -> int:
    """Return how many stand by while others work: one or more where the space is confined."""
    return int(book.facts.constant("attendant")) if job.site.access == "confined" else 0


def boss_of(bore: BorePlan) -> str:
    """Return the name of the boss that a bore or step is in."""
    return bore.survey.bore.part_of or bore.survey.bore.name


def shortest(plan: Plan, bores: Sequence[BoreFigures], crew: Crew) -> Arrangement:
    """Return the shortest order of work of a job that was found for a crew."""
    facts, day = plan.book.facts, plan.day
    stations = [
        Station(
            name=one.survey.bore.name,
            line=one.line,
            boss=boss_of(one),
            wire=one.weld.wire.name,
            gas=one.weld.gas.name,
            clamped=one.survey.bore.mounts == "clamped",
            hot=_hot(one, facts, day),
            line_hot=frozenset(each.phase for each in line_elements(one.counts, facts, day) if each.hot),
            bearings=one.setup.bearings,
            tested="cracks unknown" in one.counts.around.here,
        )
        for one in plan.bores
    ]
    tasks = tasks_of(stations, _taken(plan.bores))
    return in_order(tasks, _durations(tasks, plan, bores, day), crew)


def ways_to_spend(plan: Plan, one: Arrangement, durations: Sequence[float]) -> list[Arrangement]:
    """Return an order of work with each way to spend days and nights that can be had; what each task takes. [s]"""
    return ways_of(one, durations, _days(plan.job, plan.book, plan.day), plan.book)


def _hot(bore: BorePlan, facts: Tables, inputs: Inputs) -> frozenset[str]:
    """Return the phases in which a bore of its own asks for a flame, an arc or sparks."""
    found = {each.phase for each in bore_elements(bore.counts, facts, inputs) if each.hot}
    for feature in bore.features:
        found |= {"precut"} if feature.hot else set()
        found |= {row.phase for row in standards_in(facts) if row.hot == "yes" and feature.counts.get(row.basis)}
    return frozenset(found)


def _taken(bores: Sequence[BorePlan]) -> list[int]:
    return taken_in_order([one.survey.bore for one in bores])


def _durations(tasks: Sequence[Task], plan: Plan, bores: Sequence[BoreFigures], inputs: Inputs) -> list[float]:
    """Return what each task takes on a day. [s]"""
    lines = {plan.bores[n].line: plan.bores[n].counts for n in reversed(_taken(plan.bores))}
    facts = plan.book.facts
    once = job_once(plan.changes, facts, inputs)
    return durations_of(tasks, [one.time for one in bores], lines, once, facts, inputs)


def _days(job: Job, book: PriceBook, inputs: Inputs) -> Road:
    """Return the way to the site and the hours of a day."""
    way = by_road(job, book.facts) / inputs.road_speed
    opening, closing = daily_times(book.facts, inputs)
    shift, day = book.number("shift_length"), book.facts.constant("day")
    return Road(
        way,
        shift,
        day,
        inputs.fire_watch,
        opening=opening,
        closing=closing,
        week=_week(job, book),
        pause=pause_of(book),
    )


def pause_of(book: PriceBook) -> float:
    """Return the breaks of a day; none are due in a shift that is no longer than the constant `break_due`. [s]"""
    due = book.shift_length > book.facts.plain_constant("break_due")
    return book.number("breaks") if due else leaf(0.0, "price", "shift_length", "too short for breaks", unit="s")


def works_on(date: str, book: PriceBook) -> bool:
    """Return whether a date is one of the book's days of work."""
    return WEEK[datetime.date.fromisoformat(date).weekday()] in book.work_days


def _week(job: Job, book: PriceBook) -> tuple[bool, ...]:
    """Return which days of a week are worked, from the day on that the job starts; none where that is not said."""
    if job.start is None:
        return ()
    first = datetime.date.fromisoformat(job.start).weekday()
    return tuple(WEEK[(first + n) % len(WEEK)] in book.work_days for n in range(len(WEEK)))


def way_to(job: Job) -> float:
    """Return the distance to the site, one way. [m]"""
    return leaf(float(job.site.distance), "given", "site.distance", "distance to the site, one way", unit="m")


def by_road(job: Job, facts: Tables) -> float:
    """Return the way to the site, as long as it would be at the book's speed: slower near home, quicker far off. [m]"""
    whole, parts = float(job.site.distance), []
    for row in facts.every("roads", RoadPart):
        if whole > row.above:
            part = leaf(min(whole, row.up_to) - row.above, "given", "distance", f"the way: {row.meaning}", unit="m")
            parts.append(slowed_part(part, row.share))
    return summed("distance", "m", *parts) if parts else way_to(job)


def durations_in(plan: Plan, one: Arrangement, bores: Sequence[BoreFigures], inputs: Inputs) -> list[float]:
    """Return what each task of an order of work takes on a day. [s]"""
    return _durations(one.tasks, plan, bores, inputs)


def scheduled(plan: Plan, one: Arrangement, bores: Sequence[BoreFigures], inputs: Inputs) -> schedule.Schedule:
    """Return the whole job from door to door in an order of work."""
    return _schedule(plan, bores, inputs, durations_in(plan, one, bores, inputs))(one)


def scheduled_each(
    plan: Plan, ways: Sequence[Arrangement], bores: Sequence[BoreFigures], durations: Sequence[float]
) -> Iterator[schedule.Schedule]:
    """Yield the whole job, on the planned day, in each way to spend days and nights with one order of work.

    `durations` of its tasks: one number each. [s]
    """
    order = schedule.order_time(ways[0], durations, _days(plan.job, plan.book, plan.day))
    return map(_schedule(plan, bores, plan.day, durations, order), ways)


def _schedule(
    plan: Plan,
    bores: Sequence[BoreFigures],
    inputs: Inputs,
    durations: Sequence[float],
    order: float | None = None,
) -> Callable[[Arrangement], schedule.Schedule]:
    """Return what schedules a job in one arrangement or another; `order`: how long the order takes, where known. [s]"""
    once = job_once(plan.changes, plan.book.facts, inputs)
    return functools.partial(
        schedule.schedule_of,
        durations=durations,
        order=order,
        bores=summed("bores", "s", *(each.time.total for each in bores)),
        idle=summed("cooldown", "s", *(each.time.cooldown for each in bores)),
        once=once.work,
        fire_watch=once.fire_watch,
        distance=by_road(plan.job, plan.book.facts),
        road_speed=inputs.road_speed,
        road=_days(plan.job, plan.book, inputs),
    )
