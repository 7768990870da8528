"""One writer for all workbooks: sheets as data in, the bytes of an .xlsx out; the same sheets give the same bytes."""

import io
from collections.abc import Iterable
from copy import copy
from datetime import datetime
from typing import Any, Literal
from zipfile import ZIP_STORED, ZipFile

from openpyxl import Workbook
from openpyxl.cell.cell import Cell as Written
from openpyxl.chart import LineChart, Reference
from openpyxl.styles import Alignment, Border, Font, NamedStyle, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.pagebreak import Break, ColBreak
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from estimator.estimate import Estimate
from exports.cells import Builder, Cell, Chart, Choice, Formula, Row, Sheet
from exports.in_units import in_units, units_of
from exports.pictures.shades import text_on
from exports.signs import kept
from exports.stored import with_values
from exports.us_sheets import in_us

__all__ = ["Paper", "quote_workbook", "sheets_of", "workbook"]

WRAPPED = frozenset({"text", "note", "bigtext", "bigbold", "alarm", "box"})  # looks of running text
MADE = datetime(2026, 1, 1)  # a fixed day, so that the same quote gives the same bytes
LINE_HEIGHT, MOST_HEIGHT = 14.5, 400.0
INK, PALE, SAND, RULE = "FF2F3B34", "FFE7ECE6", "FFF6EEDC", "FFB9C4BB"
Paper = Literal["a4", "letter"]
PAPERS = {"a4": 9, "letter": 1}
RISKY = ("=", "+", "-", "@")


def _look(name: str, bold: bool = False, size: float = 10, color: str = INK, **more: Any) -> NamedStyle:  # noqa: ANN401  # styles of many kinds
    """Return a look by name, in our type."""
    return NamedStyle(f"bw_{name}", font=Font(name="Liberation Sans", size=size, bold=bold, color=color), **more)


def _filled_in() -> dict[str, NamedStyle]:
    """Return the looks of what is filled in and stands about it; only a sheet to fill in has them."""
    sand, framed = PatternFill("solid", fgColor=SAND), Border(*(Side(style="thin", color=RULE),) * 4)
    left = Alignment(horizontal="left", vertical="center", wrap_text=True)
    hinted = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)
    right, middle = (Alignment(horizontal=place, vertical="center") for place in ("right", "center"))
    return {
        "entry": _look("entry", fill=sand, alignment=left, border=framed),
        "measure": _look("measure", fill=sand, alignment=right, border=framed),
        "unit": _look("unit", size=9, fill=sand, alignment=middle, border=framed),
        "clock": _look("clock", bold=True, fill=sand, alignment=right, border=framed),
        "question": _look("question", alignment=Alignment(vertical="center")),
        "hint": _look("hint", size=9, color="FF6B766F", alignment=hinted),
        "mark": _look("mark", size=9, alignment=middle),
    }


def _styles() -> dict[str, NamedStyle]:
    """Return our few looks by name."""
    thin, top = Side(style="thin", color=RULE), Side(style="thin", color=INK)
    wrap, right = Alignment(wrap_text=True, vertical="top"), Alignment(horizontal="right", vertical="top")
    plain = Alignment(vertical="top")
    centred = Alignment(horizontal="center", vertical="center")
    middle = Alignment(horizontal="center", vertical="center", wrap_text=True)
    over = Alignment(horizontal="right", vertical="top", wrap_text=True)
    beside = Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)

    shade, sand, dark = (PatternFill("solid", fgColor=color) for color in (PALE, SAND, INK))
    return {
        "plain": _look("plain", alignment=plain),
        "word": _look("word", alignment=Alignment(horizontal="left", vertical="top", indent=1)),
        "text": _look("text", alignment=wrap),
        "note": _look("note", size=9, color="FF6B766F", alignment=wrap),
        "faint": _look("faint", size=9, color="FF6B766F", alignment=plain),
        "label": _look("label", alignment=plain),
        "value": _look("value", alignment=Alignment(horizontal="left", vertical="top")),
        "title": _look("title", bold=True, size=14, alignment=plain),
        "heading": _look("heading", bold=True, size=11, alignment=plain, border=Border(bottom=thin)),
        "head": _look("head", bold=True, size=9, fill=shade, alignment=wrap, border=Border(bottom=thin)),
        "over": _look("over", bold=True, size=9, fill=shade, alignment=over, border=Border(bottom=thin)),
        "beside": _look("beside", bold=True, size=9, fill=shade, alignment=beside, border=Border(bottom=thin)),
        "input": _look("input", fill=sand, alignment=right, border=Border(bottom=thin)),
        "amount": _look("amount", alignment=right),
        "sum": _look("sum", bold=True, border=Border(top=top), alignment=plain),
        "huge": _look("huge", bold=True, size=28, alignment=Alignment(vertical="center")),
        "bar": _look("bar", bold=True, size=13, color="FFFFFFFF", fill=dark, alignment=plain),
        "alarm": _look("alarm", bold=True, size=12, fill=sand, alignment=wrap),
        "bighead": _look("bighead", bold=True, size=11, fill=shade, alignment=middle, border=Border(bottom=thin)),
        "big": _look("big", size=16, alignment=centred, border=Border(bottom=thin)),
        "bigger": _look("bigger", bold=True, size=22, alignment=centred, border=Border(bottom=thin)),
        "box": _look("box", size=11, alignment=wrap, border=Border(*(thin,) * 4)),
        "boxbold": _look("boxbold", bold=True, size=12, alignment=wrap, border=Border(*(thin,) * 4)),
        "bigtext": _look("bigtext", size=12, alignment=wrap),
        "bigbold": _look("bigbold", bold=True, size=13, alignment=wrap),
        "total": _look("total", bold=True, size=12, border=Border(top=top, bottom=top), alignment=right),
    }


class _Looks:
    """Styles of cells, made once a look and number format and then shared."""

    def __init__(self) -> None:
        self._made: dict[tuple[str, str | None, bool, str | None], Any] = {}

    def dress(self, place: Written, look: str, form: str | None, quoted: bool, fill: str | None = None) -> None:
        """Give a cell its look; upon a shade its ink is black or white, whichever reads better."""
        key = (look, form, quoted, fill)
        if key in self._made:
            place._style = copy(self._made[key])
            return
        place.style = f"bw_{look}"
        if form:
            place.number_format = form
        if quoted:
            place.quotePrefix = True
        if fill:
            place.fill = PatternFill("solid", fgColor=f"FF{fill[1:].upper()}")
            place.font = Font(name="Liberation Sans", size=10, color=f"FF{text_on(fill)[1:].upper()}")
        self._made[key] = copy(place._style)


def _fill(place: Written, cell: Cell, book: Workbook, sheet: str, looks: _Looks) -> Formula | None:
    """Put one cell; text stays text, whatever it looks like. Return its formula, if it has one."""
    value, look, quoted = cell.value, cell.look, False
    formula = value if isinstance(value, Formula) else None
    if formula is not None:
        place.value = f"={formula.text}"
    else:
        place.value = kept(value) if isinstance(value, str) and look in WRAPPED else value
        if isinstance(value, str):
            place.data_type, quoted = "s", value.startswith(RISKY)
            look = "word" if look == "plain" else look
    looks.dress(place, look, cell.form, quoted, cell.fill)
    if cell.name:
        at = f"'{sheet}'!${place.column_letter}${place.row}"
        book.defined_names[cell.name] = DefinedName(cell.name, attr_text=at)
    return formula


def _put(page: Worksheet, number: int, row: Row, book: Workbook, looks: _Looks) -> dict[str, float]:
    """Put one row; return the values of its formulas by coordinate."""
    values = {}
    for column, cell in enumerate(row.cells, 1):
        if cell.value is None and cell.look == "plain":
            continue
        place = page.cell(number, column)
        formula = _fill(place, cell, book, page.title, looks)
        if formula is not None:
            values[place.coordinate] = formula.value
    if row.span > 1:
        page.merged_cells.add(f"A{number}:{get_column_letter(row.span)}{number}")
        if row.cells[0].look == "heading":
            for column in range(2, row.span + 1):
                looks.dress(page.cell(number, column), "heading", None, quoted=False)
    for first, last in row.spans:
        page.merged_cells.add(f"{get_column_letter(first)}{number}:{get_column_letter(last)}{number}")
    if row.breaks:
        page.row_breaks.append(Break(id=number - 1))
    if row.lines > 1 or row.scale != 1:
        page.row_dimensions[number].height = min(MOST_HEIGHT, row.lines * row.scale * LINE_HEIGHT)
    return values


def _chart(page: Worksheet, chart: Chart) -> None:
    drawn = LineChart()
    drawn.title, drawn.height, drawn.width = chart.title, 7.2, 17.0
    drawn.x_axis.title, drawn.y_axis.title = chart.across, chart.up
    drawn.x_axis.delete = drawn.y_axis.delete = False
    block = Reference(page, chart.first_column + 1, chart.first_row, chart.last_column, chart.last_row)
    drawn.add_data(block, titles_from_data=True)
    drawn.set_categories(Reference(page, chart.first_column, chart.first_row + 1, chart.first_column, chart.last_row))
    drawn.y_axis.number_format, drawn.y_axis.majorGridlines = "0.0", None
    dashes = ("solid", "dash", "sysDot", "lgDash", "dashDot")
    for number, series in enumerate(drawn.series):
        series.graphicalProperties.line.solidFill = INK[2:]
        series.graphicalProperties.line.dashStyle = dashes[number % len(dashes)]
        series.smooth = False
    page.add_chart(drawn, chart.at)


def _page_setup(page: Worksheet, sheet: Sheet, paper: Paper, footer: str) -> None:
    """Set frozen rows, print area, paper and page numbers."""
    last = get_column_letter(len(sheet.widths))
    page.freeze_panes = f"{get_column_letter(sheet.kept + 1)}{sheet.frozen + 1}"
    page.print_options.horizontalCentered = sheet.one_page
    if sheet.one_page:
        page.page_margins.top, page.page_margins.bottom, page.page_margins.footer = 0.4, 0.8, 0.4
    page.print_area = f"A1:{last}{max(1, len(sheet.rows))}"
    page.print_title_rows = f"1:{sheet.frozen}"
    page.page_setup.paperSize = PAPERS[paper]
    page.page_setup.orientation = "landscape" if sheet.wide else "portrait"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, int(sheet.one_page)
    page.sheet_properties.pageSetUpPr.fitToPage = not sheet.breaks_after
    if sheet.breaks_after:
        page.page_setup.scale = sheet.percent
        page.col_breaks = ColBreak(brk=[Break(id=column) for column in sheet.breaks_after])
    if sheet.kept:
        page.print_title_cols = f"A:{get_column_letter(sheet.kept)}"
        page.page_margins.top, page.page_margins.bottom, page.page_margins.footer = 0.6, 0.8, 0.4
    own = sheet.footer is not None
    page.oddFooter.left.text = (footer if sheet.footer is None else sheet.footer).replace("&", "&&")
    page.oddFooter.right.text = "&P" if own else "&P / &N"  # the number of pages counts all sheets
    page.page_setup.firstPageNumber, page.page_setup.useFirstPageNumber = (1, True) if own else (None, None)
    page.page_margins.left = page.page_margins.right = 0.5
    page.sheet_view.showGridLines = False
    for number, width in enumerate(sheet.widths, 1):
        page.column_dimensions[get_column_letter(number)].width = width


def _offer(page: Worksheet, choice: Choice) -> None:
    """Put a list to choose from, and a hint, to the cells that are filled in."""
    listed = choice.source or f'"{",".join(choice.values)}"' if choice.source or choice.values else None
    page.add_data_validation(
        DataValidation(
            type="list" if listed else None,
            formula1=listed,
            allow_blank=True,
            showErrorMessage=choice.strict,
            showInputMessage=bool(choice.hint),
            prompt=choice.hint or None,
            sqref=choice.cells,
        )
    )


def workbook(
    sheets: Iterable[Sheet], footer: str, paper: Paper = "a4", about: tuple[str, str] = ("boreworth", "boreworth")
) -> bytes:
    """Return the bytes of a workbook of sheets, each formula's value stored with it.

    `about`: who made it and what it is, as its properties say.
    """
    book = Workbook()
    book.remove(book.worksheets[0])
    sheets = tuple(sheets)
    entered = _filled_in() if any(sheet.choices for sheet in sheets) else {}
    for style in (*_styles().values(), *entered.values()):
        book.add_named_style(style)
    values: list[dict[str, float]] = []
    looks = _Looks()
    for sheet in sheets:
        page = book.create_sheet(sheet.name)
        stored: dict[str, float] = {}
        for number, row in enumerate(sheet.rows, 1):
            stored |= _put(page, number, row, book, looks)
        for chart in sheet.charts:
            _chart(page, chart)
        for choice in sheet.choices:
            _offer(page, choice)
        _page_setup(page, sheet, paper, footer)
        values.append(stored)
    book.properties.creator, book.properties.title = about
    book.properties.created = book.properties.modified = MADE
    raw = io.BytesIO()
    with ZipFile(raw, "w", ZIP_STORED) as archive:  # it is packed once, when the values are in
        ExcelWriter(book, archive).save()
    return with_values(raw.getvalue(), values, MADE)


def sheets_of(estimate: Estimate, builders: Iterable[Builder]) -> list[Sheet]:
    """Return the sheets of an estimate document, in order and in its job's units; a builder makes one or several."""
    units = units_of(estimate)
    estimate = in_units(estimate, units)
    made = [build(estimate) for build in builders]
    sheets = [sheet for one in made for sheet in ([one] if isinstance(one, Sheet) else one)]
    return [in_us(sheet, estimate) for sheet in sheets] if units == "us" else sheets


def quote_workbook(estimate: Estimate, builders: Iterable[Builder], paper: Paper = "a4") -> bytes:
    """Return the bytes of the quote workbook of an estimate document."""
    return workbook(sheets_of(estimate, builders), f"{estimate['reference']}  {estimate['engine']}", paper)
