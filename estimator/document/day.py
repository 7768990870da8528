"""What stands on the page of a day beside each task: what to measure with its figures, tools, what is used up."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from estimator.tables import Tables
from estimator.tables.rows import DayRow

__all__ = ["with_days"]

MOST_PLACES = 12  # depths or clock positions that are read out one by one


def _said(value: float, places: int) -> str:
    """Return a figure rounded half up; nine digits of it count, so that no last bit decides."""
    step = Decimal(1).scaleb(-places)
    return f"{Decimal(f'{value:.9g}').quantize(step, ROUND_HALF_UP):f}"


def _places(values: list[float]) -> str:
    return ", ".join(f"{value:g}" for value in values)


def _read(bore: dict[str, Any]) -> dict[str, Any] | None:
    """Return the readings whose places a person can take again by hand; None where there are none."""
    readings: dict[str, Any] | None = bore["given"]["readings"]
    if readings is None or readings["kind"] == "points":
        return None
    few = max(len(readings["depths_mm"]), len(readings["clock_deg"])) <= MOST_PLACES
    return readings if few and readings["depths_mm"] and readings["clock_deg"] else None


def _words(bore: dict[str, Any]) -> dict[str, str]:
    """Return the figures of a bore under the words that a row's text names them by."""
    sizes, heat, read = bore["sizes"], bore["heat"], _read(bore)
    return {
        "cleanup": _said(sizes["cleanup_mm"], 2),
        "weld": _said(sizes["weld_mm"], 2),
        "finish_min": _said(sizes["finish_min_mm"], 3),
        "finish_max": _said(sizes["finish_max_mm"], 3),
        "preheat": _said(heat["preheat_C"] or 0.0, 0),
        "interpass": _said(heat["interpass_max_C"], 0),
        "cut": _said(heat["finish_cut_max_C"], 0),
        "layers": f"{len(bore['buildup']['layers'])}",
        "depths": "" if read is None else _places(read["depths_mm"]),
        "clock": "" if read is None else _places(read["clock_deg"]),
    }


def _cases(bore: dict[str, Any]) -> set[str]:
    """Return the cases that hold for a bore."""
    found = {"always", "ungauged" if _read(bore) is None else "gauged"}
    found |= {"preheat"} if bore["heat"]["preheat_C"] else set()
    return found | {"layered" if len(bore["buildup"]["layers"]) > 1 else "one layer"}


def _hottest(task: dict[str, Any], bores: list[dict[str, Any]], lines: dict[str, Any]) -> dict[str, Any]:
    """Return the bore a task is on; of what is done once a line or a job, the bore that asks for most heat."""
    here = [one for one in bores if task["bore"] in {one["name"], None}]
    if task["bore"] is None and task["line"] is not None:
        here = [one for one in bores if lines.get(one["name"]) == task["line"]] or here
    return max(here, key=lambda one: float(one["heat"]["preheat_C"] or 0))


def with_days(schedule: dict[str, Any], bores: list[dict[str, Any]], facts: Tables) -> dict[str, Any]:
    """Return the order of work with what each task asks for on the page of its day.

    Parameters
    ----------
    schedule
        The order of work as it stands in the document.
    bores
        The bores of the document.
    facts
        The tables; `day_card` says what each kind of task asks for.
    """
    rows = list(facts.every("day_card", DayRow))
    lines = {one["bore"]: one["line"] for one in schedule["tasks"] if one["bore"] is not None}
    for task in schedule["tasks"]:
        bore = _hottest(task, bores, lines)
        cases, words = _cases(bore), _words(bore)
        here = [row for row in rows if row.task == task["code"] and row.when in cases]
        task["measure"] = [row.text.format(**words) for row in here if row.kind == "measure"]
        task["tools"] = [row.text.format(**words) for row in here if row.kind == "tool"]
        task["uses"] = [row.text for row in here if row.kind == "use"]
    return schedule
