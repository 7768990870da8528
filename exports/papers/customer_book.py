"""The customer's workbook: quote, sizes and readings. It stands alone: its sums are formulas within it.

Put together as the letter is, from the same allow-list; nothing of the shop's own workbook goes into it.
"""

import datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from exports.cells import Cell, Chart, Formula, Row, Sheet, blank, head, heading, lines_of, money_places, text, title
from exports.format import field
from exports.in_units import in_units
from exports.papers.letter import Issued, content_of
from exports.papers.priced import parts, range_rows, taxes_said
from exports.papers.words import Words, words_in
from exports.workbook import Paper, workbook

__all__ = ["customer_book", "customer_sheets"]

WIDTHS = (16.0, 30.0, 30.0, 34.0)
COLUMNS, WIDTH, AMOUNT = len(WIDTHS), sum(WIDTHS), "D"
NAMED = sum(WIDTHS[:-1])  # width of what an amount is for
SIZES = (
    ("nominal", 12.0, "0.0##"), ("length", 12.0, "0.0#"), ("largest", 18.0, "0.00"), ("worn", 12.0, "0.00"),
    ("least", 12.0, "0.000"), ("most", 12.0, "0.000"),
)  # fmt: skip
FIRST, STEEL, FIT = 18.0, 16.0, 10.0
RADIAL = ("radius", "points")
CHART_ROWS, MOST_DEPTHS, LEAST_COLUMNS, PER_PAGE = 17, 8, 7, 2


def customer_book(
    estimate: Any,  # noqa: ANN401  # a document of any age
    day: datetime.date,
    issued: Issued | None = None,
    language: str = "en",
    paper: Paper = "a4",
) -> bytes:
    """Return the customer's workbook of an estimate document; parameters as those of `exports.papers.letter.letter`."""
    content = content_of(estimate, day, issued, language, "metric")
    about = content["company"]["name"], content["title"]
    footer = ", ".join(one for one in (content["company"]["name"], content["title"]) if one)
    return workbook(customer_sheets(estimate, day, issued, language), footer, paper, about)


def customer_sheets(estimate: Any, day: datetime.date, issued: Issued | None, language: str) -> list[Sheet]:  # noqa: ANN401  # the same
    """Return its sheets."""
    content, words = content_of(estimate, day, issued, language, "metric"), words_in(language)
    found = in_units(estimate, "metric")
    return [_quote(content, found, words), _sizes(found, words), *_readings(found, words)]


# ---------------------------------------------------------------- the quote


def _quote(content: dict[str, Any], found: Any, words: Words) -> Sheet:  # noqa: ANN401  # a document
    """Return the sheet of the quote, as the letter has it."""
    rows = [title(content["title"], COLUMNS)]
    rows += [text(one, COLUMNS, WIDTH, "alarm") for one in (*content["banner"], *content["draft"])]
    company = content["company"]
    said = [one for one in (company["name"], *company["lines"], *company["registration"]) if one]
    rows += [*(_over(one) for one in said), blank(), *(_over(one) for one in content["to"]), blank()]
    rows += [_pair(name, value) for name, value in content["facts"]]
    subject = content["subject"] + (f": {content['job']}" if content["job"] else "")
    rows += [blank(), heading(subject, COLUMNS), text(content["opening"], COLUMNS, WIDTH)]
    rows += [blank(), heading(content["bores"]["title"], COLUMNS), head(*content["bores"]["head"])]
    rows += [_bore(row) for row in content["bores"]["rows"]]
    rows += [blank(), heading(content["price"]["title"], COLUMNS), _amount_head(content["price"]["head"])]
    rows += _prices(found, words, len(rows) + 1)
    rows += [text(one, COLUMNS, WIDTH) for one in content["price"]["notes"]]
    for one in content["sections"]:
        mark = "-  " if one["listed"] else ""
        rows += [blank(), heading(one["title"], COLUMNS)]
        rows += [text(f"{mark}{item}", COLUMNS, WIDTH) for item in one["items"]]
    rows += _accept(content["accept"]) if content["accept"] else []
    return Sheet(words("quote"), WIDTHS, tuple(rows), 1)


def _over(words: str) -> Row:
    """Return a line over the whole width."""
    return text(words, COLUMNS, WIDTH)


def _pair(name: str, value: str) -> Row:
    """Return a fact beside its name."""
    wide = WIDTH - WIDTHS[0]
    cells = (Cell(name, "label"), Cell(value, "text"))
    return Row(cells, lines=max(lines_of(name, WIDTHS[0]), lines_of(value, wide)), spans=((2, COLUMNS),))


def _bore(row: list[list[str]]) -> Row:
    said = ["\n".join(lines) for lines in row]
    tall = max(lines_of(one, wide) for one, wide in zip(said, WIDTHS, strict=True))
    return Row(tuple(Cell(one, "text") for one in said), lines=tall)


def _accept(accept: dict[str, Any]) -> list[Row]:
    rows = [blank(), heading(accept["title"], COLUMNS), _over(accept["text"])]
    return rows + [row for name in accept["lines"] for row in (blank(), _pair(name, " "))]


# ---------------------------------------------------------------- the price


def _amount_head(names: list[str]) -> Row:
    what, amount = names
    return Row((Cell(what, "head"), Cell(None, "head"), Cell(None, "head"), Cell(amount, "beside")), spans=((1, 3),))


def _priced(what: str, amount: float | Formula, form: str, look: str = "amount") -> Row:
    cells = (Cell(what, "text"), Cell(None), Cell(None), Cell(amount, look, form))
    return Row(cells, lines=lines_of(what, NAMED), spans=((1, 3),))


def _prices(found: Any, words: Words, first: int) -> list[Row]:  # noqa: ANN401  # a document
    """Return the parts of the price with its sums as formulas; a range where it is a budget price.

    `first`: number of the first row.
    """
    price = found["price"]
    form = money_places(price["total"])
    if "budget" in found:
        return [_priced(what, float(amount), form) for what, amount in range_rows(found, words)]
    each = parts(found, words)
    rows = [_priced(what, float(amount), form) for what, amount in each]
    before, total = Decimal(price["before_tax"]), Decimal(price["total"])
    net, last = first + len(rows), first + len(rows) - 1
    summed = f"SUM({AMOUNT}{first}:{AMOUNT}{last})"
    sums = sum((Decimal(amount) for _, amount in each), Decimal(0)) == before
    taxes = _taxes(found, words, net)
    end = "+".join(f"{AMOUNT}{row}" for row in range(net, net + len(taxes) + 1))
    return [
        *rows,
        _priced(words("before_tax"), Formula(summed, float(before)) if each and sums else float(before), form, "total"),
        *taxes,
        _priced(words("total"), Formula(end, float(total)), form, "total"),
    ]


def _taxes(found: Any, words: Words, net: int) -> list[Row]:  # noqa: ANN401  # a document
    """Return a row a rate of tax, as a formula where it follows from its base; `net`: row of the price before tax."""
    total, rates, rows = found["price"]["total"], taxes_said(found, words), list[Row]()
    places = len(total.partition(".")[2])
    for said, rate, base, tax in rates:
        fraction, amount = Decimal(str(rate)), Decimal(tax)
        cell = f"{AMOUNT}{net}" if len(rates) == 1 else base
        holds = (Decimal(base) * fraction).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP) == amount
        rounded = Formula(f"ROUND({cell}*{fraction:f},{places})", float(amount))
        rows.append(_priced(said, rounded if holds else float(amount), money_places(total)))
    return rows


# ---------------------------------------------------------------- sizes


def _sizes(found: Any, words: Words) -> Sheet:  # noqa: ANN401  # a document
    """Return the sheet of sizes: as found and as finished, a row a bore."""
    names = [Cell(words(code), "head") for code in ("bore", "steel", "fit")]
    names += [Cell(f"{words(code)} [mm]", "beside") for code, _, _ in SIZES]
    rows = [title(words("sizes"), len(names)), Row(tuple(names), lines=2)]
    rows += [_size(bore) for bore in found["bores"]]
    return Sheet(words("sizes"), (FIRST, STEEL, FIT, *(wide for _, wide, _ in SIZES)), tuple(rows), 2, wide=True)


def _size(bore: Any) -> Row:  # noqa: ANN401  # a part of a document
    given, sizes, wear = bore["given"], bore["sizes"], bore["wear"]
    measured = given.get("readings") is not None
    values = (
        given["nominal_diameter_mm"], given["length_mm"], wear["largest_diameter_mm"],
        wear["max_radial_wear_mm"] if measured else None, sizes["finish_min_mm"], sizes["finish_max_mm"],
    )  # fmt: skip
    told = (Cell(bore["name"]), Cell(given["material"]), Cell(given["tolerance"]))
    return Row((*told, *(Cell(value, form=form) for value, (_, _, form) in zip(values, SIZES, strict=True))))


# ---------------------------------------------------------------- readings


def _readings(found: Any, words: Words) -> list[Sheet]:  # noqa: ANN401  # a document
    """Return the sheet of what was read in each bore, with its picture; none where nothing was."""
    read = [bore for bore in found["bores"] if field(bore, "given", "readings")]
    if not read:
        return []
    widest = max(len(_depths(bore)) for bore in read)
    widths = (14.0, *(12.0,) * max(widest, LEAST_COLUMNS))
    rows = [title(words("readings"), len(widths)), text(words("clock_said"), len(widths), sum(widths))]
    charts = []
    for number, bore in enumerate(read):
        more, chart = _read(bore, len(rows) + 1, words, breaks=number > 0 and number % PER_PAGE == 0)
        rows += more
        charts.append(chart)
    return [Sheet(words("readings"), widths, tuple(rows), 2, charts=tuple(charts))]


def _depths(bore: Any) -> list[int]:  # noqa: ANN401  # a part of a document
    """Return which depths of a bore are shown: all, or of very many evenly some."""
    count = len(bore["given"]["readings"]["depths_mm"])
    return list(range(0, count, -(-count // MOST_DEPTHS)))


def _read(bore: Any, first: int, words: Words, *, breaks: bool) -> tuple[list[Row], Chart]:  # noqa: ANN401  # the same
    """Return the readings of a bore, a row a clock position and a column a depth, and their picture."""
    readings, shown = bore["given"]["readings"], _depths(bore)
    name = words("read_radius" if readings["kind"] in RADIAL else "read_diameter", bore=bore["name"])
    depths = [words("depth", depth=words.number(readings["depths_mm"][at], 1, 0)) for at in shown]
    rows = [heading(name, 1 + len(shown), breaks), head(words("clock"), *depths)]
    for number, angle in enumerate(readings["clock_deg"]):
        values = (readings["clock_readings_mm"][at][number] for at in shown)
        rows.append(Row((Cell(angle, form="0"), *(Cell(value, form="0.000") for value in values))))
    last = first + len(rows) - 1
    block = {"first_row": first + 1, "last_row": last, "first_column": 1, "last_column": 1 + len(shown)}
    chart = Chart(title=name, across=words("clock"), up="mm", at=f"A{last + 2}", **block)
    return rows + [blank()] * CHART_ROWS, chart
