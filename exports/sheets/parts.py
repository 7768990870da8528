"""What is used up, bore by bore and in all."""

from typing import Any

from exports.cells import Cell, Formula, Row, Sheet, blank, head, note, title

__all__ = ["sheet"]

HEAD = (
    *("Bore", "Wire", "Wire [kg]", "Gas", "Gas [L]", "Tips", "Nozzles", "Inserts", "Energy [kWh]"),
    *("Liners", "Discs", "Brackets", "Anti-spatter [L]", "Burner gas [kg]", "Fuel [L]"),
)
WIDTHS = (16.0, 20.0, 11.0, 18.0, 11.0, 10.0, 10.0, 10.0, 13.0, 10.0, 10.0, 10.0, 13.0, 13.0, 10.0)
LETTERS = "ABCDEFGHIJKLMNO"
KEYS = {"C": ("wire_kg", "0.000"), "E": ("gas_L", "0"), "F": ("tips", "0.00"), "G": ("nozzles", "0.00")}
KEYS |= {"H": ("inserts", "0.00"), "I": ("energy_kWh", "0.0"), "J": ("liners", "0.000"), "K": ("discs", "0.00")}
KEYS |= {"L": ("brackets", "0.00"), "M": ("anti_spatter_L", "0.000"), "N": ("burner_gas_kg", "0.00")}
KEYS |= {"O": ("fuel_L", "0.0")}


def sheet(estimate: dict[str, Any]) -> Sheet:
    """Return the sheet of the parts."""
    rows = [title(f"Expected consumables of {estimate['reference']}", len(WIDTHS))]
    rows += [
        note(
            "With what stays on spools and in cylinders. Parts shown as wear; take whole parts. Gas at 15 °C, 1 bar.",
            len(WIDTHS),
            sum(WIDTHS),
        )
    ]
    rows += [head(*HEAD)]
    first = len(rows) + 1
    for bore in estimate["bores"]:
        used, built = bore["consumption"], bore["buildup"]
        cells = {"A": Cell(bore["name"]), "B": Cell(built["wire"]), "D": Cell(built["gas"])}
        cells |= {column: Cell(used.get(key), form=form) for column, (key, form) in KEYS.items()}
        rows.append(Row(tuple(cells[column] for column in LETTERS)))
    last, totals = len(rows), estimate["totals"]
    cells = {"A": Cell("Total", "sum"), "B": Cell(None, "sum"), "D": Cell(None, "sum")}
    for column, (key, form) in KEYS.items():
        cells[column] = Cell(Formula(f"SUM({column}{first}:{column}{last})", totals.get(key, 0.0)), "sum", form)
    rows += [Row(tuple(cells[column] for column in LETTERS)), blank()]
    return Sheet("Parts", WIDTHS, tuple(rows), 3, wide=True)
