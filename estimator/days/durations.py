"""What each task takes: the time of the bores and of the job, shared out among the tasks. Scalars or arrays."""

from collections.abc import Mapping, Sequence

from estimator.book.calibration import by_shop
from estimator.days.tasks import Task
from estimator.formula import choice, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.shop.standards import Counts, line_elements
from estimator.shop.time import BoreTime, OnceTime, shared_time
from estimator.tables import Tables

__all__ = ["durations_of", "own_part"]

LINE_TASKS = {"rig": "setup", "to torch": "weld", "to bar": "finish", "strip": "teardown"}
OWN_TASKS = {"prepare": ("setup",), "clean-up": ("precut",), "weld": ("preheat", "weld"), "finish": ("finish",)}
OWN_TASKS |= {"inspect": ("inspection", "teardown")}


@formula("own_part", "a bore's time in a phase less its share of what is done once a line", "computed", unit="s")
def own_part(phase: float, line_time: float, line_bores: int) -> float:
    """Time of a phase that is a bore's own. [s]"""
    return phase - line_time / line_bores


def _line_times(counts: Counts, factors: Mapping[str, float], facts: Tables, inputs: Inputs) -> dict[str, float]:
    """Return the work done once a line, by phase, as recorded jobs have moved it. [s]"""
    found: dict[str, list[float]] = {}
    for one in line_elements(counts, facts, inputs):
        found.setdefault(one.phase, []).append(one.time)
    return {phase: by_shop(summed("line_time", "s", *parts), phase, factors) for phase, parts in found.items()}


def durations_of(
    tasks: Sequence[Task],
    bores: Sequence[BoreTime],
    lines: Mapping[str, Counts],
    once: OnceTime,
    facts: Tables,
    inputs: Inputs,
) -> list[float]:
    """Return what each task takes. [s]

    Parameters
    ----------
    tasks
        The tasks of the job.
    bores
        Time of each bore, by its number in the tasks.
    lines
        How often each element is done, of any bore of each line.
    once, facts, inputs
        What is done once a job; tables and the day.
    """
    on_line = {task.line: bores[task.bore].factors for task in tasks if task.line and task.bore is not None}
    found = list[float]()
    times = {line: _line_times(counts, on_line.get(line, {}), facts, inputs) for line, counts in lines.items()}
    for task in tasks:
        shared = times[task.line] if task.line else {}
        if task.code in OWN_TASKS and task.bore is not None and task.line is not None:
            number = choice(lines[task.line].line_bores, "line_bores", "bores that share the line's set-up")
            found.append(_own(bores[task.bore], OWN_TASKS[task.code], shared, number))
        elif task.code in LINE_TASKS:
            found.append(shared.get(LINE_TASKS[task.code], _none()))
        elif task.code == "cool" and task.bore is not None:
            found.append(bores[task.bore].cooldown)
        else:
            found.append(inputs.fire_watch if task.code == "watch" else _once(task.code, tasks, once))
    return found


def _once(code: str, tasks: Sequence[Task], once: OnceTime) -> float:
    """Return what a task of the job takes; several of one kind share the time evenly. [s]"""
    if code not in once.parts:
        return _none()
    number = choice(sum(task.code == code for task in tasks), "tasks", "tasks of this kind in the order of work")
    return once.parts[code] if number == 1 else shared_time(once.parts[code], number)


def _none() -> float:
    return leaf(0.0, "fact", "task", "no time standard for it", unit="s")


def _own(time: BoreTime, phases: Sequence[str], shared: Mapping[str, float], bores: int) -> float:
    parts = []
    for phase in phases:
        whole = getattr(time, phase)
        parts.append(own_part(whole, shared[phase], bores) if phase in shared else whole)
    return summed("task", "s", *parts)
