"""Cautions and filter shades, to be read before the work."""

from estimator.estimate import Estimate
from exports.cells import Row, Sheet, blank, heading, note, text, title

__all__ = ["sheet"]

COLUMNS, WIDTHS = 3, (34.0, 30.0, 28.0)
WIDTH = sum(WIDTHS)
DONE = {"refuse": "Refused", "approve": "Approval required", "warn": "Take care"}


def _procedures(estimate: Estimate) -> list[Row]:
    """Return what is not welded without a qualified procedure, and who decides."""
    found = estimate.get("procedures", [])
    rows = [blank(), heading("Not welded without a qualified procedure", COLUMNS)] if found else []
    for one in found:
        here = f" - here: {', '.join(one['bores'])}" if one["bores"] else ""
        here = " - here: all bores" if len(one["bores"]) == len(estimate["bores"]) > 1 else here
        said = f"{DONE[one['action']]}: {one['case']}{here}. Decision: {one['who_decides']}. {one['why'].capitalize()}."
        rows.append(text(said, COLUMNS, WIDTH))
    return rows


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of cautions."""
    rows = [title("Before the work begins", COLUMNS)]
    rows.append(
        note(
            "Not a welding procedure, no legal advice: local codes and a qualified procedure come first.",
            COLUMNS,
            WIDTH,
        )
    )
    frozen = len(rows)
    rows += [blank(), *(text(f"-  {one}", COLUMNS, WIDTH) for one in estimate["cautions"])]
    rows += [blank(), heading("Minimum filter shade", COLUMNS)]
    for one in estimate["shades"]:
        rows.append(text(f"{one['range']}: shade {one['minimum_shade']:g} ({one['source']})", COLUMNS, WIDTH))
    rows += _procedures(estimate)
    return Sheet("Cautions", WIDTHS, tuple(rows), frozen)
