"""The field lead's pages: one printed page a day. What to take, what to do in which order, what to measure."""

from dataclasses import dataclass

from estimator.document.day import Day
from estimator.document.old import tools_in
from estimator.document.schedule import Schedule
from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, lines_of
from exports.days import Part, Use, by_day, clock, day_name, days_of, drives, uses_of
from exports.format import Units, by_grade, counted, field, perhaps, shown
from exports.in_units import units_of
from exports.phrases import printable
from exports.sheets.day_tasks import order_rows
from exports.used import USED, Thing, things, uncounted

__all__ = ["SUPPLIES", "sheets"]

WIDTHS = (8.0, 8.0, 30.0, 13.0, 41.0, 15.0, 9.0)
COLUMNS = len(WIDTHS)
GROWS = (2, 4, 5)  # columns that grow on a busy day, so that its rows are not taller than the page
GROWTHS = tuple(n / 10 for n in range(10, 23))  # how much they may grow, least first
LINE, UNIT, TALL = 14.5, 7.1, 1.44  # height of a line, width of a column's unit [pt]; height by width of paper's room
TEXT, BOLD, BAR, TITLE = 1.2, 1.35, 1.35, 2.6  # height of a line over that of the usual type
NARROW, WIDER = 0.93, 1.12  # a character of the page's text over the width of a column's unit
DEVIATIONS = 3  # lines to write on
SUPPLIES = {key: name for key, name in USED if key != "energy_kWh"}
HOW = (
    "Take covers the whole job in 95 of 100 cases. Today and later: expected use, of parts their wear."
    " Call if wire or gas is less than what is still to come."
)
OTHER = "CHANGES TO THE PLAN: what, when, who was told; readings, gas and wire left"


def _grown(growth: float) -> tuple[float, ...]:
    return tuple(wide * growth if at in GROWS else wide for at, wide in enumerate(WIDTHS))


def _fits(sheet: Sheet) -> bool:
    """Return whether a sheet is no taller by its width than the paper."""
    height = LINE * sum(row.lines * row.scale for row in sheet.rows)
    return height <= TALL * UNIT * sum(sheet.widths)


def _bar(words: str) -> Row:
    return Row((Cell(words, "bar"),), span=COLUMNS, scale=BAR)


def _hours(day: Day, schedule: Schedule) -> tuple[str, str]:
    """Return when a day begins and ends by the clock, drives counted."""
    here = [one for one in drives(schedule) if one.day == day["day"]]
    out = [one.start for one in here if one.way == "out"]
    home = [one.end for one in here if one.way == "home"]
    begins = clock(schedule, out[0]) if out else day["begins"]
    return begins, clock(schedule, home[0]) if home else day["ends"]


@dataclass(frozen=True)
class _Page:
    """The page of one day in the making."""

    estimate: Estimate
    day: Day
    parts: list[Part]
    uses: list[Use]
    widths: tuple[float, ...]

    def text(self, words: str, look: str = "bigtext") -> Row:
        """Return a text over the whole width."""
        height, wide = (TEXT, NARROW) if look == "bigtext" else (BOLD, WIDER)
        lines = lines_of(words, sum(self.widths), wide)
        return Row((Cell(printable(words), look),), span=COLUMNS, lines=lines, scale=height)

    def top(self) -> list[Row]:
        """Return which day it is, of which job, where, who goes, from when until when."""
        schedule, job, day = self.estimate["schedule"], self.estimate["job"], self.day
        name = f"DAY {day['day']} of {len(schedule['days'])}" + (f"   {day['date']}" if day["date"] else "")
        machine, site = field(job, "equipment", "description"), job["site"]
        whose = (self.estimate["reference"], job["title"], machine, job["customer"])
        place = f"{shown('distance_km', site['distance_km'], 'metric')} away, {site['access']} access"
        people = ", ".join(one["role"] for one in schedule["roles"])
        begins, ends = _hours(day, schedule)
        goes = f"Who goes: {people}; {counted(schedule['machines'], 'rig')}."
        return [
            Row((Cell(name, "huge"),), span=COLUMNS, scale=TITLE),
            self.text(", ".join(one for one in whose if one)),
            self.text(f"{begins} to {ends}; {place}. {goes}", "bigbold"),
        ]

    def care(self) -> list[Row]:
        """Return what keeps people safe that day."""
        stops = by_grade(self.estimate, "stop")
        hot = "No hot work planned today."
        if self.day["hot_until"] is not None:
            hot = f"Hot work until {self.day['hot_until']}, fire watch until {self.day['watch_until']}."
        if self.estimate["job"]["site"]["access"] == "confined":
            hot += " CONFINED SPACE: attendant outside, air measured, nobody in alone."
        said = " \u2022 ".join(self.estimate.get("cautions_short", []))
        rows = [_bar("CARE"), *(self.text(f"STOP: {one}", "alarm") for one in stops), self.text(hot, "bigbold")]
        return [*rows, self.text(said)] if said else rows

    def take(self) -> list[Row]:
        """Return what the day uses up and its tools; on the first day what the whole job takes, and of it today."""
        first, units = self.day["day"] == 1, units_of(self.estimate)
        rows = [_bar("TAKE, for the whole job" if first else "TAKE, for today")]
        heads = (None, None, None, "take" if first else None, None, "today", "later")
        rows.append(Row(tuple(Cell(one, "bighead") for one in heads), scale=TEXT, spans=USE))
        take = {(one.key, one.name): one for one in things(self.estimate, units)}
        rows += [_supply(one, take if first else {}, units) for one in self.uses if one.today > 0 or first]
        besides = uncounted(self.estimate) if first else []
        rows += [self.text(f"Besides, not counted: {', '.join(besides)}.")] if besides else []
        tools = [item for part in self.parts for item in tools_in(part.task)]
        tools += [] if first else [item for part in self.parts for item in part.task.get("supplies", ())]
        rows += [self.text(f"Tools for today: {', '.join(dict.fromkeys(tools))}.")] if tools else []
        return [*rows, self.text(HOW)]

    def written(self) -> list[Row]:
        """Return lines to write deviations on, and whose page it is."""
        line = Row(tuple(Cell("", "big") for _ in WIDTHS), scale=1.75, spans=((1, COLUMNS),))
        whose = self.text(f"{self.estimate['reference']}, {day_name(self.day)}")
        return [_bar(OTHER), *(line,) * DEVIATIONS, whose]

    def sheet(self) -> Sheet:
        """Return the page."""
        order = order_rows(self.day, self.parts, self.estimate, self.widths)
        rows = [*self.top(), *self.care(), *self.take(), _bar("IN THIS ORDER"), *order, *self.written()]
        return Sheet(f"Day {self.day['day']}", self.widths, tuple(rows), 1, one_page=True)


USE = ((1, 3), (4, 5))  # columns of a name, and of what to take, which packs make long


def _supply(use: Use, take: dict[tuple[str, str], Thing], units: Units) -> Row:
    """Return what is used up of one thing: today, after today; what to load for the whole job first of all."""
    name = SUPPLIES[use.key] + (f", {use.name}" if use.name else "")
    one = take.get((use.key, use.name or ""))
    total = None if one is None else one.take + (f", {one.packs}" if one.packs else "")
    today, after = (shown(use.key, value, units) for value in (use.today, use.after))
    values = (name, None, None, total or None, None, today, after)
    return Row(tuple(Cell(one, "bigtext") for one in values), scale=TEXT, spans=USE)


def sheets(estimate: Estimate) -> tuple[Sheet, ...]:
    """Return a page for each day; none where the document says nothing about the order of work."""
    schedule = perhaps(estimate.get("schedule"))
    if schedule is None:
        return ()
    parts, uses = by_day(schedule), uses_of(estimate, tuple(SUPPLIES))
    return tuple(_page(day, parts[day["day"]], uses[day["day"]], estimate) for day in days_of(schedule))


def _page(day: Day, parts: list[Part], uses: list[Use], estimate: Estimate) -> Sheet:
    """Return the page of a day; one of many tasks has wider columns, prints smaller and still fills its paper."""
    pages = (_Page(estimate, day, parts, uses, _grown(growth)).sheet() for growth in GROWTHS)
    page = next(pages)
    for wider in pages:
        if _fits(page):
            break
        page = wider
    return page
