"""The sheets Job and Bores of the intake workbook, and the whole of it, blank or from a job."""

from collections.abc import Mapping
from typing import Any

from exports.cells import Cell, Choice, Row, Sheet, blank, heading, note, title
from exports.intake.fields import BORES, JOB, Field, fields_of, units_of
from exports.intake.filled import Filled, filled
from exports.intake.grids import readings_sheet
from exports.intake.guide import guide_sheet, steels_sheet
from exports.intake.more import more_sheet
from exports.workbook import workbook

__all__ = ["intake_sheets", "intake_workbook"]

JOB_WIDTHS = (18.0, 44.0, 9.0, 58.0)
LINES, BORES_A_LINE = 3, 6
ROWS = LINES * BORES_A_LINE
TALL = 1.7  # of a row that is written into by hand
NOTE_LINES = 4
MOST_WORDS = 250  # characters of a list that stands in the cell itself
HINTS = 2  # lines of a hint that is too long for one


def _words(one: Field) -> tuple[tuple[str, ...], str]:
    """Return what a question offers: a few words, or the cells in which they stand."""
    return (one.words, "") if one.kind != "steel" else ((), "Steels!$A$4:$A$103")


def _choice(one: Field, cells: str) -> Choice:
    words, source = _words(one)
    return Choice(cells, words, source, one.hint, strict=one.strict)


def _look(one: Field) -> str:
    return "measure" if one.kind in ("quantity", "number", "tolerance") else "entry"


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
            choices.append(_choice(one, f"B{len(rows)}"))
            if one.units:
                choices.append(Choice(f"C{len(rows)}", one.units))
    return Sheet("Job", JOB_WIDTHS, tuple(rows), 1, wide=True, choices=tuple(choices))


# ---------------------------------------------------------------- the sheet Bores


def _bores_sheet(said: Filled) -> Sheet:
    """Return the sheet of the bores: a row a bore, a column a question, units below the heads."""
    asked = list(fields_of(BORES))
    rows = [Row((Cell("Bores", "title"), Cell(SAID, "note")), spans=((2, WIDE),), lines=2)]
    groups, spans, breaks = list[Cell](), list[tuple[int, int]](), list[int]()
    for group in BORES:
        first = len(groups) + 1
        groups += [Cell(group.name, "bighead"), *(Cell(None, "bighead") for _ in group.fields[1:])]
        spans += [(first, len(groups))] if len(group.fields) > 1 else []
        breaks += [len(groups)] if group.name == "Wear" else []
    rows.append(Row(tuple(groups), spans=tuple(spans), scale=TALL))
    rows.append(Row(tuple(Cell(one.label, "head") for one in asked), lines=3))
    units = (
        Cell(said.units.get(one.key, units_of(one, said.us)) or None, "unit") if one.units else Cell(None, "head")
        for one in asked
    )
    rows.append(Row(tuple(units)))
    top = len(rows) + 1
    rows += [_bore(asked, one) for one in _with_blanks(said)]
    choices = [
        _choice(one, f"{letter}{top}:{letter}{len(rows)}")
        for letter, one in zip(_letters(len(asked)), asked, strict=True)
    ]
    choices += [
        Choice(f"{letter}{top - 1}", one.units)
        for letter, one in zip(_letters(len(asked)), asked, strict=True)
        if one.units
    ]
    return Sheet(
        "Bores", tuple(one.width for one in asked), tuple(rows), top - 1, wide=True, choices=tuple(choices),
        breaks_after=tuple(breaks), kept=1, percent=72,
    )  # fmt: skip


WIDE = 12  # columns over which the note goes
FIRST = 5  # row of the first bore
SAID = "A row a bore, those of one pin line together. Sizes in the unit below the head, or with their own: 3 1/2 in"


def _letters(count: int) -> list[str]:
    """Return the names of the first columns."""
    single = [chr(ord("A") + number) for number in range(26)]
    return [*single, *(f"A{letter}" for letter in single)][:count]


def _with_blanks(said: Filled) -> list[Mapping[str, Any]]:
    """Return the bores, and empty rows below them; on an empty sheet six of each of three lines."""
    if not said.bores:
        return [{"line": number // BORES_A_LINE + 1} for number in range(ROWS)]
    return [*said.bores, *({} for _ in range(max(2, ROWS - len(said.bores))))]


def _bore(asked: list[Field], said: Mapping[str, Any]) -> Row:
    return Row(tuple(Cell(said.get(one.key), _look(one)) for one in asked), scale=TALL)


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
    found = (_job_sheet(said), _bores_sheet(said), readings_sheet(said), guide_sheet(), steels_sheet())
    return (*found, more_sheet(said.more)) if said.more else found


def intake_workbook(document: Mapping[str, Any] | None = None, us: bool | None = None) -> bytes:
    """Return the bytes of the intake workbook, blank or of a job document."""
    reference = "" if document is None else str(document.get("reference", ""))
    return workbook(intake_sheets(document, us), f"Intake {_short(reference)}".strip())


def _short(text: str) -> str:
    """Return a text as far as a footer holds it."""
    return text if text.isprintable() and len(text) <= LONGEST_FOOT else ""


LONGEST_FOOT = 120
