"""The order of work in the estimate document: tasks, days, hours by role, what another crew would change."""

import datetime
from decimal import Decimal
from typing import NotRequired

from typing_extensions import TypedDict

from estimator.days.timetable import pause_of
from estimator.document.bore import Bore
from estimator.document.day import SAME, Day, chosen, counted, days_of
from estimator.document.tasks import Task, tasks_of
from estimator.either import left_of
from estimator.express import all_shown, money
from estimator.formula import leaf, summed
from estimator.money.lines import minor_of, to_minor
from estimator.plans import Figures
from estimator.tables.messages import say, texts_of
from estimator.units import factor

__all__ = ["OtherCrew", "Role", "Schedule", "schedule_of"]


class Role(TypedDict):
    """The hours of one who goes."""

    role: str
    work_h: float
    waiting_h: float
    travel_h: float
    overtime_h: float


class OtherCrew(TypedDict):
    """What another crew or a further machine would change."""

    name: str
    technicians: int
    machines: int
    on_site_min: float
    on_site_more_min: float
    elapsed_h: float
    elapsed_more_h: float
    price_more: str


class Schedule(TypedDict):
    """The order of work. `order_min`: working time from arrival to leaving, no order takes less than `bound_min`.

    `price_less_by_overtime`: what overtime takes off the price before tax; `overtime_hour_price`: an hour of it.
    """

    technicians: int
    machines: int
    stays: bool
    shift_start: str
    arrives_min: float
    leaves_min: float
    sets_off_min: float
    home_min: float
    day_min: float
    opens_min: float
    closing_min: float
    pause_min: float
    order_min: float
    bound_min: float
    ends: str
    tasks: list[Task]
    days: list[Day]
    roles: list[Role]
    crews: NotRequired[list[OtherCrew]]
    price_less_by_overtime: str | None
    overtime_hour_price: str | None
    notes: list[str]


def _roles(figures: Figures) -> list[Role]:
    """Return the hours of everybody who goes."""
    whole, one = figures.schedule, figures.schedule.arrangement
    found = []
    for number in range(one.people):
        works = number < one.technicians
        own = [whole.durations[turn.task] for turn in one.turns if number in turn.people]
        work = summed("work", "s", *own) if own else chosen(0.0, "work", "nothing but standing by")
        waits = chosen(left_of(float(whole.on_site), float(work)), "waiting", "time on site without a task")
        role = Role(
            role=f"technician {number + 1}" if works else f"attendant {number + 1 - one.technicians}",
            work_h=work,
            waiting_h=waits,
            travel_h=whole.travel,
            overtime_h=whole.overtime,
        )
        found.append(all_shown(role))
    return found


def _notes(figures: Figures) -> list[str]:
    """Return what the order of work stands on, in words."""
    whole, book = figures.schedule, figures.plan.book
    one, room = whole.arrangement, book.shift_length
    proved = one.length <= one.bound * (1 + SAME)
    said = [say("order_paid")]
    said.append(say("order_proved") if proved else say("order_bound", share=1 - one.bound / one.length))
    long = [t.name for t, d in zip(one.tasks, whole.durations, strict=True) if t.whole and d > room - whole.fire_watch]
    said += [say("order_long", task=name) for name in long]
    if not one.mode.stays and int(whole.calendar.days) > 1:
        said.append(say("order_home"))
    if one.mode.overtime and whole.overtime > 0:
        said.append(say("order_overtime"))
    if pause_of(book):
        said.append(say("order_breaks", breaks=float(pause_of(book))))
    if one.mode.weekends and whole.trips > 1:
        said.append(say("order_weekends"))
    if nights := [task.name for task in one.tasks if task in one.mode.overnight]:
        said.append(say("order_overnight", tasks=tuple(nights)))
    if late := [task.name for task in one.mode.mornings]:
        said.append(say("order_mornings", tasks=tuple(late)))
    said.append(say("order_watch"))
    if figures.plan.job.start is not None and int(whole.calendar.days) > 1:
        said.append(say("order_dates", days=tuple(book.work_days)))
    return texts_of(said)


def _spared(figures: Figures, hours: float) -> str | None:
    """Return what overtime takes off the price before tax, for each of so many hours; None where none is worked."""
    spared = figures.schedule.arrangement.spared
    if spared is None or not hours > 0:
        return None
    minor = minor_of(figures.plan.book)
    amount = to_minor(spared / Decimal(repr(hours)), minor)
    why = "price of the cheapest way to spend the days without overtime, less that of the way chosen"
    return money(leaf(amount, "choice", "price", why, unit=figures.plan.book.currency), minor)


def _ends(figures: Figures, last: Day) -> str:
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


def schedule_of(figures: Figures, crews: list[OtherCrew] | None, bores: list[Bore]) -> Schedule:
    """Return the order of work of a job, with what other crews would change if asked; `bores` of the document."""
    whole, book = figures.schedule, figures.plan.book
    one, calendar = whole.arrangement, figures.schedule.calendar
    way_back = "the way back in one piece, the next morning if need be"
    bound = "longest way through the tasks, and the crew's and each bar's work"
    days = days_of(figures)
    found = all_shown(
        Schedule(
            technicians=counted(one.technicians),
            machines=counted(one.machines),
            stays=one.mode.stays,
            shift_start=book.shift_start,
            arrives_min=chosen(calendar.arrives, "arrives", "the way to the site"),
            leaves_min=chosen(calendar.leaves, "leaves", "end of the last task or of the fire watch"),
            sets_off_min=chosen(calendar.sets_off, "sets_off", way_back),
            home_min=chosen(calendar.home, "home", "the way back, the next day where the shift has no room for it"),
            day_min=chosen(book.shift_length + one.mode.overtime, "day", "a shift, and overtime as far as it pays"),
            opens_min=chosen(calendar.opens, "opens", "from the start of a shift until its first task"),
            closing_min=chosen(calendar.closing, "closing", "from the last task until they leave, with breaks"),
            pause_min=chosen(
                pause_of(book), "pause", "breaks of a day, within the shift, not paid (price book: breaks)"
            ),
            order_min=chosen(whole.order, "order", "the shortest order of work that was found"),
            bound_min=chosen(min(one.bound, float(whole.order)), "bound", bound),
            ends=_ends(figures, days[-1]),
            tasks=tasks_of(figures, bores),
            days=days,
            roles=_roles(figures),
            crews=crews or [],
            price_less_by_overtime=_spared(figures, 1.0),
            overtime_hour_price=_spared(figures, float(whole.overtime) / factor("h")),
            notes=_notes(figures),
        )
    )
    if crews is None:
        del found["crews"]
    return found
