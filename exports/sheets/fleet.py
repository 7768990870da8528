"""The due list of a fleet as a sheet: a row a bore, first what must not run."""

from estimator.fleet.make import Fleet, FleetRow
from exports.cells import Cell, Row, Sheet, blank, head, heading, money_places, note, title
from exports.page.fleet import sorted_by_due

__all__ = ["sheet"]

HEAD = (
    *("Machine", "Bore", "Site", "What to do", "By, machine hours", "Worn now, mm", "Best way", "Price"),
    *("Repair a year", "Sleeve a year", "New part a year", "Saves a year", "Loss avoided", "Crew, h", "On site, h"),
    *("This shutdown", "Stood in for empty columns"),
)
WIDTHS = (16.0, 10.0, 14.0, 12.0, 12.0, 10.0, 10.0, *(12.0,) * 6, 9.0, 9.0, 10.0, 60.0)
COLUMNS = len(WIDTHS)


def _money(value: str | None, form: str) -> Cell:
    return Cell(None if value is None else float(value), form=form)


def _line(row: FleetRow, chosen: set[tuple[str, str]], form: str) -> Row:
    stood = "; ".join(f"{one['column']} {one['value']}" for one in row["defaults"])
    annual = [_money(row["annual_cost"][way], form) for way in ("repair", "sleeve", "replace")]
    cells = (
        *(Cell(row["machine"]), Cell(row["bore"]), Cell(row["site"] or None), Cell(row["action"])),
        *(Cell(row["by_h"], form="#,##0"), Cell(row["worn_now_mm"], form="0.00"), Cell(row["best"])),
        *(_money(row["price"], form), *annual),
        *(_money(row["saves_per_year"], form), _money(row["loss_avoided"], form)),
        *(Cell(row["crew_h"], form="0.0"), Cell(row["on_site_h"], form="0.0")),
        *(Cell("yes" if (row["machine"], row["bore"]) in chosen else None), Cell(stood)),
    )
    return Row(cells)


def sheet(found: Fleet) -> Sheet:
    """Return the sheet of a fleet document."""
    window, form = found.get("window"), money_places(found["totals"]["price"])
    chosen = {(one["machine"], one["bore"]) for one in window["chosen"]} if window else set[tuple[str, str]]()
    said = f"Money in {found['currency']}; {found['totals']['rows']} bores, first what must not run. "
    said += found["pricebook"]["note"] if found["pricebook"]["invented"] else ""
    rows = [title("Due list of the fleet", COLUMNS), note(said, COLUMNS, sum(WIDTHS)), head(*HEAD)]
    rows += [_line(row, chosen, form) for row in sorted_by_due(found)]
    if found["set_aside"]:
        rows += [blank(), heading("Set aside", COLUMNS)]
        lines = [(one["line"], "; ".join(one["reasons"])) for one in found["set_aside"]]
        rows += [Row((Cell(f"line {line}"), Cell(why))) for line, why in lines]
    return Sheet("Due list", WIDTHS, tuple(rows), 3, wide=True)
