"""Cautions and filter shades, to be read before the work."""

from typing import Any

from exports.cells import Sheet, blank, heading, note, text, title

__all__ = ["sheet"]

COLUMNS, WIDTHS = 1, (92.0,)


def sheet(estimate: dict[str, Any]) -> Sheet:
    """Return the sheet of cautions."""
    rows = [title("Before the work begins", COLUMNS)]
    rows.append(
        note(
            "Not a welding procedure and no legal advice: local codes and licensed practice decide.", COLUMNS, WIDTHS[0]
        )
    )
    frozen = len(rows)
    rows += [blank(), *(text(f"-  {one}", COLUMNS, WIDTHS[0]) for one in estimate["cautions"])]
    rows += [blank(), heading("Filter shade at least", COLUMNS)]
    for one in estimate["shades"]:
        rows.append(text(f"{one['range']}: shade {one['minimum_shade']:g} ({one['source']})", COLUMNS, WIDTHS[0]))
    return Sheet("Cautions", WIDTHS, tuple(rows), frozen)
