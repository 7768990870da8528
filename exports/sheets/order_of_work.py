"""The order of work: each task with its times by the clock, who does it, what it waits for; hours by role."""

from estimator.document.schedule import Schedule
from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, blank, head, heading, lines_of, note, title
from exports.days import WATCH, Part, by_day, clock, day_name, of_people, parted, watches
from exports.format import hours_said, perhaps

__all__ = ["sheet"]

WIDTHS = (5.0, 20.0, 8.0, 8.0, 42.0, 22.0, 9.0, 9.0, 8.0, 40.0)
COLUMNS, WIDTH = len(WIDTHS), sum(WIDTHS)
HEADS = ("No.", "Day", "From", "To", "Task", "Who", "Rig", "Minutes", "Hot", "Waits for")
CHAIN = "* critical: a minute lost there is lost at the end."


def _tasks(schedule: Schedule) -> list[Row]:
    """Return a row for each part of a task that falls into one day, in the order of the clock."""
    days = {day["day"]: day_name(day) for day in schedule["days"]}
    rows = list[tuple[float, float, Row]]()
    for part in [part for here in by_day(schedule).values() for part in here if part.task["code"] != WATCH]:
        step, rest = parted(part)
        rows += [] if step is None else [_work(step, schedule, days, step.task["begins_with"]["name"])]
        rows.append(_work(rest, schedule, days, part.task["name"], "the preheat" if step else ""))
    for watch in watches(schedule).values():
        times = clock(schedule, watch.start), clock(schedule, watch.end)
        values: list[str | int | float | None] = [watch.number, days[watch.day], *times]
        values += ["fire watch", watch.who, None, watch.minutes, None, "the last hot work of the day"]
        rows.append((watch.start, watch.end, _row(values)))
    return [row for _, _, row in sorted(rows, key=lambda one: one[:2])]


def _work(part: Part, schedule: Schedule, days: dict[int, str], name: str, held: str = "") -> tuple[float, float, Row]:
    """Return a row of work under its name, with its span, by which rows are sorted."""
    task, star = part.task, " *" if part.task["critical"] else ""
    values: list[str | int | float | None] = [
        task["number"],
        days[part.day],
        clock(schedule, part.start),
        clock(schedule, part.end),
    ]
    values += [name + star, of_people(task, schedule), task["machine"], part.minutes]
    return part.start, part.end, _row([*values, "hot" if task["hot"] else None, held or task["held_by"]])


def _row(values: list[str | int | float | None]) -> Row:
    """Return one row, as tall as its texts need."""
    cells = tuple(Cell(one, "text" if isinstance(one, str) else "plain", form="0") for one in values)
    texts = zip(values, WIDTHS, strict=True)
    return Row(cells, lines=max(lines_of(one, wide) for one, wide in texts if isinstance(one, str)))


def _roles(schedule: Schedule) -> list[Row]:
    heads = ("", "Who", "Work", "Waiting", "", "Travel, overtime")
    rows = [heading("Hours by role", COLUMNS), head(*heads)]
    for one in schedule["roles"]:
        work, waiting = Cell(hours_said(one["work_h"])), Cell(hours_said(one["waiting_h"]))
        away = f"{hours_said(one['travel_h'])}, {hours_said(one['overtime_h'])}"
        rows.append(Row((Cell(None), Cell(one["role"]), work, waiting, Cell(None), Cell(away))))
    return rows


def sheet(estimate: Estimate) -> tuple[Sheet, ...]:
    """Return the sheet of the order of work; none where the document says nothing about it."""
    schedule = perhaps(estimate.get("schedule"))
    if schedule is None:
        return ()
    rows = [title(f"Order of work of {estimate['reference']}: back {schedule['ends']}", COLUMNS)]
    rows += [note(CHAIN, COLUMNS, WIDTH), head(*HEADS), *_tasks(schedule), blank(), *_roles(schedule), blank()]
    rows += [note(one, COLUMNS, WIDTH) for one in schedule["notes"]]
    return (Sheet("Order of work", WIDTHS, tuple(rows), 3, wide=True),)
