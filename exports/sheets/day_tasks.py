"""The tasks of a day on its page: when, what, who, the settings wanted at hand, and boxes to write into."""

from estimator.document.bore import Bore
from estimator.document.schedule import Schedule
from estimator.document.tasks import Task
from estimator.estimate import Estimate
from exports.cells import Cell, Row, lines_of
from exports.days import Part, by_task, clock, drives, of_people
from exports.format import bare, by_key, counted

__all__ = ["BESIDE", "order_rows"]

BESIDE = 0.92  # a character of a box's text over the width of a column's unit
LEAST = 2  # lines of a task's row, so that a figure can be written
LOOKS = ("boxbold", "boxbold", "box", "box", "box", "box", "box")
HEADS = ("from", "to", "what", "who", "settings; measure and write down", "figure", "at")


def _span(values: list[float], places: int) -> str:
    low, high = (f"{value:.{places}f}" for value in (min(values), max(values)))
    return low if low == high else f"{low} to {high}"


def _welded(bore: Bore) -> str:
    """Return wire, gas, feed, current and layers of a bore in short."""
    built = bore["buildup"]
    feeds, amps = ([one[key] for one in built["layers"]] for key in ("wire_feed_m_min", "current_A"))
    return (
        f"{built['wire']}, {built['gas']} {built['gas_flow_L_min']:.0f} L/min, feed {_span(feeds, 2)} m/min,"
        f" {_span(amps, 0)} A, {counted(len(built['layers']), 'layer')}: see the card of bore {bore['name']}."
    )


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
    turns = f"{_listed(rpm)} rpm, {_listed(feeds)} mm/turn"
    return f"{counted(len(cuts), 'pass', 'passes')} to \u00d8 {size}, {turns}."


def _listed(values: set[str]) -> str:
    return "/".join(sorted(values, key=float))


def _going_on(part: Part, schedule: Schedule) -> str:
    """Return that a task of several days goes on tomorrow, or comes from the day before."""
    days = [one.day for one in by_task(schedule)[part.task["number"]]]
    if len(days) == 1:
        return ""
    return " (continues tomorrow)" if part.day < max(days) else " (continued)"


def _who(task: Task, schedule: Schedule) -> str:
    who = of_people(task, schedule).replace("technician", "tech.") or "unattended"
    return who + (f", rig {task['machine']}" if task["machine"] else "")


def _row(part: Part, schedule: Schedule, bore: Bore | None, widths: tuple[float, ...]) -> Row:
    """Return one task: when, what, who, settings and what to measure, and boxes to write figure and time into."""
    task = part.task
    marks = f"{part.minutes:.0f} min{', HOT' if task['hot'] else ''}{', critical' if task['critical'] else ''}"
    what = f"{task['number']}. {task['name']}{_going_on(part, schedule)}\n{marks}; after: {task['held_by']}"
    asked = [_setting(task, bore), *(f"\u25a1 {one}" for one in task.get("measure", ()))]
    ask, who = "\n".join(one for one in asked if one), _who(task, schedule)
    tall = max(lines_of(said, widths[at], BESIDE) for said, at in ((what, 2), (who, 3), (ask, 4)))
    values = (clock(schedule, part.start), clock(schedule, part.end), what, who, ask, None, None)
    return Row(tuple(Cell(v, look) for v, look in zip(values, LOOKS, strict=True)), lines=max(LEAST, tall))


def _drive(name: str, start: float, end: float, schedule: Schedule) -> Row:
    values = (clock(schedule, start), clock(schedule, end), name, "all", None, None, None)
    return Row(tuple(Cell(v, look) for v, look in zip(values, LOOKS, strict=True)), scale=1.1)


def order_rows(day: int, parts: list[Part], estimate: Estimate, widths: tuple[float, ...]) -> list[Row]:
    """Return the tasks of a day in the order of the clock, drives among them, below their heads."""
    schedule, bores = estimate["schedule"], {one["name"]: one for one in estimate["bores"]}
    rows = [(one.start, one.end, _row(one, schedule, bores.get(one.task["bore"] or ""), widths)) for one in parts]
    here = [one for one in drives(schedule) if one.day == day]
    rows += [(one.start, one.end, _drive(one.name, one.start, one.end, schedule)) for one in here]
    head = Row(tuple(Cell(one, "bighead") for one in HEADS), scale=1.2)
    return [head, *(row for _, _, row in sorted(rows, key=lambda one: one[:2]))]
