"""The order as sheets: what to buy, supplier by supplier; what to put on the van, day by day."""

import math

from estimator.buying.lasting import VanDay
from estimator.buying.make import Order, OrderLine
from exports.cells import Cell, Formula, Row, Sheet, blank, head, heading, money_places, note, title
from exports.format import by_grade, has, number
from exports.phrases import mix_of

__all__ = ["sheet", "van"]

HEAD = (
    "Item",
    "Article",
    "Unit",
    "Expected",
    "To cover",
    "On hand",
    "Pack",
    "Packs",
    "Quantity",
    "Packs to buy",
    "Cost",
)
WIDTHS = (30.0, 16.0, 8.0, 12.0, 12.0, 11.0, 11.0, 9.0, 12.0, 24.0, 14.0)
VAN_HEAD = ("Item", "Unit", "Expected", "Take", "Packs", "On board")
VAN_WIDTHS = (34.0, 10.0, 13.0, 13.0, 18.0, 12.0)
COLUMNS = len(WIDTHS)


def _is_one_size(line: OrderLine) -> bool:
    """Return whether a line is bought in the usual pack alone, so that its number follows from the cells beside it."""
    return all(one["pack_size"] == line["pack_size"] for one in line.get("mix", []))


def _line(line: OrderLine, row: int, form: str) -> Row:
    """Return the row of one line; packs and quantity are live where one size is bought."""
    packs: Formula | float = Formula(f"ROUNDUP(ROUND(MAX(0,E{row}-F{row})/G{row},9),0)", line["packs"])
    quantity: Formula | float = Formula(f"H{row}*G{row}", line["quantity"])
    if not _is_one_size(line):
        packs = sum(one["packs"] for one in line["mix"])
        quantity = sum(one["packs"] * one["pack_size"] for one in line["mix"])
    cells = (
        Cell(line["item"]),
        Cell(line["article"]),
        Cell(line["unit"]),
        Cell(line["expected"] + line.get("planned", 0.0), form="0.00"),
        Cell(line["to_cover"], form="0.0"),
        Cell(line["on_hand"], "input", "0.0"),
        Cell(line["pack_size"], "input", "0.0"),
        Cell(packs, form="0"),
        Cell(quantity, form="0.0"),
        Cell(mix_of(line) or None),
        Cell(float(line["cost"]) if has(line, "cost") else None, form=form),
    )
    return Row(cells)


def _group(supplier: str, lines: list[OrderLine], first: int, form: str) -> tuple[list[Row], str]:
    """Return the rows of one supplier and the cell of their sum; `first` is the row of the heading."""
    rows = [heading(supplier.capitalize(), COLUMNS)]
    rows += [_line(line, first + number, form) for number, line in enumerate(lines, 1)]
    cell = f"K{first + len(lines) + 1}"
    if all(has(line, "cost") for line in lines):
        whole = round(sum(float(line["cost"]) for line in lines), 4)
        added = Formula(f"SUM(K{first + 1}:K{first + len(lines)})", whole)
        rows.append(Row((Cell(f"From {supplier}", "sum"), *(Cell(None, "sum"),) * 9, Cell(added, "sum", form))))
    return rows, cell


def sheet(order: Order) -> Sheet:
    """Return the sheet of an order document, supplier by supplier."""
    rows = [title(f"Order for {order['jobs']} job(s)", COLUMNS)]
    said = f"Enough in {100 * order['service_level']:g} of 100 cases, item by item. " + ". ".join(by_grade(order))
    names = HEAD if has(order, "total") else (*HEAD[:-1], "")
    rows += [note(said, COLUMNS, sum(WIDTHS)), head(*names)]
    form, sums = money_places(str(order.get("total", "0.00"))), list[str]()
    for supplier in dict.fromkeys(line["supplier"] for line in order["lines"]):
        lines = [line for line in order["lines"] if line["supplier"] == supplier]
        found, cell = _group(supplier, lines, len(rows) + 1, form)
        rows += found
        sums.append(cell)
    if has(order, "total"):
        whole = Formula("+".join(sums), float(order["total"]))
        rows += [blank(), Row((Cell("To order in all", "label"), *(Cell(None),) * 9, Cell(whole, "total", form)))]
    return Sheet("Order", WIDTHS, tuple(rows), 3, wide=True)


def _trip(trip: VanDay, packs: dict[str, float]) -> list[Row]:
    """Return what to put on the van when it leaves once; what is not counted in pieces goes along in whole packs."""
    days = f"Day {trip['day']}" + (f" to {trip['until']}" if trip["until"] > trip["day"] else "")
    rows = [heading(f"{days}: {', '.join(trip['jobs'])} ({number(trip['hours'], 1)} h)", len(VAN_WIDTHS))]
    for one in trip["take"]:
        whole, pack = one["unit"] == "each", packs[one["item"]]
        filled = None if whole else f"{math.ceil(one['take'] / pack * (1 - 1e-9))} x {pack:g} {one['unit']}"
        said = (Cell(one["item"]), Cell(one["unit"]), Cell(one["expected"], form="0.00"))
        rows.append(Row((*said, Cell(one["take"], form="0" if whole else "0.00"), Cell(filled), Cell(None, "input"))))
    return [*rows, blank()]


def van(order: Order) -> Sheet:
    """Return the sheet of what to put on the van each day, and what runs out first."""
    columns = len(VAN_WIDTHS)
    rows = [title("On the van, day by day", columns)]
    said = f"Enough in {100 * order['service_level']:g} of 100 cases, item by item; jobs in the order they were given."
    rows += [note(said, columns, sum(VAN_WIDTHS)), head(*VAN_HEAD)]
    packs = {line["item"]: line["pack_size"] for line in order["lines"]}
    for trip in order["days"]:
        rows += _trip(trip, packs)
    rows.append(heading("What runs out first, in hours of arc", columns))
    for one in order["runs_out"]:
        where = "after these jobs" if one["job"] is None else f"{one['job']}, bore {one['bore']}"
        rows.append(Row((Cell(one["item"]), Cell("h"), Cell(one["arc_h"], form="0.0"), Cell(where))))
    return Sheet("Van", VAN_WIDTHS, tuple(rows), 3)
