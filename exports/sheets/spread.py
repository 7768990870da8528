"""How far the job may come out otherwise and what that hangs on, for the shop alone; only where days were drawn."""

from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, blank, head, heading, money_form, note, title
from exports.format import by_key
from exports.page.spread import taught

__all__ = ["sheets"]

WIDTHS = (46.0, 14.0, 14.0, 14.0, 34.0, 40.0)
COLUMNS = len(WIDTHS)
ENDS = ("p10", "p50", "p90")
ROWS = (("Hours on site", "on_site_h", "0.0"), ("Wire, kg", "wire_kg", "0.00"), ("Gas, L", "gas_L", "#,##0"))
FULL = 30  # signs of the longest bar


def sheets(estimate: Estimate) -> tuple[Sheet, ...]:
    """Return the sheet of the spread; none where no days were drawn."""
    found = estimate.get("spread")
    if found is None:
        return ()
    told, money = by_key(found), money_form(estimate)
    rows = [title(f"Spread of {estimate['reference']}", COLUMNS)]
    said = f"{found['samples']} days drawn. Eight in ten such jobs lie between the first and the last column."
    rows += [note(said, COLUMNS, sum(WIDTHS)), head("", "1 in 10 below", "half below", "1 in 10 above")]
    for name, key in (("Price before tax", "price"), ("Cost", "cost")):
        rows.append(Row((Cell(name), *(Cell(float(told[key][end]), form=money) for end in ENDS))))
    for name, key, form in ROWS:
        rows.append(Row((Cell(name), *(Cell(told[key][end], form=form) for end in ENDS))))
    rows += [blank(), heading("Chance that it costs more than its price", COLUMNS)]
    for name, key in (("more work that is found is paid", ""), ("it is not paid", "_unpaid")):
        rows.append(Row((Cell(name), Cell(told[f"chance_of_loss{key}"], form="0.0%"))))
    rows += [blank(), head("Price before tax that covers the cost", "chance", "price")]
    for chance, price in found["price_for"].items():
        rows.append(Row((Cell(None), Cell(float(chance), form="0%"), Cell(float(price), form=money))))
    rows += [blank(), head("What the price hangs on", "by itself", "in all", "", "in all, as a bar", "stands on")]
    most = max((one["total_share"] for one in found["drivers"]), default=1.0) or 1.0
    for one in found["drivers"]:
        bar = "\u2588" * max(1, round(FULL * one["total_share"] / most))
        shares = (Cell(one[key], form="0%") for key in ("share", "total_share"))
        rows.append(Row((Cell(one["name"]), *shares, Cell(None), Cell(bar), Cell(one["source"], "faint"))))
    rows += [note(f"By {used}.", COLUMNS, sum(WIDTHS))] if (used := taught(estimate)) else []
    return (Sheet("Spread", WIDTHS, tuple(rows), 3, wide=True),)
