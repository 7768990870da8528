"""The page for people: what an estimator reads out on the phone, from an estimate document."""

import textwrap
from decimal import Decimal
from typing import Any

from exports.format import Units, amount, field, number, share, shown
from exports.page_bores import bores

__all__ = ["page"]

WIDE = 92
KINDS = (
    ("set-up, arrival, papers", ("labour-setup", "labour-job")),
    ("boring", ("labour-boring",)),
    ("welding", ("labour-welding",)),
    ("waiting", ("labour-waiting",)),
    ("travel and nights", ("labour-travel", "distance", "nights")),
    ("equipment", ("equipment",)),
    ("wire, gas, tips, nozzles", ("wire", "gas", "tips", "nozzles")),
    ("inserts and electricity", ("inserts", "energy")),
    ("overhead", ("overhead",)),
    ("contingency", ("contingency",)),
)


def _wrapped(text: str, lead: str = "  - ") -> list[str]:
    return textwrap.wrap(text, WIDE, initial_indent=lead, subsequent_indent=" " * len(lead)) or [lead]


def _list(name: str, items: list[str]) -> list[str]:
    return ["", name, *(line for item in items for line in _wrapped(item))] if items else []


def _title(estimate: dict[str, Any]) -> list[str]:
    job = estimate["job"]
    what = "BUDGET PRICE, NOT AN OFFER" if "budget" in estimate else "ESTIMATE"
    lines = [f"{what}  {estimate['reference']}" + (f"  {job['title']}" if job["title"] else "")]
    lines.append("=" * min(WIDE, len(lines[0])))
    machine = job["equipment"] or {}
    hours = machine.get("machine_hours")
    ran = f" ({number(hours, 0)} h)" if hours is not None else ""
    for name, value in (("Customer", job["customer"]), ("Machine", machine.get("description")), ("Note", job["note"])):
        lines += _wrapped(f"{value}{ran if name == 'Machine' else ''}", f"{name}: ") if value else []
    if estimate["pricebook"]["invented"]:
        lines += ["", *_wrapped(f"ALL PRICES ARE INVENTED. {estimate['pricebook']['note']}", "!! ")]
    return lines


def _price(estimate: dict[str, Any]) -> list[str]:
    price, currency = estimate["price"], estimate["price"]["currency"]
    named = (("Price before tax", "before_tax"), ("Tax", "tax"), ("Price with tax", "total"))
    lines = ["", *(f"{name:<18}{amount(price[key], currency):>18}" for name, key in named)]
    return [*lines, f"Valid for {number(estimate['pricebook']['validity_day'], 0)} days."]


def _budget(estimate: dict[str, Any], units: Units) -> list[str]:
    budget = estimate.get("budget")
    if budget is None:
        return []
    currency = estimate["price"]["currency"]
    low, high = (amount(budget[key], currency) for key in ("price_low", "price_high"))
    band = f"({100 * budget['band_low']:+.0f} to {100 * budget['band_high']:+.0f} %)"
    lines = [
        "",
        *_wrapped(f"One worst diameter only for {', '.join(budget['bores'])}. Expect {low} to {high} {band}.", ""),
    ]
    for bore in estimate["bores"]:
        if bore["budget"]:
            size = shown("cleanup_mm", bore["sizes"]["cleanup_mm"], units)
            mass = shown("deposit_mass_kg", bore["buildup"]["deposit_mass_kg"], units)
            lines.append(f"  {bore['name']}, worn {bore['given']['wear']}: clean-up {size}, {mass} laid (this price)")
    for other in budget["other_wear"]:
        size, mass = (
            shown("cleanup_mm", other["cleanup_mm"], units),
            shown("deposit_mass_kg", other["deposit_mass_kg"], units),
        )
        lines.append(f"  {other['name']}, worn {other['wear']}: clean-up {size}, {mass} laid")
    lines.append(f"  price if worn the other way: {amount(budget['other_price'], currency)} with tax")
    return lines + _list("Measure before an offer may be issued", budget["measure"])


def _hours(estimate: dict[str, Any], units: Units) -> list[str]:
    totals = estimate["totals"]
    rows = (
        (
            "on site",
            shown("on_site_min", totals["on_site_min"], units),
            f"of it arc {number(totals['arc_time_min'], 0)} min",
        ),
        ("once a job", shown("once_min", totals["once_min"], units), "arrival, test bead, packing, papers"),
        ("fire watch left", shown("fire_watch_min", totals["fire_watch_min"], units), "after packing and papers"),
        (
            "waits used",
            shown("used_wait_min", totals["used_wait_min"], units),
            "cooling filled with other work, not counted again",
        ),
        ("travel", shown("travel_min", totals["travel_min"], units), "there and back"),
        ("labour", shown("labour_h", totals["labour_h"], units), f"for {totals['people']} with travel"),
        ("door to door", shown("elapsed_h", totals["elapsed_h"], units), f"{totals['nights']} nights away"),
    )
    return ["", "The whole job", *(f"  {name:<17}{value:>12}  {said}" for name, value, said in rows)]


def _parts(estimate: dict[str, Any], units: Units) -> list[str]:
    totals = estimate["totals"]
    keys = ("wire_kg", "gas_L", "tips", "nozzles", "inserts", "energy_kWh")
    names = {"wire_kg": "wire", "gas_L": "gas", "energy_kWh": "electricity"}
    lines = [f"  {names.get(key, key):<17}{shown(key, totals[key], units):>12}" for key in keys]
    return ["", "Parts, as expected use", *lines]


def _split(estimate: dict[str, Any]) -> list[str]:
    """Return the split of the cost and the margin: the part that is not read out."""
    lines, total = field(estimate, "cost", "lines"), field(estimate, "cost", "total")
    if not lines or total is None or any("amount" not in line for line in lines):
        return []
    currency, found = estimate["price"]["currency"], []
    for name, codes in KINDS:
        part = sum((Decimal(line["amount"]) for line in lines if line["code"] in codes), Decimal(0))
        found.append(f"  {name:<26}{amount(f'{part}', currency):>16}{share(part, Decimal(total)):>9}")
    known = {code for _, codes in KINDS for code in codes}
    for line in lines:
        if line["code"] not in known:
            part = Decimal(line["amount"])
            found.append(f"  {line['code']:<26}{amount(line['amount'], currency):>16}{share(part, Decimal(total)):>9}")
    found.append(f"  {'cost':<26}{amount(total, currency):>16}")
    margin = field(estimate, "price", "margin")
    found += [f"  {'margin reached':<26}{100 * margin:>15.1f} %"] if margin is not None else []
    return ["", "For us: where the cost goes (not for the customer)", *found]


def page(estimate: dict[str, Any], units: Units = "metric") -> str:
    """Return the page for people of an estimate document.

    Parameters
    ----------
    estimate
        The estimate document; what a role may not see may be left out of it.
    units
        "metric", or "us" for inches, ipm, cfh and pounds. The document itself never changes.
    """
    scope, book = estimate["scope"], estimate["pricebook"]
    lines = [*_title(estimate), *_price(estimate), *_budget(estimate, units), *bores(estimate, units)]
    lines += [*_parts(estimate, units), *_hours(estimate, units)]
    lines += _list("Included", scope["included"]) + _list("Not included", scope["excluded"])
    lines += _list("Left to the customer", scope["customer"]) + _list("Warnings", estimate["warnings"])
    lines += _list("To the welder", estimate.get("advice_to_welder", [])) + _list("Cautions", estimate["cautions"])
    shades = [
        f"{one['range']}: shade {one['minimum_shade']:g} at least ({one['source']})" for one in estimate["shades"]
    ]
    lines += _list("Filter shade", shades) + _list("What it stands on", estimate["assumptions"]) + _split(estimate)
    return "\n".join([*lines, "", f"{estimate['engine']}; price book: {book['name']}", ""])
