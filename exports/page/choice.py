"""Pages for people beside the estimate: which way is cheapest, what to order, what moved a price."""

from decimal import Decimal
from typing import Any

from estimator.buying.make import Order, OrderLine
from estimator.compare import Comparison
from estimator.compare.annual import Choice
from estimator.compare.make import Book
from exports.format import Grade, amount, by_key, counted, has, headed, hours_said, moved, number
from exports.page.parts import WIDE, columns, cut, joined, listed, wrapped
from exports.page.ways import INSTEAD, SAID, headline, lasts, wins, yearly
from exports.phrases import mix_of
from exports.used import to_cover

__all__ = ["causes_page", "comparison_page", "order_page"]

SHOWN_FIRST = 5
EVEN = {
    "replacement_price": "price of a new part",
    "repair_life_h": "life of the repair",
    "downtime_cost_per_h": "cost of downtime",
}


def _list(name: str, items: list[str]) -> list[str]:
    return ["", name, *listed(items)] if items else []


GRADED: tuple[tuple[str, Grade], ...] = (
    ("STOP UNTIL THIS IS SETTLED", "stop"),
    ("APPROVAL REQUIRED", "approve"),
    ("CHECK", "check"),
    ("GOOD TO KNOW", "know"),
)


def _warned(found: Comparison | Order) -> list[str]:
    """Return the warnings under the names of their grades, gravest first."""
    return [line for name, said in headed(found, *GRADED) for line in _list(name, said)]


def _titled(title: str) -> list[str]:
    return [*wrapped(title, ""), "=" * min(WIDE, len(title))]


def _invented(book: Book) -> list[str]:
    if not book["invented"]:
        return []
    return ["", "!! DEMO PRICES, invented: not for use !!", *wrapped(book["note"], "   ")]


def _dearer(found: Comparison, best: Choice) -> list[str]:
    """Return by how much each other way costs more a year, and what the best costs for an hour of the machine."""
    currency, year = found["currency"], yearly(best)
    lines = []
    for choice in found["choices"]:
        if choice["feasible"] and choice is not best:
            more = Decimal(yearly(choice)) - Decimal(year)
            lines.append(f"  It costs {amount(f'{more}', currency)} a year less than {INSTEAD[choice['name']]}.")
    places = len(year.partition(".")[2])
    hour = Decimal(year) / Decimal(str(found["hours_per_year"]))
    if not Decimal(year):
        return lines
    return [*lines, f"  That is {amount(f'{hour:.{places}f}', currency)} for each hour the machine runs."]


NOT_IN_IT = [
    "running and upkeep of the part meanwhile, taken as the same for all ways",
    "tax, and what the old part brings where no salvage is given",
    "the boss turning out worse than measured",
]


LONGEST_CHOICE = 20  # signs


def _choices(found: Comparison) -> list[str]:
    """Return a row for each way that is possible, then why the others are not."""
    heads = [["", "first cost", "downtime", "downtime cost", "lasts", "a year"]]
    currency, rows = found["currency"], []
    for choice in found["choices"]:
        if choice["feasible"]:
            money = [amount(by_key(choice)[key], currency) for key in ("first_cost", "downtime_cost", "annual_cost")]
            down, life = f"{number(choice['downtime_h'], 0)} h", lasts(choice["life_years"])
            rows.append([SAID[choice["name"]], money[0], down, money[1], life, money[2]])
    others = [one for one in found["choices"] if not one["feasible"]]
    told = [f"{SAID[one['name']]}: not possible: {'; '.join(one['reasons'])}" for one in others]
    return [*(columns(heads, rows, LONGEST_CHOICE) if rows else []), *(line for one in told for line in wrapped(one))]


def _downtime(found: Comparison) -> str:
    """Return where the hours of downtime come from: which were typed, which the plan gives, which nobody gave."""
    planned = any(one["code"] == "repair_downtime" for one in found["warnings"])
    unsaid = {one["path"].split(".")[1] for one in found["warnings"] if one["code"] == "downtime_none"}
    here = [one["name"] for one in found["choices"] if one["feasible"]]
    typed = [SAID[name] for name in here if name not in unsaid and not (planned and name == "repair")]
    said = [f"as typed ({', '.join(typed)})"] if typed else []
    said += ["what the machine would work meanwhile (repair on site)"] if planned and "repair" in here else []
    said += [f"none given ({', '.join(SAID[name] for name in here if name in unsaid)})"] if unsaid & set(here) else []
    return f"Downtime: {'; '.join(said)}." if said else ""


def _even(found: Comparison) -> list[str]:
    even, currency, said = found["break_even"], found["currency"], []
    against = "" if even["against"] is None else f"; against {INSTEAD[even['against']]}"
    if even["replacement_price"] is not None:
        said.append(f"a new part becomes the better buy below {amount(even['replacement_price'], currency)}")
    if even["repair_life_h"] is not None:
        said.append(f"the repair pays as long as it lasts {number(even['repair_life_h'], 0)} h or more{against}")
    if even["downtime_cost_per_h"] is not None:
        hour = _printed(even["downtime_cost_per_h"], found)
        said.append(f"repair and the next best cost the same where an hour of downtime costs {amount(hour, currency)}")
    return said + [f"{EVEN[key]}: {why['text']}" for key, why in even["reasons_by_key"].items()]


def _printed(rate: str, found: Comparison) -> str:
    """Return a rate with the places that the currency's amounts have."""
    places = len(found["choices"][0]["downtime_cost"].partition(".")[2])
    return f"{Decimal(rate):.{places}f}"


def comparison_page(found: Comparison) -> str:
    """Return the page a fleet manager reads of a comparison document."""
    lines = [*_titled(f"REPAIR OR REPLACE: {found['reference']}"), *_invented(found["pricebook"]), ""]
    if found["best"] is None:
        lines.append("None of the ways can be costed as described.")
    else:
        best = next(choice for choice in found["choices"] if choice["name"] == found["best"])
        lines += wrapped(headline(found, best), "")
        lines += _dearer(found, best)
    lines += ["", *_choices(found), *_list("LIVES LOW TO HIGH", wins(found)), ""]
    basis = f"{100 * found['discount_rate']:g} % interest, {number(found['hours_per_year'], 0)} machine hours a year"
    hour = amount(_printed(str(found["downtime_cost_per_h"]), found), found["currency"])
    lines += wrapped(
        f"Basis: {basis}, downtime at {hour} an hour; cost at the end of each year, first cost and downtime spread "
        f"over the life. {_downtime(found)} The repair stands at its price before tax.",
        "",
    )
    lines += _list("WHAT WOULD CHANGE THE ANSWER", _even(found)) + _list("NOT COUNTED", NOT_IN_IT)
    return joined([*lines, *_warned(found)])


LONGEST_ITEM = 40  # signs
HEADS = ("expected", "to take", "on hand", "packs", "to order")


def _order_row(line: OrderLine, found: Order) -> list[str]:
    """Return the row of one item: expected, to take, on hand, packs and quantity to order, cost."""
    whole = line["unit"] == "each"
    name = line["item"] if whole else f"{line['item']}, {line['unit']}"
    figures = [number(line["expected"] + line["planned"], 2) if whole else _bulk(line["expected"] + line["planned"])]
    figures += [
        to_cover(line["to_cover"], line["unit"]),
        number(line["on_hand"], 0) if whole else _bulk(line["on_hand"]),
    ]
    figures += [str(line["packs"]), number(line["quantity"], 0 if line["quantity"] == int(line["quantity"]) else 1)]
    return [name, *figures, amount(line["cost"], found["currency"]) if has(line, "cost") else ""]


def _bulk(quantity: float) -> str:
    """Return a quantity of bulk, small ones finer: "1,251.6", "0.04"."""
    return number(quantity, 1 if quantity >= 1 or quantity == 0 else 2)


def _items(found: Order) -> list[str]:
    """Return the items by supplier, all in the same columns."""
    heads, groups = [*HEADS, "cost" if has(found, "total") else ""], list[list[OrderLine]]()
    rows = list[list[str]]()
    for group in found["suppliers"]:
        groups.append([line for line in found["lines"] if line["supplier"] == group["supplier"]])
        rows += [[group["supplier"].upper(), *heads], *(_order_row(line, found) for line in groups[-1])]
    table, lines = iter(columns([], [[cut(row[0], LONGEST_ITEM), *row[1:]] for row in rows], LONGEST_ITEM)), list[str]()
    for items in groups:
        lines += ["", *(next(table) for _ in range(len(items) + 1))]
        lines += listed([one for line in items for one in _remarks(line)])
    return lines


def _remarks(line: OrderLine) -> list[str]:
    """Return which packs are cheapest where they are of several sizes, and the article to order."""
    said = [f"article {line['article']}"] if line.get("article") else []
    if any(one["pack_size"] != line["pack_size"] for one in line["mix"]):
        said.append(f"cheapest as {mix_of(line)} {line['unit']}, at the cost shown")
    return [f"{line['item']}: {', '.join(said)}"] if said else []


def _lasting(found: Order) -> list[str]:
    """Return which items run out first, and where."""
    said = []
    for one in found["runs_out"][:SHOWN_FIRST]:
        where = "after these jobs" if one["job"] is None else f"in {one['job']}, bore {one['bore']}"
        said.append(f"{one['item']}: after {hours_said(one['arc_h'])} of arc, {where} (stock {one['stock']})")
    return said


def _advice(found: Order) -> list[str]:
    """Return how many of a part would cost least, where the price book says what being short costs."""
    return [
        f"{line['item']}: {_cheapest(line)}, being short counted ({100 * level:.3g} %)"
        for line in found["lines"]
        if (level := line.get("advised_service_level")) is not None
    ]


def _cheapest(line: OrderLine) -> str:
    """Return the two numbers of a part: to take for the level asked for, and what would cost least."""
    take, advised = line["to_cover"], line["advised_cover"]
    if take == advised:
        return f"the {take:g} to take also cost{'s' if take == 1 else ''} least"
    return f"{take:g} to take for the level asked for; {advised:g} would cost least"


def _days(found: Order) -> list[str]:
    """Return which jobs the van leaves for, day by day."""
    return [
        f"day {one['day']}{'' if one['until'] == one['day'] else ' to ' + str(one['until'])}: {', '.join(one['jobs'])}"
        for one in found["days"]
    ]


def _covered(found: Order) -> str:
    """Return how sure it is that nothing runs short, item by item and altogether."""
    level, together = 100 * found["service_level"], 100 * found["together"]
    return (
        f"Enough of each item in {level:g} % of cases; of all items together in {together:.0f} %, if they run short"
        f" independently. For {level:g} % overall set the service level to {found['level_for_all']:.4f}."
    )


def order_page(found: Order) -> str:
    """Return the list a field lead packs and orders by, of an order document."""
    lines = [*_titled(f"TAKE AND ORDER: {counted(found['jobs'], 'job')}"), *wrapped(_covered(found), "")]
    lines += _items(found)
    if has(found, "total"):
        lines += ["", f"  to order in all {amount(found['total'], found['currency'])}"]
    lines += _list("RUNS OUT FIRST", _lasting(found)) + _list("THE VAN LEAVES", _days(found))
    lines += _list("SERVICE LEVEL THAT COSTS LEAST", _advice(found))
    return joined([*lines, *_warned(found)])


MOVED = 14  # columns that what a change moved takes


def _moved_by(cause: dict[str, Any], currency: str) -> list[str]:
    """Return how far a change moved the price, and what changed from what to what."""
    said = _from_to(cause)
    lines = wrapped(said[0], f"{moved(cause['moved'], currency):>{MOVED}}  ", " " * (MOVED + 2))
    return lines + [line for one in said[1:] for line in wrapped(f"with {one}", " " * (MOVED + 2))]


def _from_to(cause: dict[str, Any]) -> list[str]:
    """Return what changed from what to what, a text a key."""
    keys, ends = cause.get("what", cause["keys"]), zip(cause["from"], cause["to"], strict=True)
    return [f"{key}: {_or_none(old)} → {_or_none(new)}" for key, (old, new) in zip(keys, ends, strict=True)]


def _or_none(text: str | None) -> str:
    return "not given" if text is None else text


def _costs(cause: dict[str, Any]) -> list[str]:
    """Return which cost lines a change moved most, by name."""
    parts = [f"{line.get('name', line['code'])} {moved(line['moved'], '')}" for line in cause["lines"]]
    return wrapped(f"cost: {'; '.join(parts)}", " " * (MOVED + 2)) if parts else []


def causes_page(found: dict[str, Any]) -> str:
    """Return the page of what moved a price."""
    first, second, currency = found["first"], found["second"], found["currency"]
    old, new = (amount(one["total"], currency) for one in (first, second))
    lines = [*_titled(f"WHAT MOVED THE PRICE: {first['reference']} to {second['reference']}"), ""]
    lines += wrapped(f"With tax: {old} before, {new} after, {moved(found['difference'], currency)} in all.", "")
    idle = [cause for cause in found["causes"] if not Decimal(cause["moved"]) and not cause["lines"]]
    for cause in found["causes"]:
        lines += ["", *_moved_by(cause, currency), *_costs(cause)] if cause not in idle else []
    lines += _list("WITHOUT EFFECT ON THE PRICE", [one for cause in idle for one in _from_to(cause)])
    return joined([*lines, "", *wrapped(f"The {found['order']}." if found["causes"] else "Nothing differs.", "")])
