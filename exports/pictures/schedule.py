"""Drawing of the order of work: days one below another, who does what by the clock, what cools, when it is done."""

import math

from estimator.document.day import Day
from estimator.document.schedule import Schedule
from estimator.estimate import Estimate
from exports.days import Part, by_day, clock, day_name, days_of, drives
from exports.format import field, perhaps
from exports.pictures.paper import MARGIN, WIDTH, head, notes
from exports.pictures.schedule_bars import draw_bar as bar_on
from exports.pictures.schedule_bars import legend, rows_of
from exports.pictures.svg import HAIR, INK, SOFT, Drawing
from exports.stored_days import DAY

__all__ = ["schedule_pictures"]

LABEL, ROW, PITCH, GAP = 26.0, 4.6, 5.6, 3.0  # width of row names; height of a bar, a row, between parts of a day [mm]
AXIS, NIGHT = 8.0, 5.4  # height of a day's head with its hours; of a night [mm]
MOST = 205.0  # height of the days of one sheet, so that it fits A4 and Letter with head, legend and notes [mm]
HOUR = 60.0  # minutes
CHAIN = "Heavy outline: critical; time lost there is lost at the end."
HOT = "Saw teeth along the top of a bar: hot work."


class _Day:
    """One day to draw: its rows, and the hours it spans."""

    def __init__(self, day: Day, schedule: Schedule, parts: list[Part]) -> None:
        self.day, self.schedule = day, schedule
        self.zero = (day["day"] - 1) * DAY
        self.rows = rows_of(day, schedule, parts)
        bars = [bar for _, row in self.rows for bar in row if bar.kind != "cools"]
        drawn = [(one.start, one.end) for one in drives(schedule) if one.day == day["day"]]
        self.first = min([bar.start for bar in bars] + [start for start, _ in drawn], default=self.zero) - self.zero
        self.last = max([bar.end for bar in bars] + [end for _, end in drawn], default=self.zero) - self.zero
        self.height = AXIS + PITCH * len(self.rows) + GAP


def _frame(days: list[_Day], schedule: Schedule) -> tuple[float, float]:
    """Return the hours that all days are drawn between: whole hours on the clock. [min from the shift's start]"""
    hours, minutes = (int(part) for part in schedule["shift_start"].split(":"))
    offset = hours * HOUR + minutes
    low = math.floor((min(day.first for day in days) + offset) / HOUR + 1e-9) * HOUR - offset
    high = math.ceil((max(day.last for day in days) + offset) / HOUR - 1e-9) * HOUR - offset
    return low, max(high, low + HOUR)


def _axis(drawing: Drawing, day: _Day, y: float, frame: tuple[float, float], per_minute: float) -> None:
    """Draw a day's name and its hours on the clock, with a hairline down through its rows."""
    low, high = frame
    drawing.group("day", data_day=str(day.day["day"]))
    drawing.text(MARGIN, y + 3.0, day_name(day.day).capitalize().partition(",")[0], 3.4, font_weight="bold")
    if day.day["date"]:
        drawing.text(MARGIN, y + 6.4, day.day["date"], 2.6, fill=SOFT)
    bottom = y + AXIS + PITCH * len(day.rows)
    every = HOUR * max(1, math.ceil((high - low) / HOUR / 14))
    for n in range(math.floor((high - low) / every + 1e-9) + 1):
        x = MARGIN + LABEL + n * every * per_minute
        drawing.line(x, y + AXIS - 1.6, x, bottom, stroke=HAIR, stroke_width=0.25)
        drawing.text(x, y + AXIS - 2.4, clock(day.schedule, low + n * every), 2.4, fill=SOFT, text_anchor="middle")


def _rows(drawing: Drawing, day: _Day, y: float, frame: tuple[float, float], per_minute: float) -> None:
    """Draw the rows of a day: names to the left, bars by the clock."""
    low, high = (day.zero + one for one in frame)
    for n, (name, bars) in enumerate(day.rows):
        top = y + AXIS + n * PITCH
        drawing.group("row", data_row=name)
        if n == 0 or name != day.rows[n - 1][0]:
            drawing.text(MARGIN, top + ROW - 1.2, name, 2.6)
        for bar in bars:
            start, end = max(bar.start, low), min(bar.end, high)
            x = MARGIN + LABEL + (start - low) * per_minute
            bar_on(drawing, bar, (x, top, max(0.3, (end - start) * per_minute), ROW))


def _night(drawing: Drawing, day: _Day, y: float) -> float:
    """Draw a night as a narrow gray band; return where it ends. [mm]"""
    drawing.group("night")
    drawing.rect(MARGIN, y, WIDTH - 2 * MARGIN, NIGHT - 1.6, fill="#e3e6ea")
    cools = any(bar.end > day.zero + DAY * 0.75 for _, row in day.rows for bar in row if bar.kind == "cools")
    said = "night" if day.schedule["stays"] else "night, at home"
    said += "; what is still warm cools on" if cools else ""
    drawing.text(WIDTH / 2, y + 2.9, said, 2.6, fill=INK, text_anchor="middle")
    return y + NIGHT


def _ends(schedule: Schedule) -> str:
    """Return when the machine is free again and when the crew is home."""
    leaves = schedule["leaves_min"]
    day = schedule["days"][min(int(leaves / DAY), len(schedule["days"]) - 1)]
    return f"Work ends {day_name(day)} at {clock(schedule, leaves)}. Crew back: {schedule['ends']}."


def _sheet(days: list[_Day], estimate: Estimate, turn: tuple[int, int], frame: tuple[float, float]) -> str:
    """Return one sheet with some of the days."""
    schedule, (number, count) = estimate["schedule"], turn
    of = f", sheet {number} of {count}" if count > 1 else ""
    words = "; ".join(f"{day_name(one.day)}: {one.day['begins']} to {one.day['ends']}" for one in days)
    drawing = Drawing(WIDTH, f"Order of work, {estimate['reference']}{of}", f"Who does what by the clock. {words}.")
    drawing.group("head")
    job = estimate["job"]
    about = ", ".join(one for one in (job["title"], field(job, "equipment", "description")) if one)
    y = head(drawing, f"Order of work, {estimate['reference']}{of}", about, _ends(schedule))
    per_minute = (WIDTH - 2 * MARGIN - LABEL - 4) / (frame[1] - frame[0])
    y += 1.5
    for day in days:
        _axis(drawing, day, y, frame, per_minute)
        _rows(drawing, day, y, frame, per_minute)
        y += day.height
        if day.day["day"] < len(schedule["days"]):
            y = _night(drawing, day, y)
    y = legend(drawing, MARGIN, y + 2)
    said = [HOT, CHAIN, "Numbers in bars are those of the sheet Order of work."]
    return drawing.finish(notes(drawing, y, said))


def schedule_pictures(estimate: Estimate) -> list[str]:
    """Return the drawings of the order of work: one, or several where the days do not fit a sheet.

    Parameters
    ----------
    estimate
        The estimate document; one without an order of work gives no drawing.
    """
    schedule = perhaps(estimate.get("schedule"))
    if schedule is None or not schedule["days"]:
        return []
    parts = by_day(schedule)
    days = [_Day(day, schedule, parts[day["day"]]) for day in days_of(schedule)]
    frame = _frame(days, schedule)
    sheets: list[list[_Day]] = [[]]
    room = MOST
    for day in days:
        if sheets[-1] and day.height + NIGHT > room:
            sheets.append([])
            room = MOST
        sheets[-1].append(day)
        room -= day.height + NIGHT
    return [_sheet(here, estimate, (n, len(sheets)), frame) for n, here in enumerate(sheets, 1)]
