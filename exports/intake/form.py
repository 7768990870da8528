"""The sheets Job and Bores of the intake workbook, and the whole of it, blank or from a job."""

from collections.abc import Mapping
from typing import Any

from exports.cells import Cell, Choice, Row, Sheet, blank, heading, note, title
from exports.intake.fields import BORES, JOB, fields_of, units_of
from exports.intake.filled import Filled, filled
from exports.intake.grids import readings_sheet
from exports.intake.guide import guide_sheet, steels_sheet
from exports.intake.laid import TALL, choice, laid
from exports.intake.more import more_sheet
from exports.intake.record import record_sheet
from exports.workbook import workbook

__all__ = ["intake_sheets", "intake_workbook"]

JOB_WIDTHS = (18.0, 44.0, 9.0, 58.0)
LINES, BORES_A_LINE = 3, 6
ROWS = LINES * BORES_A_LINE
NOTE_LINES = 4
HINTS = 2  # lines of a hint that is too long for one


# ---------------------------------------------------------------- the sheet Job


def _job_sheet(said: Filled) -> Sheet:
    """Return the sheet of the job: a row a question."""
    columns, room = len(JOB_WIDTHS), sum(JOB_WIDTHS)
    rows = [title("Intake: what was found on site", columns)]
    rows.append(
        note(
            "Fill in the shaded cells, as far as you know; leave the rest empty. Then the sheets Bores and Readings.",
            columns,
            room,
        )
    )
    choices = list[Choice]()
    for group in JOB:
        rows += [blank(), heading(group.name, columns)]
        for one in group.fields:
            unit = Cell(said.job_units.get(one.key, units_of(one, said.us)), "unit") if one.units else Cell()
            tall = NOTE_LINES if one.kind == "note" else 1
            lines = max(tall, HINTS if len(one.hint) > JOB_WIDTHS[-1] else 1)
            cells = (Cell(one.label, "question"), Cell(said.job.get(one.key), "entry"), unit, Cell(one.hint, "hint"))
            rows.append(Row(cells, lines=lines, scale=TALL if lines == 1 else 1.0))
            choices.append(choice(one, f"B{len(rows)}"))
            if one.units:
                choices.append(Choice(f"C{len(rows)}", one.units))
    return Sheet("Job", JOB_WIDTHS, tuple(rows), 1, wide=True, choices=tuple(choices))


# ---------------------------------------------------------------- the sheet Bores


def _bores_sheet(said: Filled) -> Sheet:
    """Return the sheet of the bores: a row a bore, a column a question, units below the heads."""
    asked = list(fields_of(BORES))
    head = Row((Cell("Bores", "title"), Cell(SAID, "note")), spans=((2, WIDE),), lines=2)
    table = laid(BORES, said.units, _with_blanks(said), said.us, 1)
    return Sheet(
        "Bores", tuple(one.width for one in asked), (head, *table.rows), FIRST - 1, wide=True,
        choices=tuple(table.choices), breaks_after=(table.ends["Wear"],), kept=1, percent=72,
    )  # fmt: skip


WIDE = 12  # columns over which the note goes
FIRST = 5  # row of the first bore
SAID = "A row a bore, those of one pin line together. Sizes in the unit below the head, or with their own: 3 1/2 in"


def _with_blanks(said: Filled) -> list[Mapping[str, Any]]:
    """Return the bores, and empty rows below them; on an empty sheet six of each of three lines."""
    if not said.bores:
        return [{"line": number // BORES_A_LINE + 1} for number in range(ROWS)]
    return [*said.bores, *({} for _ in range(max(2, ROWS - len(said.bores))))]


# ---------------------------------------------------------------- the whole


def intake_sheets(document: Mapping[str, Any] | None = None, us: bool | None = None) -> tuple[Sheet, ...]:
    """Return the sheets of the intake workbook.

    Parameters
    ----------
    document
        A job document whose answers stand in the cells; none for an empty sheet.
    us
        Whether empty unit cells say inch, degF and mile; unless told, as most sizes of the job.
    """
    said = Filled(us=bool(us)) if document is None else filled(document, us)
    found = (
        _job_sheet(said),
        _bores_sheet(said),
        readings_sheet(said),
        record_sheet(said),
        guide_sheet(),
        steels_sheet(),
    )
    return (*found, more_sheet(said.more)) if said.more else found


def intake_workbook(document: Mapping[str, Any] | None = None, us: bool | None = None) -> bytes:
    """Return the bytes of the intake workbook, blank or of a job document."""
    reference = "" if document is None else str(document.get("reference", ""))
    return workbook(intake_sheets(document, us), f"Intake {_short(reference)}".strip())


def _short(text: str) -> str:
    """Return a text as far as a footer holds it."""
    return text if text.isprintable() and len(text) <= LONGEST_FOOT else ""


LONGEST_FOOT = 120
