"""The tasks of a day as lines: when, what, who, the settings wanted at hand, what to measure and write down."""

from typing import NamedTuple

from estimator.document.bore import Bore
from estimator.document.day import Day
from estimator.document.schedule import Schedule
from estimator.document.tasks import Task
from estimator.estimate import Estimate
from exports.days import WATCH, Part, Watch, by_task, drives, of_people, parted, watches
from exports.format import bare, by_key, clock_time, counted
from exports.gaps import OPENED, gaps
from exports.settings import Setting, has_cooler_bead, settings_of

__all__ = ["Line", "lines_of_day"]


PERMIT = ("permit signed: who, when",)


class Line(NamedTuple):
    """One line of a day: minutes as in `Part`; what is done, marks below it; who; settings; what to measure.

    `figures`: whether somebody writes figures down beside it; `task`: its number in the order of work.
    """

    start: float
    end: float
    what: str
    marks: str = ""
    who: str = "all"
    settings: str = ""
    asked: tuple[str, ...] = ()
    figures: bool = False
    task: int | None = None


def _span(values: list[float], places: int) -> str:
    low, high = (f"{value:.{places}f}" for value in (min(values), max(values)))
    return low if low == high else f"{low} to {high}"


def _welded(bore: Bore) -> str:
    """Return wire, gas, feed, current and layers of a bore in short."""
    built = bore["buildup"]
    each = [one for layer in built["layers"] for one in settings_of(layer)]
    first, rest = (each[:1], each[1:]) if has_cooler_bead(built) else ([], each)
    gas = f"{built['gas']} {built['gas_flow_L_min']:.0f} L/min"
    said = f"{built['wire']}, {gas}. " + (f"First bead: {_set_to(first)}; then: " if first else "")
    return f"{said}{_set_to(rest)}; {counted(len(built['layers']), 'layer')}: see the card of bore {bore['name']}."


def _set_to(each: list[Setting]) -> str:
    """Return feed, current, volts and travel, from the least to the most."""
    feed, amps = _span([one.wire_feed for one in each], 2), _span([one.current for one in each], 0)
    volts, travel = _span([one.voltage for one in each], 1), _span([one.travel for one in each], 0)
    return f"feed {feed} m/min, {amps} A, {volts} V, travel {travel} mm/min"


def _setting(task: Task, bore: Bore | None) -> str:
    """Return the settings that are wanted at hand for a task."""
    if bore is None or task["code"] not in {"weld", "clean-up", "finish"}:
        return ""
    if task["code"] == "weld":
        return _welded(bore) if bore["buildup"]["layers"] else ""
    first = task["code"] == "clean-up"
    cuts = [one for one in bore["machining"]["passes"] if (one["purpose"] == "clean-up") == first]
    if not cuts:
        return ""
    size = bare("to_mm", cuts[-1]["to_mm"], "metric")
    rpm, feeds = (
        {f"{by_key(one)[key]:{form}}" for one in cuts} for key, form in (("rpm", ".0f"), ("feed_mm_rev", ".2g"))
    )
    turns = f"{_listed(rpm)} rpm, {' and '.join(f'{one} mm/turn' for one in sorted(feeds, key=float))}"
    return f"{counted(len(cuts), 'pass', 'passes')} to \u00d8 {size} mm, {turns}."


def _listed(values: set[str]) -> str:
    return "/".join(sorted(values, key=float))


def _going_on(part: Part, schedule: Schedule) -> str:
    """Return that a task of several days goes on tomorrow, or comes from the day before."""
    days = [one.day for one in by_task(schedule)[part.task["number"]]]
    if len(days) == 1:
        return ""
    return " (continues tomorrow)" if part.day < max(days) else " (continued)"


def _short(who: str) -> str:
    return who.replace("technician", "tech.")


def _who(task: Task, schedule: Schedule) -> str:
    return _short(of_people(task, schedule)) + (f", rig {task['machine']}" if task["machine"] else "")


def _step(step: Part, schedule: Schedule) -> Line:
    """Return what a task begins with as a line of its own."""
    task = step.task
    marks = f"{step.minutes:.0f} min, HOT{', critical' if task['critical'] else ''}; after: {task['held_by']}"
    asked = tuple(task["begins_with"]["measure"])
    what = f"{task['number']}. {task['begins_with']['name']}"
    return Line(step.start, step.end, what, marks=marks, who=_who(task, schedule), asked=asked, figures=True)


def _work(whole: Part, schedule: Schedule, bore: Bore | None) -> list[Line]:
    """Return one task: when, what, who, settings and what to measure; before it the step that it begins with."""
    step, part = parted(whole)
    task = part.task
    marks = f"{part.minutes:.0f} min{', HOT' if task['hot'] else ''}{', critical' if task['critical'] else ''}"
    what = f"{task['number']}. {task['name']}{_going_on(part, schedule)}"
    begun = [] if step is None else [_step(step, schedule)]
    before = "the preheat" if begun else task["held_by"]
    told = {
        "marks": f"{marks}; after: {before}",
        "who": _who(task, schedule),
        "settings": _setting(task, bore),
    }
    line = Line(
        part.start, part.end, what, **told, asked=tuple(task.get("measure", ())), figures=True, task=task["number"]
    )
    return [*begun, line]


def _watch(watch: Watch) -> Line:
    """Return the fire watch: who keeps it and how long."""
    what = f"{watch.number}. fire watch" if watch.number else "fire watch"
    marks = f"{clock_time(watch.minutes)} after the last hot work"
    who = _short(watch.who)
    return Line(watch.start, watch.end, what, marks=marks, who=who, asked=watch.measure, figures=True)


def _for_all(start: float, end: float, what: str) -> Line:
    """Return a drive, the beginning or end of a day, or a wait: of all who go; the permit is written down."""
    return Line(start, end, what, asked=PERMIT if what in OPENED else (), figures=what in OPENED)


def lines_of_day(day: Day, parts: list[Part], estimate: Estimate) -> list[Line]:
    """Return the tasks of a day in the order of the clock, drives among them."""
    schedule, bores = estimate["schedule"], {one["name"]: one for one in estimate["bores"]}
    work = [one for one in parts if one.task["code"] != WATCH]
    lines = [line for one in work for line in _work(one, schedule, bores.get(one.task["bore"] or ""))]
    watch = watches(schedule).get(day["day"])
    lines += [_watch(watch)] if watch else []
    here = [one for one in drives(schedule) if one.day == day["day"]]
    between = [(one.start, one.end, one.name) for one in here]
    between += [(one.start, one.end, one.what) for one in gaps(day, parts, schedule)]
    lines += [_for_all(start, end, name) for start, end, name in between]
    return sorted(lines, key=lambda one: (one.start, one.end))
