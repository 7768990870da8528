"""The tasks of the order of work in the estimate document, each with what its day's page asks for beside it."""

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import NotRequired

from typing_extensions import TypedDict

from estimator.days.schedule import Schedule
from estimator.days.spans import by_start
from estimator.days.tasks import Task as Work
from estimator.document.bore import Bore
from estimator.document.day import SAME, chosen, counted
from estimator.document.readings import Readings
from estimator.express import all_shown
from estimator.plans import Figures
from estimator.tables.rows import DayRow

__all__ = ["Task", "tasks_of"]


class Step(TypedDict):
    """What a task begins with, told as a step of its own: how long it is, what to measure."""

    name: str
    duration_min: float
    measure: list[str]


class Task(TypedDict):
    """One task as it falls into days. Minutes count from the moment the van leaves.

    `measure`: what to measure and write down; `tools`: what to have at hand, a row of the day card each;
    `tool_items`: the same one by one; `uses`: keys of what it uses up; `supplies`: what is used up and not counted.
    `begins_with`: the preheat of a weld, whose minutes are in the task's own.
    """

    number: int
    code: str
    name: str
    bore: str | None
    line: str | None
    people: list[int]
    machine: int | None
    hot: bool
    after: list[int]
    held_by: str
    critical: bool
    duration_min: float
    start_min: float
    end_min: float
    measure: list[str]
    tools: list[str]
    tool_items: list[str]
    uses: list[str]
    supplies: NotRequired[list[str]]
    begins_with: NotRequired[Step]


PREHEAT = "preheat"  # what rows of the day card name it by; no task of its own, since nothing may come between
BETWEEN = " | "  # two tools of a row of the day card


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


def _held_by(own: int, held: int | None, whole: Schedule) -> str:
    """Return in words what a task waited for last."""
    if held is None:
        return "the way to the site"
    before = whole.arrangement.tasks[held]
    spans = whole.calendar.spans
    night = float(spans[own][0]) > float(spans[held][1]) * (1 + SAME)
    return before.name + ("; then the next day" if night else "")


def tasks_of(figures: Figures, bores: list[Bore]) -> list[Task]:
    """Return the tasks in the order they start, numbered so, with what their day asks for; `bores` of the document."""
    whole, facts = figures.schedule, figures.plan.book.facts
    order = by_start(whole, facts.plain_constant("day"))
    numbers = {task: place + 1 for place, task in enumerate(order)}
    holds, rows = _holds(whole), list(facts.every("day_card", DayRow))
    critical, tasks = _critical(whole, holds), whole.arrangement.tasks
    lines = {bores[task.bore]["name"]: task.line for task in tasks if task.bore is not None}
    told = _told(figures, bores)
    found, turns = [], {turn.task: turn for turn in whole.arrangement.turns}
    for number in order:
        task, (start, end) = tasks[number], whole.calendar.spans[number]
        name, machine = None if task.bore is None else bores[task.bore]["name"], turns[number].machine
        asked = _asked(task, *told[_hottest(name, task.line, bores, lines)["name"]], rows)
        one = Task(
            number=counted(numbers[number]),
            code=task.code,
            name=task.name,
            bore=name,
            line=task.line,
            people=[counted(one + 1) for one in turns[number].people],
            machine=None if machine is None else counted(machine + 1),
            hot=task.hot,
            after=[counted(one) for one in sorted(numbers[before] for before in task.after)],
            held_by=_held_by(number, holds[number], whole),
            critical=number in critical,
            duration_min=whole.durations[number],
            start_min=chosen(start, "start", "when all it waits for is done and the shift has room for it"),
            end_min=chosen(end, "end", "start and duration, less what does not fit into a day and goes on the next"),
            measure=asked["measure"],
            tools=[one.replace(BETWEEN, ", ") for one in asked["tool"]],
            tool_items=[item for one in asked["tool"] for item in one.split(BETWEEN)],
            uses=asked["use"],
            supplies=[item for one in asked["supply"] for item in one.split(BETWEEN)],
        )
        if (bore := _preheated(task, bores)) is not None:
            one["begins_with"] = _preheat(bore, told[bore["name"]], rows)
        found.append(all_shown(one))
    return found


def _told(figures: Figures, bores: list[Bore]) -> dict[str, tuple[set[str], dict[str, str]]]:
    """Return by bore what holds of it, and the figures that a row's text names."""
    counts = [one.plan.counts for one in figures.bores]
    return {
        bore["name"]: (_cases(bore) | count.around.here | count.decided, _words(bore))
        for bore, count in zip(bores, counts, strict=True)
    }


def _preheated(task: Work, bores: list[Bore]) -> Bore | None:
    """Return the bore that a task preheats before it welds; none of any other task."""
    bore = None if task.bore is None or task.code != "weld" else bores[task.bore]
    return bore if bore is not None and bore["heat"]["preheat_C"] else None


def _preheat(bore: Bore, told: tuple[set[str], dict[str, str]], rows: Sequence[DayRow]) -> Step:
    """Return the preheat of a bore as the step that its weld begins with."""
    cases, words = told
    measure = [row.text.format(**words) for row in rows if row.task == PREHEAT and row.when in cases]
    return {"name": f"preheat {bore['name']}", "duration_min": bore["time"]["preheat_min"], "measure": measure}


def _asked(task: Work, cases: set[str], words: dict[str, str], rows: Sequence[DayRow]) -> dict[str, list[str]]:
    """Return what a task asks for on the page of its day: what to measure, tools, keys of what it uses up.

    `cases`, `words`: what holds of its bore, and the figures that a row's text names.
    """
    found: dict[str, list[str]] = {"measure": [], "tool": [], "supply": [], "use": []}
    for row in rows:
        if row.task == task.code and row.when in cases:
            found[row.kind].append(row.text if row.kind == "use" else row.text.format(**words))
    return found


MOST_PLACES = 12  # depths or clock positions that are read out one by one


def _said(value: float, places: int) -> str:
    """Return a figure rounded half up; nine digits of it count, so that no last bit decides."""
    step = Decimal(1).scaleb(-places)
    return f"{Decimal(f'{value:.9g}').quantize(step, ROUND_HALF_UP):f}"


def _places(values: list[float]) -> str:
    return ", ".join(f"{value:g}" for value in values)


def _read(bore: Bore) -> Readings | None:
    """Return the readings whose places a person can take again by hand; None where there are none."""
    readings = bore["given"]["readings"]
    if readings is None or readings["kind"] == "points":
        return None
    few = max(len(readings["depths_mm"]), len(readings["clock_deg"])) <= MOST_PLACES
    return readings if few and readings["depths_mm"] and readings["clock_deg"] else None


GAUGED = {"diameter": "worn diameter", "radius": "worn radius", "three-point": "worn three-point diameter"}
HALF_TURN = 180.0  # degrees


def _across(read: Readings) -> list[float]:
    """Return where on the clock a diameter is taken: a radius at 200 degrees lies on the diameter at 20."""
    return sorted({at % HALF_TURN for at in read["clock_deg"]}) if read["kind"] == "radius" else read["clock_deg"]


def _words(bore: Bore) -> dict[str, str]:
    """Return the figures of a bore under the words that a row's text names them by."""
    sizes, heat, read = bore["sizes"], bore["heat"], _read(bore)
    bearings = bore["setup"]["bearings"]
    return {
        "cleanup": _said(sizes["cleanup_mm"], 2),
        "weld": _said(sizes["weld_mm"], 2),
        "finish_min": _said(sizes["finish_min_mm"], 3),
        "finish_max": _said(sizes["finish_max_mm"], 3),
        "warm_min": _said(sizes["finish_min_mm"] + heat["finish_growth_mm"], 3),
        "warm_max": _said(sizes["finish_max_mm"] + heat["finish_growth_mm"], 3),
        "preheat": _said(heat["preheat_C"] or 0.0, 0),
        "interpass": _said(heat["interpass_max_C"], 0),
        "cut": _said(heat["finish_cut_max_C"], 0),
        "bearings": f"{bearings:d} bearing{'' if bearings == 1 else 's'}",
        "burners": f"{heat['burners']:g} burner{'' if heat['burners'] == 1 else 's'}",
        "layers": f"{len(bore['buildup']['layers'])}",
        "depths": "" if read is None else _places(read["depths_mm"]),
        "clock": "" if read is None else _places(read["clock_deg"]),
        "across": "" if read is None else _places(_across(read)),
        "gauged": GAUGED.get("" if read is None else read["kind"], "worn size"),
    }


def _cases(bore: Bore) -> set[str]:
    """Return the cases that hold for a bore."""
    found = {"always", "ungauged" if _read(bore) is None else "gauged"}
    found |= {"preheat"} if bore["heat"]["preheat_C"] else set()
    if bore["setup"]["mounts"] == "welded":
        found |= {"brackets", "hot brackets"} if "preheat" in found else {"brackets"}
    else:
        found.add("clamps")
    return found | {"layered" if len(bore["buildup"]["layers"]) > 1 else "one layer"}


def _hottest(name: str | None, line: str | None, bores: list[Bore], lines: dict[str, str | None]) -> Bore:
    """Return the bore a task is on; of what is done once a line or a job, the bore that asks for most heat."""
    here = [one for one in bores if name in {one["name"], None}]
    if name is None and line is not None:
        here = [one for one in bores if lines.get(one["name"]) == line] or here
    return max(here, key=lambda one: float(one["heat"]["preheat_C"] or 0))
