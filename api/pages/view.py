"""What the page of an estimate shows, made ready for its template."""

from typing import Any

from api.pages import drawn, tables
from exports.format import (
    Units,
    amount,
    clock_time,
    counted,
    field,
    in_percent,
    not_to_settle,
    number,
    shown,
    to_settle,
)
from exports.phrases import weighed

__all__ = ["estimate_view"]

Document = dict[str, Any]


def estimate_view(estimate: Document, units: Units) -> dict[str, Any]:
    """Return what the template shows of an estimate document, as far as the document holds it."""
    return {
        "estimate": estimate,
        "units": units,
        "kind": "Budget price, not an offer" if "budget" in estimate else "Estimate",
        "facts": _facts(estimate, units),
        "price": _price(estimate),
        "band": _band(estimate),
        "settle": to_settle(estimate),
        "warnings": not_to_settle(estimate),
        "sizes": tables.sizes(estimate, units),
        "bores": _bores(estimate, units),
        "lines": drawn.of_lines(estimate),
        "order": drawn.of_schedule(estimate),
        "days": tables.days(estimate),
        "crews": tables.crews(estimate),
        "hours": tables.hours(estimate),
        "whole": tables.whole(estimate),
        "used": tables.used(estimate, units),
        "cost": tables.cost(estimate),
        "margin": _margin(estimate),
        "lists": _lists(estimate),
    }


def _facts(estimate: Document, units: Units) -> list[tuple[str, str]]:
    job, site = estimate["job"], estimate["job"]["site"]
    machine = job["equipment"] or {}
    ran, said = machine.get("machine_hours"), machine.get("description")
    place = [f"{shown('distance_km', site['distance_km'], units)} away", f"{site['access']} access"]
    place += [] if site["ambient_C"] is None else [shown("ambient_C", site["ambient_C"], units)]
    found = [
        ("Customer", job["customer"]),
        ("Machine", said if ran is None or not said else f"{said} ({number(ran, 0)} h run)"),
        ("Site", ", ".join(place)),
        ("Note", job["note"]),
    ]
    return [(name, value) for name, value in found if value]


def _price(estimate: Document) -> Document:
    price, totals, book = estimate["price"], estimate["totals"], estimate["pricebook"]
    days = book["validity_day"]
    return {
        "before_tax": amount(price["before_tax"], price["currency"]),
        "tax": amount(price["tax"], price["currency"]),
        "tax_percent": in_percent(book["tax_fraction"]),
        "total": amount(price["total"], price["currency"]),
        "on_site": clock_time(totals["on_site_min"]),
        "elapsed": f"{number(totals['elapsed_h'], 1)} h",
        "nights": counted(totals["nights"], "night"),
        "valid": "" if "budget" in estimate else f"Valid for {counted(days, 'day')}.",
        "invented": f"{book['name']}: {book['note']}" if book["invented"] else "",
    }


def _band(estimate: Document) -> str:
    budget = estimate.get("budget")
    if budget is None:
        return ""
    low, high = (amount(budget[key], estimate["price"]["currency"]) for key in ("price_low", "price_high"))
    names = ", ".join(budget["bores"])
    return f"One worst diameter is known of {names}, no more: expect {low} to {high} with tax."


def _margin(estimate: Document) -> str:
    margin = field(estimate, "price", "margin")
    return "" if margin is None else f"Margin reached: {number(100 * margin, 1)} % of the price before tax."


def _bores(estimate: Document, units: Units) -> list[Document]:
    """Return every bore; one that reads as an earlier bore only says so."""
    found: list[Document] = []
    said: dict[str, str] = {}
    for bore in estimate["bores"]:
        shown_of = _bore(bore, units)
        pictures = drawn.of_bore(bore, estimate)
        same = said.setdefault(repr(_bore({**bore, "name": ""}, units)), bore["name"])
        own = shown_of if same == bore["name"] else {"name": bore["name"], "same": same}
        found.append({**own, "pictures": pictures})
    return found


def _bore(bore: Document, units: Units) -> Document:
    built, heat, given = bore["buildup"], bore["heat"], bore["given"]
    asked = [f"{shown('nominal_diameter_mm', given['nominal_diameter_mm'], units)} {given['tolerance']}"]
    asked += [f"{shown('length_mm', given['length_mm'], units)} long", given["material"], f"{given['axis']} axis"]
    preheat = shown("preheat_C", heat["preheat_C"], units) if heat["preheat_C"] else "none due"
    wait, down = (number(heat[key], 0) for key in ("interpass_wait_min", "cooldown_min"))
    top, cool = (shown(key, heat[key], units) for key in ("interpass_max_C", "finish_cut_max_C"))
    return {
        "name": bore["name"],
        "same": "",
        "facts": [
            ("Asked for", ", ".join(asked)),
            ("Wire", f"{built['wire']} ({built['wire_kind']})"),
            (
                "Gas",
                f"{built['gas']} ({built['gas_symbol']}) at {shown('gas_flow_L_min', built['gas_flow_L_min'], units)}",
            ),
            ("Weld metal", f"{_mass(built, units)} in {shown('arc_time_min', built['arc_time_min'], units)} of arc"),
            ("Preheat", preheat),
            ("Between passes", f"{top} at most; {wait} min of waiting planned"),
            ("Cool down", f"{down} min, to {cool} for the finish cut"),
            ("Slag", built["slag"]),
        ],
        "layers": tables.layers(bore, units),
        "cutting": tables.cutting(bore, units),
        "limits": built["limits"],
        "weighed": [weighed(one) for one in built["alternatives"]],
        "advice": heat["advice"],
    }


def _mass(built: Document, units: Units) -> str:
    return shown("deposit_mass_kg", built["deposit_mass_kg"], units)


def _lists(estimate: Document) -> list[tuple[str, list[str]]]:
    scope, budget = estimate["scope"], estimate.get("budget") or {}
    shades = [f"{one['range']}: shade {one['minimum_shade']:g}" for one in estimate["shades"]]
    found = [
        ("Measure before an offer may be issued", budget.get("measure", [])),
        ("Included", scope["included"]),
        ("Not included", scope["excluded"]),
        ("Left to the customer", scope["customer"]),
        ("To the welder", estimate["advice_to_welder"]),
        ("Cautions", estimate["cautions"]),
        ("Filter shade at least", shades),
        ("What the figures stand on", estimate["assumptions"]),
    ]
    return [(name, items) for name, items in found if items]
