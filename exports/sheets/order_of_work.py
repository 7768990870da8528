"""The order of work: each task with its times by the clock, who does it, what it waits for; hours by role."""

from typing import Any

from exports.cells import Cell, Row, Sheet, blank, head, heading, lines_of, note, title
from exports.days import by_day, clock, day_name, of_people

__all__ = ["sheet"]

WIDTHS = (5.0, 20.0, 8.0, 8.0, 42.0, 22.0, 9.0, 9.0, 8.0, 40.0)
COLUMNS, WIDTH = len(WIDTHS), sum(WIDTHS)
HEADS = ("No.", "Day", "From", "To", "Task", "Who", "Rig", "Minutes", "Hot", "Waits for")
CHAIN = "* critical: a minute lost there is lost at the end."


def _tasks(schedule: dict[str, Any]) -> list[Row]:
    """Return a row for each part of a task that falls into one day, in the order of the clock."""
    days = {day["day"]: day_name(day) for day in schedule["days"]}
    parts = [part for here in by_day(schedule).values() for part in here]
    rows = []
    for part in sorted(parts, key=lambda one: (one.start, one.end)):
        task = part.task
        star, who = " *" if task["critical"] else "", of_people(task, schedule) or "unattended"
        values = (
            task["number"],
            days[part.day],
            clock(schedule, part.start),
            clock(schedule, part.end),
            task["name"] + star,
            who,
            task["machine"],
            part.minutes,
            "hot" if task["hot"] else None,
            task["held_by"],
        )
        cells = tuple(Cell(one, "text" if isinstance(one, str) else "plain", form="0") for one in values)
        tall = max(lines_of(one, wide) for one, wide in ((task["name"] + star, 42.0), (task["held_by"], 40.0)))
        rows.append(Row(cells, lines=tall))
    return rows


def _roles(schedule: dict[str, Any]) -> list[Row]:
    keys = ("work_h", "waiting_h", "travel_h", "overtime_h")
    heads = ("", "Who", "Work [h]", "Waiting [h]", "", "Travel, overtime [h]")
    rows = [heading("Hours by role", COLUMNS), head(*heads)]
    for one in schedule["roles"]:
        work, waiting, travel, over = (one[key] for key in keys)
        cells = (Cell(None), Cell(one["role"]), Cell(work, form="0.0"), Cell(waiting, form="0.0"), Cell(None))
        rows.append(Row((*cells, Cell(f"{travel:.1f}, {over:.1f}"))))
    return rows


def sheet(estimate: dict[str, Any]) -> tuple[Sheet, ...]:
    """Return the sheet of the order of work; none where the document says nothing about it."""
    schedule = estimate.get("schedule")
    if schedule is None:
        return ()
    rows = [title(f"Order of work of {estimate['reference']}: back {schedule['ends']}", COLUMNS)]
    rows += [note(CHAIN, COLUMNS, WIDTH), head(*HEADS), *_tasks(schedule), blank(), *_roles(schedule), blank()]
    rows += [note(one, COLUMNS, WIDTH) for one in schedule["notes"]]
    return (Sheet("Order of work", WIDTHS, tuple(rows), 3, wide=True),)
