"""The bars of the order of work: their kinds, in which row they lie, how they look without colour, the legend."""

from typing import NamedTuple

from estimator.document.day import Day
from estimator.document.schedule import Schedule
from exports.days import Part, drives
from exports.pictures.paper import WIDTH, cut, ems
from exports.pictures.svg import INK, PAPER, Drawing

__all__ = ["KINDS", "Bar", "draw_bar", "legend", "rows_of"]

KINDS = {
    "clean-up": "bores",
    "finish": "bores",
    "weld": "welds",
    "test bead": "welds",
    "cool": "cools",
    "watch": "watch",
    "inspect": "measures",
    "prepare": "measures",
}
NAMES = {
    "drive": "drives",
    "sets up": "sets up, changes over",
    "measures": "cleans, measures",
    "bores": "bores",
    "welds": "welds",
    "cools": "cools by itself",
    "watch": "fire watch",
    "machine": "rig on a line",
}
SHORT = {
    "arrive": "arrive",
    "test bead": "test bead",
    "change": "change",
    "rig": "set up bar",
    "to torch": "to torch",
    "to bar": "to bar",
    "strip": "strip",
    "prepare": "measure",
    "clean-up": "bore",
    "finish": "bore",
    "weld": "weld",
    "cool": "cools",
    "inspect": "inspect",
    "watch": "watch",
}
FILLS = {"drive": "#f1f3f5", "sets up": PAPER, "bores": "#c9d0d7", "welds": "#39434f", "machine": PAPER}
HATCHED = {"cools": "unmeasured", "watch": "datum", "measures": "under"}
TYPE, LEAST = 2.4, 2.2  # height of type in a bar; width below which a bar bears none [mm]
TEETH = 1.1  # pitch of the saw teeth of hot work [mm]


class Bar(NamedTuple):
    """One bar: its kind, words from the longest on, whether hot, whether it fixes the end; minutes from the start."""

    kind: str
    start: float
    end: float
    words: tuple[str, ...]
    hot: bool = False
    critical: bool = False
    task: int | None = None


def _bar(part: Part) -> Bar:
    """Return the bar of a task's part of a day."""
    task = part.task
    number, bore = str(task["number"]), task["bore"]
    kind = KINDS.get(task["code"], "sets up")
    short = SHORT.get(task["code"], task["code"])
    words = [task["name"], *([f"{short} {bore}", bore] if bore else [short]), number]
    return Bar(
        kind=kind,
        start=part.start,
        end=part.end,
        words=tuple(words),
        hot=task["hot"],
        critical=task["critical"],
        task=task["number"],
    )


def _lanes(bars: list[Bar]) -> list[list[Bar]]:
    """Return bars in as few rows as keep them apart."""
    lanes: list[list[Bar]] = []
    for bar in sorted(bars, key=lambda one: (one.start, one.end)):
        free = next((lane for lane in lanes if lane[-1].end <= bar.start + 1e-6), None)
        if free is None:
            lanes.append([bar])
        else:
            free.append(bar)
    return lanes


def _watch(day: Day, parts: list[Part]) -> list[Bar]:
    """Return the fire watch of a day that has no task of its own for it."""
    if (
        day["hot_until_min"] is None
        or day["watch_until_min"] is None
        or any(part.task["code"] == "watch" for part in parts)
    ):
        return []
    return [Bar("watch", day["hot_until_min"], day["watch_until_min"], ("fire watch", "watch"))]


def _machines(schedule: Schedule, parts: list[Part]) -> list[tuple[str, list[Bar]]]:
    """Return a row for each machine: the lines it is set to that day, from the first task to the last."""
    found = []
    for machine in range(1, schedule["machines"] + 1):
        held: dict[str, list[Part]] = {}
        for part in parts:
            if part.task["machine"] == machine:
                held.setdefault(part.task["line"] or "", []).append(part)
        bars = [
            Bar("machine", min(p.start for p in own), max(p.end for p in own), (f"on {line}", line))
            for line, own in held.items()
        ]
        found += [(f"rig {machine}", lane) for lane in _lanes(bars)]
    return found


def rows_of(day: Day, schedule: Schedule, parts: list[Part]) -> list[tuple[str, list[Bar]]]:
    """Return the rows of a day: a row for each who goes, each machine, and what goes on by itself.

    Parameters
    ----------
    day, schedule
        The day and the order of work of the document.
    parts
        The parts of tasks of that day.
    """
    here = [one for one in drives(schedule) if one.day == day["day"]]
    driven = [Bar("drive", one.start, one.end, (one.name, "drive")) for one in here]
    rows: list[tuple[str, list[Bar]]] = []
    for number, role in enumerate(schedule["roles"], 1):
        own = [_bar(part) for part in parts if number in part.task["people"]]
        rows.append((role["role"], [*driven, *own]))
    rows += _machines(schedule, parts)
    alone = [_bar(part) for part in parts if not part.task["people"]] + _watch(day, parts)
    return [*rows, *(("meanwhile", lane) for lane in _lanes(alone))]


def _paint(drawing: Drawing, kind: str) -> str:
    return drawing.hatch(HATCHED[kind]) if kind in HATCHED else FILLS[kind]


def _teeth(drawing: Drawing, x: float, y: float, width: float) -> None:
    """Draw the saw teeth of hot work along the top of a bar."""
    count = max(1, int(width / TEETH))
    step = width / count
    places = [(x, y)]
    for n in range(count):
        places += [(x + (n + 0.5) * step, y - 0.75), (x + (n + 1) * step, y)]
    drawing.path(places, stroke_width=0.3, data_hot="hot")


def draw_bar(drawing: Drawing, bar: Bar, box: tuple[float, float, float, float]) -> None:
    """Draw a bar into a box (left, top, width, height), with the longest of its words that fits. [mm]"""
    x, y, width, height = box
    outline = 0.7 if bar.critical else 0.2
    named: dict[str, float | str] = {"data_kind": bar.kind}
    named |= {} if bar.task is None else {"data_task": str(bar.task)}
    named |= {"data_critical": "yes"} if bar.critical else {}
    drawing.rect(x, y, width, height, fill=_paint(drawing, bar.kind), stroke=INK, stroke_width=outline, **named)
    if bar.hot:
        _teeth(drawing, x, y, width)
    room = width - 0.9
    said = next((one for one in bar.words if TYPE * ems(one) <= room), "")
    if width < LEAST or not said:
        return
    if bar.kind in HATCHED:
        wide = min(room, TYPE * ems(said) + 0.4)
        drawing.rect(x + (width - wide) / 2, y + 0.8, wide, height - 1.6, fill=PAPER)
    ink = PAPER if bar.kind == "welds" else INK
    drawing.text(x + width / 2, y + height - 1.45, said, TYPE, fill=ink, text_anchor="middle")


def legend(drawing: Drawing, x: float, y: float) -> float:
    """Draw what the bars mean, in four columns; return where it ends. [mm]"""
    drawing.group("legend")
    wide = (WIDTH - 2 * x) / 4
    for n, (kind, name) in enumerate(NAMES.items()):
        left, top = x + n % 4 * wide, y + n // 4 * 5.4
        drawing.rect(left, top, 7, 3.6, fill=_paint(drawing, kind), stroke=INK, stroke_width=0.2)
        if kind == "welds":
            _teeth(drawing, left, top, 7)
        drawing.text(left + 8.2, top + 2.8, cut(name, wide - 9, 2.5), 2.5)
    return y + 5.4 * -(-len(NAMES) // 4) + 1
