"""Where the hours go: bore by bore, once a job, travel, from leaving to being back."""

import math

from estimator.estimate import Estimate
from exports.adding import rounded_rows, said_adding_up
from exports.cells import Cell, Formula, Row, Sheet, blank, head, heading, note, title
from exports.format import by_key, clock_time, has, hours_said

__all__ = ["sheet"]

PHASES = (
    ("Set-up", "setup_min"),
    ("Clean-up boring", "precut_min"),
    ("Preheat", "preheat_min"),
    ("Welding", "weld_min"),
    ("Cooling", "cooldown_min"),
    ("Boring to size", "finish_min"),
    ("Inspection", "inspection_min"),
    ("Strip", "teardown_min"),
)
WIDTHS = (24.0, *(11.0,) * (len(PHASES) + 1))
COLUMNS = len(WIDTHS)
WHOLE = (
    ("Travel", "travel_min"),
    ("Arc time", "arc_time_min"),
    ("People", "people"),
    ("Trips there and back", "trips"),
    ("Overtime, each person", "overtime_h"),
    ("Crew standing by", "standing_h"),
    ("Hours to pay, travel included", "labour_h"),
    ("From leaving to being back", "elapsed_h"),
    ("Nights away", "nights"),
)
AWAY = "Less: cooling while nobody is on site"
ON_SITE = (
    "All bores together",
    "Once a job",
    "Fire watch that no other work fills",
    "Less: overlapping work, counted once",
    AWAY,
)

ELEMENT = (
    ("Low", "low_min", "0.0"),
    ("Likely", "likely_min", "0.0"),
    ("High", "high_min", "0.0"),
    ("Expected", "expected_min", "0.0"),
    ("Site factor", "factor", "0.00"),
    ("Count", "count", "0.##"),
    ("Repeat saving", "learned_min", "0.0"),
    ("Total", "total_min", "0.0"),
)


def _letter(number: int) -> str:
    return "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[number]


def _standards(estimate: Estimate) -> list[Row]:
    """Return the time standards that were counted, each with its range and source; none in an old quote."""
    if not has(estimate, "times"):
        return []
    rows = [blank(), heading("Time standards counted, minutes", COLUMNS)]
    rows.append(head("Element", "Phase", "Once per", *(name for name, _, _ in ELEMENT)))
    for one in estimate["times"]:
        words = (Cell(one["meaning"]), Cell(one["phase"]), Cell(one["per"]))
        rows.append(Row((*words, *(Cell(by_key(one).get(key), form=form) for _, key, form in ELEMENT))))
    whole = by_key(estimate["times_sum"])
    said = ", ".join(f"{name} {whole[f'{name}_min']:,.0f}" for name in ("low", "likely", "expected", "high"))
    rows.append(note(f"Together, minutes: {said}. Expected is (low + 4 likely + high) / 6.", COLUMNS, sum(WIDTHS)))
    return rows


def _whole(estimate: Estimate) -> list[Row]:
    """Return the hours of the whole job as people say them; what makes up the time on site adds up to it."""
    totals, bores = by_key(estimate["totals"]), math.fsum(bore["time"]["total_min"] for bore in estimate["bores"])
    parts = [bores, totals["once_min"], totals["fire_watch_min"], -totals["used_wait_min"]]
    parts.append(-totals.get("away_wait_min", 0.0))
    said = zip(ON_SITE, parts, said_adding_up(parts, totals["on_site_min"]), strict=True)
    rows = [(name, words) for name, minutes, words in said if minutes or name != AWAY]
    rows.append(("On site", clock_time(totals["on_site_min"])))
    for name, key in WHOLE:
        if key in totals:
            turned = {"min": clock_time, "h": hours_said}.get(key.rpartition("_")[2], "{:g}".format)
            rows.append((name, turned(totals[key])))
    return [Row((Cell(name), Cell(said, "value"))) for name, said in rows]


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the hours."""
    rows = [title(f"Hours of {estimate['reference']}", COLUMNS)]
    rows += [note("Minutes by bore; the set-up of a line is shared by its bores.", COLUMNS, sum(WIDTHS))]
    rows += [head("Bore", *(name for name, _ in PHASES), "Total")]
    first = len(rows) + 1
    each = rounded_rows([[by_key(bore["time"])[key] for _, key in PHASES] for bore in estimate["bores"]])
    for bore, (*minutes, whole) in zip(estimate["bores"], each, strict=True):
        here = len(rows) + 1
        total = Formula(f"SUM(B{here}:{_letter(COLUMNS - 2)}{here})", float(whole))
        rows.append(Row((Cell(bore["name"]), *(Cell(one, form="0") for one in minutes), Cell(total, "sum", "0"))))
    last = len(rows)
    sums = []
    for number in range(1, len(PHASES) + 2):
        value = float(sum(row[number - 1] for row in each))
        sums.append(Cell(Formula(f"SUM({_letter(number)}{first}:{_letter(number)}{last})", value), "sum", "0"))
    rows += [Row((Cell("All bores", "sum"), *sums)), blank(), *_whole(estimate)]
    rows += _standards(estimate)
    return Sheet("Hours", (44.0, *WIDTHS[1:]), tuple(rows), 3, wide=True)
