"""The input cells: rates, prices and fractions that the price sheet takes. Change one and the price follows."""

import re

from estimator.document.old import kind_of
from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, head, money_form, note, title
from exports.format import in_percent, taxed_at

__all__ = ["rate_names", "sheet"]

WIDTHS = (52.0, 16.0, 16.0, 34.0)
COLUMNS = len(WIDTHS)
LABOUR = {"rates.labour_on_site": "Labour rate, on site", "rates.labour_travel": "Labour rate, travel"}


def rate_names(estimate: Estimate) -> dict[str, str]:
    """Return the cell name of every price that the cost lines use, by its place in the price book."""
    keys = list(dict.fromkeys(line["price_key"] for line in estimate["cost"]["lines"] if line["price_key"]))
    names: dict[str, str] = {}
    for key in keys:
        name = "rate_" + re.sub(r"[^a-z0-9]+", "_", key.removeprefix("rates.").lower()).strip("_")
        while name in names.values():
            name += "_again"
        names[key] = name
    return names


def _rates(estimate: Estimate) -> list[Row]:
    price, names = estimate["price"], rate_names(estimate)
    first = {line["price_key"]: line for line in reversed(estimate["cost"]["lines"])}
    rows = []
    for key, name in names.items():
        line = first[key]
        label = LABOUR.get(key, f"Price, {line['description']}")
        unit = f"{price['currency']}/{line['unit']}"
        value = Cell(float(line["unit_cost"]), "input", "#,##0.00####", name)
        rows.append(Row((Cell(label, "label"), value, Cell(unit), Cell(key, "faint"))))
    return rows


def _shares(estimate: Estimate) -> list[Row]:
    rows = []
    for line in estimate["cost"]["lines"]:
        if kind_of(line) == "share":
            cell = Cell(line["quantity"], "input", "0.0###", f"share_{line['code']}")
            label = Cell(f"Share, {line['description']}", "label")
            rows.append(Row((label, cell, Cell(line["unit"]), Cell(line["code"], "faint"))))
    return rows


def _tax(estimate: Estimate) -> tuple[str, float, str, str, str]:
    """Return the input of the tax; where rates differ, what they come to on the whole price."""
    price = estimate["price"]
    if "taxes" not in price or not float(price["before_tax"]):
        return "Tax", price["rule"]["tax"], "of the price before tax", "0.0###", "rule_tax"
    named = "; ".join(f"{in_percent(fraction)} % on {base}" for fraction, base, _ in taxed_at(estimate))
    mean = float(f"{float(price['tax']) / float(price['before_tax']):.12g}")
    return f"Tax ({named})", mean, "of the price before tax", "0.0000######", "rule_tax"


def _rule(estimate: Estimate) -> list[Row]:
    rule, form, currency = estimate["price"]["rule"], money_form(estimate), estimate["price"]["currency"]
    base = "of the price" if rule["method"] == "margin" else "of the cost"
    off = rule.get("discount", 0.0)
    entries = [
        (rule["method"].capitalize(), rule["fraction"], base, "0.0###", "rule_fraction"),
        ("Minimum charge", float(rule["minimum_charge"]), currency, form, "rule_minimum"),
        ("Price rounded to", float(rule["rounding"]), currency, "0.00####", "rule_rounding"),
        _tax(estimate),
        *([("Discount", off, "of the price before it", "0.0###", "rule_discount")] if off else []),
    ]
    return [Row((Cell(n, "label"), Cell(v, "input", f, name), Cell(u), Cell(None))) for n, v, u, f, name in entries]


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of input cells."""
    rows = [title(f"Inputs of the price of {estimate['reference']}", COLUMNS)]
    basis = (
        "the shop's own cost"
        if estimate["pricebook"]["basis"] == "cost"
        else "charge-out rates, overhead and margin in them"
    )
    rows.append(
        note(
            f"Shaded cells are inputs. Labour rates are {basis}. Hours and quantities: sheet Price.",
            COLUMNS,
            sum(WIDTHS),
        )
    )
    rows.append(head("Input", "Value", "Unit", "In the price book"))
    rows += [*_rates(estimate), *_shares(estimate), *_rule(estimate)]
    return Sheet("Inputs", WIDTHS, tuple(rows), 3, wide=True)
