"""Pages for people beside the estimate: which way is cheapest, what to order, what moved a price."""

import textwrap
from decimal import Decimal
from typing import Any

from exports.format import amount, by_grade, number
from exports.phrases import mix_of

__all__ = ["causes_page", "comparison_page", "order_page"]

WIDE = 92
SHOWN_FIRST = 5
SAID = {"repair": "repair on site", "sleeve": "fit a sleeve", "replace": "a new part"}


def _list(name: str, items: list[str]) -> list[str]:
    lines = [textwrap.fill(item, WIDE, initial_indent="  - ", subsequent_indent="    ") for item in items]
    return ["", name, *lines] if items else []


def _invented(book: dict[str, Any]) -> list[str]:
    return (
        ["", *textwrap.wrap(f"ALL PRICES ARE INVENTED. {book['note']}", WIDE, initial_indent="!! ")]
        if book["invented"]
        else []
    )


def _dearer(found: dict[str, Any], best: dict[str, Any]) -> list[str]:
    """Return by how much each other way costs more a year, and what the best costs for an hour of the machine."""
    currency = found["currency"]
    lines = []
    for choice in found["choices"]:
        if choice["feasible"] and choice is not best:
            more = Decimal(choice["annual_cost"]) - Decimal(best["annual_cost"])
            lines.append(f"  {amount(f'{more}', currency)} a year less than: {SAID[choice['name']]}")
    places = len(best["annual_cost"].partition(".")[2])
    hour = Decimal(best["annual_cost"]) / Decimal(str(found["hours_per_year"]))
    return [*lines, f"  that is {amount(f'{hour:.{places}f}', currency)} for each hour the machine runs"]


NOT_IN_IT = [
    "what the part costs to run and keep up meanwhile, taken as the same for all ways",
    "scrap or resale of the old part, and tax",
    "finding out later that the boss is worse than measured",
]


def _choices(found: dict[str, Any]) -> list[str]:
    lines = [f"  {'':<16}{'first cost':>16}{'downtime':>12}{'lost by it':>16}{'lasts':>12}{'a year':>16}"]
    for choice in found["choices"]:
        name, currency = SAID[choice["name"]], found["currency"]
        if not choice["feasible"]:
            lines.append(f"  {name:<16}not possible: {'; '.join(choice['reasons'])}")
            continue
        cells = (
            amount(choice["first_cost"], currency),
            f"{number(choice['downtime_h'], 0)} h",
            amount(choice["downtime_cost"], currency),
            f"{number(choice['life_years'], 1)} years",
            amount(choice["annual_cost"], currency),
        )
        widths = (16, 12, 16, 12, 16)
        lines.append(f"  {name:<16}" + "".join(f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True)))
    return lines


def _even(found: dict[str, Any]) -> list[str]:
    even, currency, said = found["break_even"], found["currency"], []
    if even["replacement_price"] is not None:
        said.append(f"a new part becomes the better buy below {amount(even['replacement_price'], currency)}")
    if even["repair_life_h"] is not None:
        said.append(f"the repair pays as long as it lasts {number(even['repair_life_h'], 0)} h or more")
    if even["downtime_cost_per_h"] is not None:
        hour = _printed(even["downtime_cost_per_h"], found)
        said.append(f"repair and new part cost the same where an hour of downtime costs {amount(hour, currency)}")
    return said + list(even["reasons"])


def _printed(rate: str, found: dict[str, Any]) -> str:
    """Return a rate with the places that the currency's amounts have."""
    places = len(found["choices"][0]["downtime_cost"].partition(".")[2])
    return f"{Decimal(rate):.{places}f}"


def comparison_page(found: dict[str, Any]) -> str:
    """Return the page a fleet manager reads of a comparison document."""
    title = f"REPAIR OR REPLACE  {found['reference']}"
    lines = [title, "=" * len(title), *_invented(found["pricebook"]), ""]
    if found["best"] is None:
        lines.append("None of the ways can be costed as described.")
    else:
        best = next(choice for choice in found["choices"] if choice["name"] == found["best"])
        year = amount(best["annual_cost"], found["currency"])
        lines.append(f"Cheapest over the years: {SAID[found['best']]}, {year} a year.")
        lines += _dearer(found, best)
    lines += ["", *_choices(found)]
    basis = f"{100 * found['discount_rate']:g} % a year, {number(found['hours_per_year'], 0)} machine hours a year"
    hour = amount(_printed(str(found["downtime_cost_per_h"]), found), found["currency"])
    lines += ["", f"Reckoned at {basis}, an hour of downtime at {hour}; cost at the end of each year,"]
    lines += ["first cost and downtime spread over the life. Repair is its price before tax."]
    lines += _list("What would turn it", _even(found)) + _list("Not in it", NOT_IN_IT)
    lines += _list("Check", by_grade(found))
    return "\n".join([*lines, ""])


def _order_row(line: dict[str, Any], found: dict[str, Any]) -> list[str]:
    """Return the row of one item, with the packs to buy where they are of several sizes, and its article."""
    whole, places = line["unit"] == "each", 0 if line["quantity"] == int(line["quantity"]) else 1
    cells = (
        (number(line["expected"] + line["planned"], 2 if whole else 1), 12),
        (number(line["to_cover"], 0 if whole else 1), 12),
        (number(line["on_hand"], 0 if whole else 1), 12),
        (str(line["packs"]), 8),
        (f"{number(line['quantity'], places)}{'' if whole else ' ' + line['unit']}", 14),
        (amount(line["cost"], found["currency"]) if "cost" in line else "", 16),
    )
    rows = [f"  {line['item']:<28}" + "".join(f"{cell:>{width}}" for cell, width in cells)]
    if any(one["pack_size"] != line["pack_size"] for one in line["mix"]):
        rows.append(f"    cheapest as {mix_of(line)} {line['unit']}; the cost is that")
    return rows + ([f"    article {line['article']}"] if line.get("article") else [])


def _lasting(found: dict[str, Any]) -> list[str]:
    """Return which items run out first, and where."""
    said = []
    for one in found["runs_out"][:SHOWN_FIRST]:
        where = "after these jobs" if one["job"] is None else f"in {one['job']}, bore {one['bore']}"
        said.append(f"{one['item']}: after {number(one['arc_h'], 1)} h of arc, {where} (stock {one['stock']})")
    return said


def _advice(found: dict[str, Any]) -> list[str]:
    """Return which service level would cost least, where the price book says what being short costs."""
    return [
        f"{line['item']}: {100 * line['advised_service_level']:.3g} % would cost least, take {line['advised_cover']:g}"
        for line in found["lines"]
        if line.get("advised_service_level") is not None
    ]


def _days(found: dict[str, Any]) -> list[str]:
    """Return which jobs the van leaves for, day by day."""
    return [
        f"day {one['day']}{'' if one['until'] == one['day'] else ' to ' + str(one['until'])}: {', '.join(one['jobs'])}"
        for one in found["days"]
    ]


def order_page(found: dict[str, Any]) -> str:
    """Return the list a field lead packs and orders by, of an order document."""
    title = f"TO TAKE AND TO ORDER  {found['jobs']} job{'s' if found['jobs'] > 1 else ''}"
    lines = [title, "=" * len(title), f"Enough in {100 * found['service_level']:g} of 100 cases, item by item;"]
    lines.append(f"no item at all short in {100 * found['together']:.0f} of 100, as if they ran short independently.")
    lines.append(
        f"For {100 * found['service_level']:g} of 100 with nothing short ask for {found['level_for_all']:.4f}."
    )
    cost = "cost" if "total" in found else ""
    named = f"{'expected':>12}{'to take':>12}{'on hand':>12}{'packs':>8}{'to order':>14}{cost:>16}"
    for group in found["suppliers"]:
        lines += ["", f"  {group['supplier'].upper():<28}{named}".rstrip()]
        for line in found["lines"]:
            lines += _order_row(line, found) if line["supplier"] == group["supplier"] else []
    if "total" in found:
        lines += ["", f"  to order in all {amount(found['total'], found['currency'])}"]
    lines += _list("Runs out first", _lasting(found)) + _list("The van leaves", _days(found))
    lines += _list("What being short costs", _advice(found))
    return "\n".join([*lines, *_list("Check", by_grade(found)), ""])


def _or_nothing(text: str | None) -> str:
    return "(nothing)" if text is None else text


def causes_page(found: dict[str, Any]) -> str:
    """Return the page of what moved a price."""
    first, second, currency = found["first"], found["second"], found["currency"]
    title = f"WHAT MOVED THE PRICE  {first['reference']} to {second['reference']}"
    lines = [title, "=" * len(title), ""]
    lines.append(f"  from {amount(first['total'], currency)} to {amount(second['total'], currency)} with tax")
    for cause in found["causes"]:
        lines.append(f"  {cause['moved']:>12}  {', '.join(cause['keys'])}")
        for before, after in zip(cause["from"], cause["to"], strict=True):
            lines.append(f"  {'':12}    {_or_nothing(before)} -> {_or_nothing(after)}")
        parts = ", ".join(f"{line['code']} {line['moved']}" for line in cause["lines"])
        lines += [f"  {'':12}    cost lines: {parts}"] if parts else []
    lines += [f"  {found['difference']:>12}  in all", "", *textwrap.wrap(f"({found['order']})", WIDE), ""]
    return "\n".join(lines)
