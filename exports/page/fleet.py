"""The page a fleet manager reads of a whole list: what is due, what it costs, what one shutdown takes."""

from decimal import Decimal

from estimator.fleet.make import Fleet, FleetRow
from exports.format import amount, counted, number
from exports.page.parts import WIDE, columns, joined, listed, wrapped
from exports.page.ways import SAID

__all__ = ["ACTIONS", "fleet_page", "sorted_by_due"]

ACTIONS = {
    "stop": "must not run: settle first",
    "repair": "repair on site",
    "sleeve": "fit a sleeve",
    "replace": "a new part",
    "measure": "measure again",
    "watch": "watch",
    "leave": "leave as it is",
}
MOST_SHOWN, LONGEST = 40, 30  # rows of the page; signs of a name
EXACT = 1e-9  # a gap below it is none


def _rank(row: FleetRow) -> tuple[int, float, Decimal, int]:
    at = float("inf") if row["by_h"] is None else row["by_h"]
    return list(ACTIONS).index(row["action"]), -float(row["loss_avoided"]), Decimal(at), row["line"]


def sorted_by_due(found: Fleet) -> list[FleetRow]:
    """Return the rows, first what must not run, then what is due, most loss first, then the rest."""
    return sorted(found["rows"], key=_rank)


DUE = ("stop", "repair", "sleeve", "replace")  # what is to be done, and not only watched


def by_said(row: FleetRow) -> str:
    """Return by when a bore is due: at which hours of its machine, or now where no rate of wear is known."""
    if row["by_h"] is not None:
        return f"{number(row['by_h'], 0)} h"
    return "now" if row["action"] in DUE else ""


def _line(row: FleetRow, currency: str) -> list[str]:
    best = "" if row["best"] is None else SAID[row["best"]]
    saves = row["saves_per_year"] if row["action"] in DUE else None  # against the next way, not against leaving it
    amounts = (row["price"], saves, row["loss_avoided"])
    money = ["" if one is None else amount(one, currency) for one in amounts]
    return [f"{row['machine']} {row['bore']}", row["action"], by_said(row), best, *money]


def _window(found: Fleet) -> list[str]:
    """Return what one shutdown takes, and what is proved of it."""
    window, currency = found.get("window"), found["currency"]
    if window is None:
        return []
    gap = window["proven_gap"]
    sure = "no other choice avoids more" if gap < EXACT else f"another choice avoids {100 * gap:.1f} % more at most"
    said = f"{amount(window['price'], currency)}, {number(window['crew_h'], 1)} h of the crew; avoids "
    said += f"{amount(window['loss_avoided'], currency)}; {sure}."
    named = [f"{one['machine']} {one['bore']}" for one in window["chosen"]]
    return ["", "THIS SHUTDOWN", *wrapped(said), *listed(named or ["nothing fits, or nothing due loses money"])]


def fleet_page(found: Fleet) -> str:
    """Return the page of a fleet document."""
    totals, currency = found["totals"], found["currency"]
    title = f"FLEET: {counted(totals['rows'], 'bore')}"
    lines = [title, "=" * min(WIDE, len(title))]
    if found["pricebook"]["invented"]:
        lines += ["", "!! DEMO PRICES, invented: not for use !!", *wrapped(found["pricebook"]["note"], "   ")]
    lines += ["", *(f"  {totals['actions'].get(name, 0):>5}  {said}" for name, said in ACTIONS.items())]
    due = f"Due: {amount(totals['price'], currency)}, {number(totals['crew_h'], 0)} h of the crew; it avoids "
    due += f"{amount(totals['loss_avoided'], currency)} in the year ahead."
    lines += ["", *wrapped(due, "")]
    rows = sorted_by_due(found)
    heads = [["", "", "by", "way", "price", "less a year than next way", "loss avoided"]]
    lines += ["", *columns(heads, [_line(row, currency) for row in rows[:MOST_SHOWN]], LONGEST)]
    if len(rows) > MOST_SHOWN:
        lines += wrapped(f"and {len(rows) - MOST_SHOWN} more: all stand in --out FLEET.xlsx and in --json")
    lines += _window(found)
    if totals["set_aside"]:
        lines += ["", *wrapped(f"Set aside: {counted(totals['set_aside'], 'row')}; why stands on standard error.", "")]
    guess = "Loss avoided: the machine standing for the lead time of its part, for what is left of the year once it is "
    guess += (
        "due; a machine that stands already loses all of it. Each bore is priced as a job of its own: one visit to "
    )
    guess += "several costs less. What stood in for empty columns is in --json."
    return joined([*lines, "", *wrapped(guess, "")])
