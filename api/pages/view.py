"""What the page of an estimate shows, made ready for its template."""

from typing import Any

from api.pages import drawn, tables
from estimator.document.bore import Bore
from estimator.document.old import band_of
from estimator.document.weld import Buildup
from estimator.estimate import Estimate
from exports.format import (
    Grade,
    Units,
    amount,
    by_grade,
    clock_time,
    counted,
    field,
    has,
    headed,
    hours_said,
    is_demo,
    number,
    shown,
    tax_percent,
    to_tens,
)
from exports.in_units import in_units
from exports.page.first import site_said
from exports.page.plate import plate_said
from exports.page.spread import taught
from exports.phrases import weighed

__all__ = ["estimate_view"]

Shown = dict[str, Any]  # what a template shows: texts, tables, lists of them
GRADED: tuple[tuple[str, Grade], ...] = (
    ("Stop until this is settled", "stop"),
    ("Approval required", "approve"),
    ("Check", "check"),
    ("Good to know", "know"),
)
COUNTED: tuple[tuple[Grade, str], ...] = (
    ("stop", "to settle before work"), ("approve", "to be approved"), ("check", "to check"),
)  # fmt: skip


def estimate_view(estimate: Estimate, units: Units) -> dict[str, Any]:
    """Return what the template shows of an estimate document, as far as the document holds it."""
    estimate = in_units(estimate, units)
    return {
        "estimate": estimate,
        "units": units,
        "is_budget": "budget" in estimate,
        "kind": "Budget price, not binding" if "budget" in estimate else "Estimate",
        "facts": _facts(estimate, units),
        "price": _price(estimate),
        "band": _band(estimate),
        "warnings": [(head, grade, found) for name, grade in GRADED for head, found in headed(estimate, (name, grade))],
        "counts": [(grade, len(found), said) for grade, said in COUNTED if (found := by_grade(estimate, grade))],
        "sizes": tables.sizes(estimate, units),
        "bores": _bores(estimate, units),
        "lines": drawn.of_lines(estimate),
        "order": drawn.of_schedule(estimate),
        "spread": drawn.of_spread(estimate),
        "taught": taught(estimate),
        "days": tables.days(estimate),
        "crews": tables.crews(estimate),
        "hours": tables.hours(estimate),
        "whole": tables.whole(estimate),
        "used": tables.used(estimate, units),
        "cost": tables.cost(estimate),
        "margin": _margin(estimate),
        "lists": _lists(estimate),
    }


def _facts(estimate: Estimate, units: Units) -> list[tuple[str, str]]:
    job = estimate["job"]
    ran, said = field(job, "equipment", "machine_hours"), field(job, "equipment", "description")
    found = [
        ("Customer", job["customer"]),
        ("Machine", said if ran is None or not said else f"{said} ({number(ran, 0)} h run)"),
        ("Site", site_said(job["site"], units)),
        ("Note", job["note"]),
    ]
    return [(name, value) for name, value in found if value]


def _price(estimate: Estimate) -> Shown:
    totals, book = estimate["totals"], estimate["pricebook"]
    days = book["validity_day"]
    return {
        **(_amounts(estimate) if has(estimate, "price") else {}),
        "on_site": clock_time(totals["on_site_min"]),
        "elapsed": hours_said(totals["elapsed_h"]),
        "back": field(estimate, "schedule", "ends") or "",
        "nights": counted(totals["nights"], "night"),
        "valid": "" if "budget" in estimate else f"Valid for {counted(days, 'day')}.",
        "invented": f"{book['name']}: {book['note']}" if is_demo(estimate) else "",
    }


def _amounts(estimate: Estimate) -> Shown:
    """Return price and tax, for who sees money."""
    price = estimate["price"]
    return {
        "before_tax": amount(price["before_tax"], price["currency"]),
        "tax": amount(price["tax"], price["currency"]),
        "tax_percent": tax_percent(estimate),
        "total": amount(price["total"], price["currency"]),
    }


def _band(estimate: Estimate) -> str:
    budget, found = estimate.get("budget"), band_of(estimate)
    if budget is None or found is None or not has(estimate, "price"):
        return ""
    low, high = (amount(to_tens(one), estimate["price"]["currency"]) for one in (found.low, found.high))
    names, tax = ", ".join(budget["bores"]), "with tax" if found.taxed else "before tax"
    return f"Of {names} the wear or the steel is not known: expect {low} to {high} {tax}."


def _margin(estimate: Estimate) -> str:
    margin = field(estimate, "price", "margin")
    return "" if margin is None else f"Margin reached: {number(100 * margin, 1)} % of the price before tax."


def _bores(estimate: Estimate, units: Units) -> list[Shown]:
    """Return every bore; one that reads as an earlier bore only says so."""
    found: list[Shown] = []
    said: dict[str, str] = {}
    for place, bore in enumerate(estimate["bores"]):
        shown_of = _bore(bore, units, place)
        pictures = drawn.of_bore(bore, estimate)
        same = said.setdefault(repr(_bore({**bore, "name": ""}, units)), bore["name"])
        own = shown_of if same == bore["name"] else {"name": bore["name"], "same": same, "told": shown_of["told"]}
        found.append({**own, "pictures": pictures})
    return found


def _bore(bore: Bore, units: Units, place: int = 0) -> Shown:
    built, heat, given = bore["buildup"], bore["heat"], bore["given"]
    asked = [f"{shown('nominal_diameter_mm', given['nominal_diameter_mm'], units)} {given['tolerance']}"]
    asked += [f"{shown('length_mm', given['length_mm'], units)} long", given["material"], f"{given['axis']} axis"]
    preheat = shown("preheat_C", heat["preheat_C"], units) if heat["preheat_C"] else "none needed"
    wait, down = (clock_time(heat[key]) for key in ("interpass_wait_min", "cooldown_min"))
    top, cool = (shown(key, heat[key], units) for key in ("interpass_max_C", "finish_cut_max_C"))
    worn = shown("largest_diameter_mm", bore["wear"]["largest_diameter_mm"], units)
    return {
        "name": bore["name"],
        "same": "",
        "told": f"{asked[0]}, worn to {worn}; {clock_time(bore['time']['total_min'])} on site",
        "facts": [
            ("Asked for", ", ".join(asked)),
            ("Wire", f"{built['wire']} ({built['wire_kind']})"),
            (
                "Gas",
                f"{built['gas']} ({built['gas_symbol']}) at {shown('gas_flow_L_min', built['gas_flow_L_min'], units)}",
            ),
            ("Weld metal", f"{_mass(built, units)} in {shown('arc_time_min', built['arc_time_min'], units)} of arc"),
            ("Preheat", preheat),
            ("Between passes", f"{top} at most; {wait} of waiting planned"),
            ("Cool down", f"{down}, to {cool} for the finish cut"),
            *([("Plate", plate_said(bore, units))] if has(bore, "plate") else []),
            ("Slag", built["slag"]),
        ],
        "layers": tables.layers(bore, units, place),
        "cutting": tables.cutting(bore, units, place),
        "limits": built["limits"],
        "weighed": [weighed(one) for one in built.get("alternatives", [])],
        "advice": heat["advice"],
    }


def _mass(built: Buildup, units: Units) -> str:
    return shown("deposit_mass_kg", built["deposit_mass_kg"], units)


def _lists(estimate: Estimate) -> list[tuple[str, list[str]]]:
    scope = estimate["scope"]
    shades = [f"{one['range']}: shade {one['minimum_shade']:g}" for one in estimate["shades"]]
    found = [
        ("Measure before a quote may be issued", field(estimate, "budget", "measure") or []),
        ("Included", scope["included"]),
        ("Not included", scope["excluded"]),
        ("Customer to provide", scope["customer"]),
        ("Welder's notes", estimate["advice_to_welder"]),
        ("Cautions", estimate["cautions"]),
        ("Minimum filter shade", shades),
        ("Basis of the estimate", estimate["assumptions"]),
    ]
    return [(name, items) for name, items in found if items]
