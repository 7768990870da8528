"""Basis of the estimate: assumptions, warnings, where each kind of number comes from."""

from estimator.estimate import Estimate
from exports.cells import Row, Sheet, blank, heading, note, text, title
from exports.format import Grade, has, headed

__all__ = ["sheet"]

COLUMNS, WIDTHS = 3, (34.0, 30.0, 28.0)
WIDTH = sum(WIDTHS)
GRADED: tuple[tuple[str, Grade], ...] = (
    ("Stop until this is settled", "stop"),
    ("Approval required", "approve"),
    ("Check", "check"),
    ("Good to know", "know"),
)
SOURCES = (
    "Limits of size: ISO 286-1 tables. Carbon equivalents: IIW, and CET of EN 1011-2. Preheat: EN 1011-2 method B.",
    "Heat input: EN 1011-1, k = 0.8. Wire feed and voltage: lines through published setting charts, scatter stated.",
    "Bead overlap: parabolic bead, tangent overlapping model (Ding and others, 2015). Cutting power: Kienzle's law.",
    "Waits and cooling: radial conduction through boss and plate, layer after layer, with losses to still air.",
    "Time standards, lives of parts and most limits of technique: judgement, marked from memory in the tables.",
    "Formula, inputs and source of every figure are on record.",
)


def _list(name: str, items: list[str]) -> list[Row]:
    return [blank(), heading(name, COLUMNS), *(text(f"-  {one}", COLUMNS, WIDTH) for one in items)] if items else []


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of assumptions and sources."""
    rows = [title(f"Basis of the estimate {estimate['reference']}", COLUMNS)]
    book = estimate["pricebook"]
    rows.append(note(f"Price book: {book['name']}. {book['note']}", COLUMNS, WIDTH))
    frozen = len(rows)
    for name, said in headed(estimate, *GRADED):
        rows += _list(name, said)
    rows += _list("Assumptions", estimate["assumptions"])
    rows += _list("Sources", list(SOURCES))
    marks = [f"{estimate['engine']}", f"job document {estimate['input_sha256']}"]
    marks += [f"price book {book['sha256']}"] if has(book, "sha256") else []
    rows += _list("Made with", marks)
    return Sheet("Basis", WIDTHS, tuple(rows), frozen)
