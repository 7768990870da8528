"""The order as a sheet: what to take, what to buy."""

from typing import Any

from exports.cells import Cell, Formula, Row, Sheet, blank, head, money_places, note, title

__all__ = ["sheet"]

COST = "Cost"
HEAD = ("Item", "Article", "Unit", "Expected", "To cover", "On hand", "Pack", "Packs", "Quantity", COST)
WIDTHS = (30.0, 16.0, 8.0, 12.0, 12.0, 11.0, 11.0, 9.0, 12.0, 14.0)
FIRST = 4


def sheet(order: dict[str, Any]) -> Sheet:
    """Return the sheet of an order document."""
    costed = "total" in order
    names = HEAD if costed else tuple(name for name in HEAD if name != COST)
    widths = WIDTHS[: len(names)]
    rows = [title(f"Order for {order['jobs']} job(s)", len(names))]
    said = f"Enough in {100 * order['service_level']:g} of 100 cases, item by item. " + " ".join(order["warnings"])
    rows += [note(said, len(names), sum(widths)), head(*names)]
    form = money_places(str(order.get("total", "0.00")))
    for number, line in enumerate(order["lines"]):
        row = FIRST + number
        packs = Formula(f"ROUNDUP(ROUND(MAX(0,E{row}-F{row})/G{row},9),0)", line["packs"])
        cells = [Cell(line["item"]), Cell(line["article"]), Cell(line["unit"]), Cell(line["expected"], form="0.00")]
        cells += [
            Cell(line["to_cover"], form="0.0"),
            Cell(line["on_hand"], "input", "0.0"),
            Cell(line["pack_size"], "input", "0.0"),
        ]
        cells += [Cell(packs, form="0"), Cell(Formula(f"H{row}*G{row}", line["quantity"]), form="0.0")]
        cells += [Cell(float(line["cost"]), form=form)] if costed else []
        rows.append(Row(tuple(cells)))
    if costed:
        rows += [
            blank(),
            Row((Cell("To order in all", "label"), *(Cell(None),) * 8, Cell(float(order["total"]), "total", form))),
        ]
    return Sheet("Order", widths, tuple(rows), 3, wide=True)
