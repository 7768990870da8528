"""The price: cost lines and what is made of them, with live formulas from the input cells to the total."""

from collections.abc import Iterator
from decimal import Decimal

from estimator.document.cost import CostLine
from estimator.document.old import kind_of
from estimator.document.price import Price
from estimator.estimate import Estimate
from exports.cells import Cell, Formula, Row, Sheet, blank, head, money_form, note, title
from exports.format import is_demo
from exports.sheets.inputs import rate_names

__all__ = ["sheet"]

HEAD = ("Code", "What", "Bore", "Quantity", "Unit", "Unit cost", "Amount", "Margin applies\n(1 yes, 0 no)")
WIDTHS = (18.0, 46.0, 12.0, 12.0, 11.0, 13.0, 14.0, 13.0)
COLUMNS, FIRST = len(WIDTHS), 4


def _places(estimate: Estimate) -> int:
    return len(str(estimate["price"]["total"]).partition(".")[2])


def _line(line: CostLine, row: int, estimate: Estimate) -> Row:
    """Return one cost line: an input quantity at a named rate, or a named share of the lines above it."""
    places, form = _places(estimate), money_form(estimate)
    kind = kind_of(line)
    if kind in ("odds", "sold"):
        quantity = Cell(line["quantity"], "input", "0.0###", f"quantity_{row}")
        cost = Cell(float(line["unit_cost"]), "input", form)
    elif kind == "share":
        base = Formula(f"ROUND(SUMIF(H{FIRST}:H{row - 1},1,G{FIRST}:G{row - 1}),{places})", float(line["unit_cost"]))
        quantity = Cell(Formula(f"share_{line['code']}", line["quantity"]), form="0.0###")
        cost = Cell(base, form=form)
    else:
        quantity = Cell(line["quantity"], "input", "0.0##", f"quantity_{row}")
        assert line["price_key"] is not None  # it is where the price stands
        cost = Cell(Formula(rate_names(estimate)[line["price_key"]], float(line["unit_cost"])), form="#,##0.00####")
    amount = Formula(f"ROUND(D{row}*F{row},{places})", float(line["amount"]))
    return Row(
        (
            Cell(line["code"], "faint"),
            Cell(line["description"]),
            Cell(line["bore"]),
            quantity,
            Cell(line["unit"]),
            cost,
            Cell(amount, form=form),
            Cell(int(line["bears_margin"]), "faint", "0"),
        )
    )


def _discount(price: Price, stepped: str, places: int) -> Iterator[tuple[str, str, float, str, str]]:
    """Yield the steps to the price before tax: at once, or by what is taken off."""
    agreed = price["rule"].get("agreed")
    made = f"MAX(ROUND({stepped},{places}),rule_minimum)" + (f"+({agreed})" if agreed else "")
    before = float(price["before_tax"])
    if not price["rule"].get("discount"):
        yield "Price before tax", made, before, "price_before_tax", "sum"
        return
    off = Decimal(next(one["amount"] for one in price["bores"] if one["part"] == "discount"))
    yield "Price before discount", made, float(Decimal(price["before_tax"]) - off), "price_listed", "plain"
    yield "Discount", f"-ROUND(price_listed*rule_discount,{places})", float(off), "price_off", "plain"
    yield "Price before tax", "price_listed+price_off", before, "price_before_tax", "sum"


def _made(estimate: Estimate, last: int) -> list[Row]:
    """Return the steps from the lines to the price."""
    price, rule, form, places = estimate["price"], estimate["price"]["rule"], money_form(estimate), _places(estimate)
    lines = estimate["cost"]["lines"]
    bearing = sum((Decimal(line["amount"]) for line in lines if line["bears_margin"]), Decimal(0))
    cost, amounts, marks = Decimal(estimate["cost"]["total"]), f"G{FIRST}:G{last}", f"H{FIRST}:H{last}"
    laid = "cost_bearing/(1-rule_fraction)" if rule["method"] == "margin" else "cost_bearing*(1+rule_fraction)"
    exact = f"({laid}+cost_charged)"
    stepped = f"IF(rule_rounding>0,ROUND({exact}/rule_rounding,0)*rule_rounding,{exact})"
    steps = (
        ("Cost", f"ROUND(SUM({amounts}),{places})", float(cost), "cost_total", "sum"),
        (
            "cost with margin",
            f"ROUND(SUMIF({marks},1,{amounts}),{places})",
            float(bearing),
            "cost_bearing",
            "plain",
        ),
        (
            "passed on at cost",
            f"ROUND(SUMIF({marks},0,{amounts}),{places})",
            float(cost - bearing),
            "cost_charged",
            "plain",
        ),
        *_discount(price, stepped, places),
        ("Tax", f"ROUND(price_before_tax*rule_tax,{places})", float(price["tax"]), "price_tax", "plain"),
        ("Price with tax", "price_before_tax+price_tax", float(price["total"]), "price_total", "total"),
    )
    rows = [
        Row((Cell(None), Cell(name, "label"), *(Cell(None),) * 4, Cell(Formula(text, value), look, form, cell)))
        for name, text, value, cell, look in steps
    ]
    reached = Formula("IF(price_before_tax>0,(price_before_tax-cost_total)/price_before_tax,0)", price["margin"])
    rows.append(Row((Cell(None), Cell("Margin reached", "label"), *(Cell(None),) * 4, Cell(reached, form="0.0%"))))
    return rows


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the price."""
    rows = [title(f"Price of {estimate['reference']} in {estimate['price']['currency']}", COLUMNS)]
    said = (
        "Shaded cells are inputs; the rest follows. An amount is quantity times unit cost as printed, rounded half up."
    )
    demo = f" DEMO PRICES, NOT FOR USE: {estimate['pricebook']['note']}" if is_demo(estimate) else ""
    rows += [note(said + demo, COLUMNS, sum(WIDTHS)), head(*HEAD)]
    rows += [_line(line, FIRST + n, estimate) for n, line in enumerate(estimate["cost"]["lines"])]
    last = len(rows)
    rows += [blank(), *_made(estimate, last)]
    return Sheet("Price", WIDTHS, tuple(rows), 3)
