"""Where the hours go: bore by bore, once a job, travel, door to door."""

from estimator.estimate import Estimate
from exports.cells import Cell, Formula, Row, Sheet, blank, head, heading, note, title
from exports.format import by_key, has

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
    ("Once a job [min]", "once_min", "0"),
    ("Fire watch that no other work fills [min]", "fire_watch_min", "0"),
    ("Overlapping work, counted once [min]", "used_wait_min", "0"),
    ("Cooling while nobody is on site [min]", "away_wait_min", "0"),
    ("On site [min]", "on_site_min", "0"),
    ("Travel [min]", "travel_min", "0"),
    ("Arc time [min]", "arc_time_min", "0"),
    ("People", "people", "0"),
    ("Trips there and back", "trips", "0"),
    ("Overtime, each person [h]", "overtime_h", "0.0"),
    ("Crew standing by [h]", "standing_h", "0.0"),
    ("Paid hours, with travel [h]", "labour_h", "0.0"),
    ("Door to door [h]", "elapsed_h", "0.0"),
    ("Nights away", "nights", "0"),
)

ELEMENT = (
    ("Low", "low_min", "0.0"),
    ("Likely", "likely_min", "0.0"),
    ("High", "high_min", "0.0"),
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
        rows.append(Row((*words, *(Cell(by_key(one)[key], form=form) for _, key, form in ELEMENT))))
    whole = by_key(estimate["times_sum"])
    said = ", ".join(f"{name} {whole[f'{name}_min']:,.0f}" for name in ("low", "likely", "expected", "high"))
    rows.append(note(f"Together, minutes: {said}. Expected is (low + 4 likely + high) / 6.", COLUMNS, sum(WIDTHS)))
    return rows


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the hours."""
    rows = [title(f"Hours of {estimate['reference']}", COLUMNS)]
    rows += [note("Minutes by bore; the set-up of a line is shared by its bores.", COLUMNS, sum(WIDTHS))]
    rows += [head("Bore", *(name for name, _ in PHASES), "Total")]
    first = len(rows) + 1
    for bore in estimate["bores"]:
        time, here = by_key(bore["time"]), len(rows) + 1
        total = Formula(f"SUM(B{here}:{_letter(COLUMNS - 2)}{here})", time["total_min"])
        rows.append(
            Row((Cell(bore["name"]), *(Cell(time[key], form="0") for _, key in PHASES), Cell(total, "sum", "0")))
        )
    last = len(rows)
    sums = []
    for number, key in enumerate([key for _, key in PHASES] + ["total_min"], 1):
        value = sum(by_key(bore["time"])[key] for bore in estimate["bores"])
        sums.append(Cell(Formula(f"SUM({_letter(number)}{first}:{_letter(number)}{last})", value), "sum", "0"))
    rows += [Row((Cell("All bores", "sum"), *sums)), blank()]
    totals = by_key(estimate["totals"])
    rows += [Row((Cell(name), Cell(totals[key], form=form))) for name, key, form in WHOLE if key in totals]
    rows += _standards(estimate)
    return Sheet("Hours", (44.0, *WIDTHS[1:]), tuple(rows), 3, wide=True)
