"""The tasks of a day on its page: when, what, who, the settings wanted at hand, and boxes to write into."""

from estimator.document.day import Day
from estimator.document.schedule import Schedule
from estimator.estimate import Estimate
from exports.cells import Cell, Row, lines_of
from exports.day_lines import Line, lines_of_day
from exports.days import Part, clock

__all__ = ["BESIDE", "order_rows"]

BESIDE = 0.92  # a character of a box's text over the width of a column's unit
LEAST = 2  # lines of a task's row, so that a figure can be written
LOOKS = ("boxbold", "boxbold", "box", "box", "box", "box", "box")
HEADS = ("from", "to", "what", "who", "settings; measure and write down", "figure", "at")


def _row(line: Line, schedule: Schedule, widths: tuple[float, ...]) -> Row:
    """Return one line, with boxes to write figure and time into."""
    what = f"{line.what}\n{line.marks}" if line.marks else line.what
    ask = "\n".join(one for one in (line.settings, *(f"\u25a1 {one}" for one in line.asked)) if one)
    beside = ((what, 2), (line.who, 3), (ask, 4)) if line.figures else ((what, 2),)
    tall = max(lines_of(said, widths[at], BESIDE) for said, at in beside)
    asked = ask if line.figures else None
    values = (clock(schedule, line.start), clock(schedule, line.end), what, line.who, asked, None, None)
    cells = tuple(Cell(v, look) for v, look in zip(values, LOOKS, strict=True))
    return Row(cells, lines=max(LEAST, tall)) if line.figures else Row(cells, lines=tall, scale=1.1)


def order_rows(day: Day, parts: list[Part], estimate: Estimate, widths: tuple[float, ...]) -> list[Row]:
    """Return the tasks of a day in the order of the clock, drives among them, below their heads."""
    rows = [_row(line, estimate["schedule"], widths) for line in lines_of_day(day, parts, estimate)]
    head = Row(tuple(Cell(one, "bighead") for one in HEADS), scale=1.2)
    return [head, *rows]
