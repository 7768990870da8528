"""The order of work in the estimate document: tasks with their times, days, hours by role."""

import datetime
from collections.abc import Sequence
from typing import Any

from estimator.book.pricebook import WEEK
from estimator.days.schedule import Schedule
from estimator.days.tasks import Task
from estimator.express import all_shown
from estimator.formula import choice, leaf, summed
from estimator.plans import Figures
from estimator.units import factor

__all__ = ["clock_of", "date_of", "schedule_of"]

SAME = 1e-9  # relative: two moments are one


def _chosen(value: float, name: str, text: str, unit: str = "s") -> float:
    return leaf(float(value), "choice", name, text, unit=unit)


def clock_of(time: float, shift_start: str) -> str:
    """Return a moment as it stands on the clock, to the minute; `time` counts from the start of the first shift. [s]"""
    hours, minutes = (int(part) for part in shift_start.split(":"))
    whole = int(time / factor("min") * (1 + SAME) + 0.5) + 60 * hours + minutes
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}"


def date_of(start: str | None, day: int, work_days: Sequence[str]) -> str | None:
    """Return the date of a working day, the first being the one the job starts on; None where that is not said."""
    if start is None:
        return None
    found = datetime.date.fromisoformat(start)
    for _ in range(day - 1):
        found += datetime.timedelta(days=1)
        while WEEK[found.weekday()] not in work_days:
            found += datetime.timedelta(days=1)
    return found.isoformat()


def _holds(whole: Schedule) -> list[int | None]:
    """Return the turn that each task waited for last: what it comes after, its person, its bar, its machine."""
    spans, keeps, by_task = whole.calendar.spans, dict[object, int](), dict[int, int | None]()
    for turn in whole.arrangement.turns:
        task = whole.arrangement.tasks[turn.task]
        mine: list[object] = [*turn.people, *([task.bar] if task.bar else [])]
        mine += [("machine", turn.machine)] if task.takes or task.frees else []
        before = [*task.after, *(keeps[one] for one in mine if one in keeps)]
        by_task[turn.task] = max(before, key=lambda n: (float(spans[n][1]), n in task.after), default=None)
        keeps |= dict.fromkeys(mine, turn.task)
    return [by_task[n] for n in range(len(spans))]


def _critical(whole: Schedule, holds: Sequence[int | None]) -> set[int]:
    """Return the tasks that fix the end of the job, from the last one back."""
    spans = whole.calendar.spans
    here: int | None = max(range(len(spans)), key=lambda n: (float(spans[n][1]), -n))
    found = set()
    while here is not None:
        found.add(here)
        here = holds[here]
    return found


def _held_by(task: Task, held: int | None, whole: Schedule) -> str:
    """Return in words what a task waited for last."""
    if held is None:
        return "the way to the site"
    before = whole.arrangement.tasks[held]
    spans, own = whole.calendar.spans, whole.arrangement.tasks.index(task)
    night = float(spans[own][0]) > float(spans[held][1]) * (1 + SAME)
    return before.name + ("; then the next day" if night else "")


def _tasks(figures: Figures) -> list[dict[str, Any]]:
    whole = figures.schedule
    holds = _holds(whole)
    critical, tasks = _critical(whole, holds), whole.arrangement.tasks
    turns = {turn.task: turn for turn in whole.arrangement.turns}
    found = []
    for number, (task, (start, end)) in enumerate(zip(tasks, whole.calendar.spans, strict=True)):
        keys = {
            "duration_min": whole.durations[number],
            "start_min": _chosen(start, "start", "when all it waits for is done and the shift has room for it"),
            "end_min": _chosen(
                end, "end", "start and duration, less what does not fit into a day and goes on the next"
            ),
        }
        machine = turns[number].machine
        found.append(
            {
                "number": _counted(number + 1),
                "code": task.code,
                "name": task.name,
                "bore": None if task.bore is None else figures.bores[task.bore].plan.survey.bore.name,
                "line": task.line,
                "people": [_counted(one + 1) for one in turns[number].people],
                "machine": None if machine is None else _counted(machine + 1),
                "hot": task.hot,
                "after": [_counted(one + 1) for one in task.after],
                "held_by": _held_by(task, holds[number], whole),
                "critical": number in critical,
                **all_shown(keys),
            }
        )
    return found


def _counted(number: int) -> int:
    return choice(number, "number", "tasks, people, machines and days are numbered")


def _days(figures: Figures) -> list[dict[str, Any]]:
    """Return the days, each with its hours and the tasks that are done in it."""
    whole, book = figures.schedule, figures.plan.book
    day, spans, tasks = book.facts.plain_constant("day"), whole.calendar.spans, whole.arrangement.tasks
    fallen = whole.calendar
    closes, hot_closes = float(fallen.closes), float(fallen.hot_closes)
    found, way = [], 0.0 if whole.arrangement.mode.stays else float(fallen.arrives)
    for number in range(int(whole.calendar.days)):
        first, after = number * day, (number + 1) * day
        here = [n for n, (start, end) in enumerate(spans) if start < after * (1 - SAME) and end > first * (1 + SAME)]
        at_work = [n for n in here if tasks[n].hands]
        hot = [min(float(spans[n][1]), first + hot_closes) for n in at_work if tasks[n].hot]
        watched = [max(hot) + book.facts.plain_constant("fire_watch")] if hot else []
        cold = [min(float(spans[n][1]), first + closes) for n in at_work if not tasks[n].hot]
        ends = max([*cold, *hot, *watched], default=first + closes) + float(fallen.closing) + way
        last = number == int(whole.calendar.days) - 1
        found.append(
            {
                "day": _counted(number + 1),
                "date": date_of(figures.plan.job.start, number + 1, book.work_days),
                "begins": book.shift_start,
                "ends": clock_of((float(whole.calendar.home) if last else ends) - first, book.shift_start),
                "hot_until": None if not hot else clock_of(max(hot) - first, book.shift_start),
                "watch_until": None if not watched else clock_of(watched[0] - first, book.shift_start),
                "tasks": [_counted(n + 1) for n in here],
            }
        )
    return found


def _roles(figures: Figures) -> list[dict[str, Any]]:
    """Return the hours of everybody who goes."""
    whole, one = figures.schedule, figures.schedule.arrangement
    found = []
    for number in range(one.people):
        works = number < one.technicians
        own = [whole.durations[turn.task] for turn in one.turns if number in turn.people]
        work = summed("work", "s", *own) if own else _chosen(0.0, "work", "nothing but standing by")
        waits = _chosen(max(0.0, float(whole.on_site) - float(work)), "waiting", "time on site without a task")
        keys = {"work_h": work, "waiting_h": waits, "travel_h": whole.travel, "overtime_h": whole.overtime}
        role = f"technician {number + 1}" if works else f"attendant {number + 1 - one.technicians}"
        found.append({"role": role, **all_shown(keys)})
    return found


def _notes(figures: Figures) -> list[str]:
    """Return what the order of work stands on, in words."""
    whole, book = figures.schedule, figures.plan.book
    one, room = whole.arrangement, book.shift_length
    said = ["paid hours count cooling in working time; overnight a boss cools too, so the days may hold fewer hours"]
    if one.length <= one.bound * (1 + SAME):
        said.append("in working time no order of work is shorter for this crew")
    else:
        said.append(f"no order of work saves more than {100 * (1 - one.bound / one.length):.1f} % of this one's time")
    long = [t.name for t, d in zip(one.tasks, whole.durations, strict=True) if t.whole and d > room - whole.fire_watch]
    said += [
        f"{name}: longer than a day; stop at the end of a layer and keep the boss at its preheat overnight: in no hours"
        for name in long
    ]
    if not one.mode.stays and int(whole.calendar.days) > 1:
        said.append("the crew drives home every night: that costs less than staying")
    if one.mode.overtime and whole.overtime > 0:
        said.append("hours beyond the shift: they cost less than another day")
    said.append("a fire watch runs beside other work; where the site asks for one of its own, one more person is due")
    if figures.plan.job.start is not None and int(whole.calendar.days) > 1:
        said.append(f"dates fall on working days only ({', '.join(book.work_days)})")
    return said


def _ends(figures: Figures, last: dict[str, Any]) -> str:
    """Return in words when the crew is home; a night shift ends on the next date."""
    calendar, book = figures.schedule.calendar, figures.plan.book
    hours, minutes = (int(part) for part in book.shift_start.split(":"))
    home = float(calendar.home) - (int(calendar.days) - 1) * book.facts.plain_constant("day")
    over = home / factor("h") + hours + minutes / 60 >= 24  # noqa: PLR2004  # hours of a day
    date = last["date"]
    if over and date is not None:
        date = (datetime.date.fromisoformat(date) + datetime.timedelta(days=1)).isoformat()
    clock = f"day {int(calendar.days)} at {last['ends']}" + (" the next morning" if over else "")
    return ", ".join(said for said in (clock, date) if said)


def schedule_of(figures: Figures, crews: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the order of work of a job, with what other crews would change."""
    whole, book = figures.schedule, figures.plan.book
    one, calendar = whole.arrangement, figures.schedule.calendar
    least = min(one.bound, float(whole.order))
    keys = {
        "arrives_min": _chosen(calendar.arrives, "arrives", "the way to the site"),
        "leaves_min": _chosen(calendar.leaves, "leaves", "end of the last task or of the fire watch"),
        "sets_off_min": _chosen(
            calendar.sets_off, "sets_off", "the way back in one piece, the next morning if need be"
        ),
        "home_min": _chosen(calendar.home, "home", "the way back, the next day where the shift has no room for it"),
        "day_min": _chosen(book.shift_length + one.mode.overtime, "day", "a shift, and overtime as far as it pays"),
        "opens_min": _chosen(calendar.opens, "opens", "from the start of a shift until its first task"),
        "closing_min": _chosen(calendar.closing, "closing", "from the last task until the crew leaves the site"),
        "order_min": _chosen(whole.order, "order", "the shortest order of work that was found"),
        "bound_min": _chosen(
            least,
            "bound",
            "longest way through the tasks, and the crew's and each bar's work",
        ),
    }
    days = _days(figures)
    return {
        "technicians": _counted(one.technicians),
        "machines": _counted(one.machines),
        "stays": one.mode.stays,
        "shift_start": book.shift_start,
        **all_shown(keys),
        "ends": _ends(figures, days[-1]),
        "tasks": _tasks(figures),
        "days": days,
        "roles": _roles(figures),
        "crews": crews,
        "notes": _notes(figures),
    }
