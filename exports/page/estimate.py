"""The page for people: what an estimator reads out on the phone, from an estimate document."""

from typing import Any

from exports.format import Units, amount, by_grade, clock_time, counted, in_percent, label, number, shown
from exports.page.bores import plans, sizes
from exports.page.hours import order_of_work
from exports.page.job import hours, house, parts, shares
from exports.page.parts import WIDE, heading, listed, named, wrapped
from exports.page.wear import gauging, ways
from exports.page.wear import lines as line_axes
from exports.phrases import printable

__all__ = ["page"]


def _title(estimate: dict[str, Any], units: Units) -> list[str]:
    job = estimate["job"]
    what = "BUDGET PRICE - not an offer" if "budget" in estimate else "ESTIMATE"
    lines = wrapped(f"{what}: {estimate['reference']}" + (f", {job['title']}" if job["title"] else ""), "")
    lines.append("=" * min(WIDE, max(len(line) for line in lines)))
    machine = job["equipment"] or {}
    ran = machine.get("machine_hours")
    said = machine.get("description")
    said = said if ran is None or not said else f"{said} ({number(ran, 0)} h run)"
    for name, value in (("customer", job["customer"]), ("machine", said), ("site", _site(job["site"], units))):
        lines += named(name, value) if value else []
    return lines + (named("note", job["note"]) if job["note"] else [])


def _site(site: dict[str, Any], units: Units) -> str:
    miles = "s" if label("distance_km", units) == "mile" else ""
    said = [f"{shown('distance_km', site['distance_km'], units)}{miles} away", f"{site['access']} access"]
    said += [] if site["ambient_C"] is None else [shown("ambient_C", site["ambient_C"], units)]
    said += [] if site["wind_m_s"] is None else [f"wind {shown('wind_m_s', site['wind_m_s'], units)}"]
    return ", ".join(said)


def _band(estimate: dict[str, Any]) -> list[str]:
    budget = estimate.get("budget")
    if budget is None:
        return []
    currency = estimate["price"]["currency"]
    low, high = (amount(budget[key], currency) for key in ("price_low", "price_high"))
    ends = f"{_signed(budget['band_low'])} to {_signed(budget['band_high'])} %"
    names = ", ".join(budget["bores"])
    text = f"One worst diameter is known of {names}, no more: expect {low} to {high} with tax ({ends})."
    return ["", *wrapped(text, "")]


def _signed(fraction: float) -> str:
    return f"{'+' if fraction >= 0 else ''}{in_percent(fraction)}"


def _invented(book: dict[str, Any]) -> list[str]:
    if not book["invented"]:
        return []
    loud = "!! THE PRICE BOOK IS INVENTED: NO PRICE ON THIS PAGE IS REAL !!"
    return ["", loud, *wrapped(f"{book['name']}: {book['note']}", "   ")]


def _price(estimate: dict[str, Any]) -> list[str]:
    price, totals, book = estimate["price"], estimate["totals"], estimate["pricebook"]
    tax = f"tax, {in_percent(book['tax_fraction'])} %"
    rows = [(name, amount(price[key], price["currency"])) for name, key in (("before tax", "before_tax"), (tax, "tax"))]
    rows.append(("with tax", amount(price["total"], price["currency"])))
    wide = max(len(figure) for _, figure in rows)
    lines = [*heading("PRICE"), *(line for name, figure in rows for line in named(name, f"{figure:>{wide}}"))]
    away = f"{counted(totals['nights'], 'night')} away" if totals["nights"] else "no night away"
    onsite = clock_time(totals["on_site_min"])
    lines += ["", *wrapped(f"{onsite} on site, {number(totals['elapsed_h'], 1)} h door to door, {away}.")]
    lines += wrapped(_valid(estimate))
    return lines + (wrapped("!! Read the warnings below before you promise it.") if estimate["warnings"] else [])


def _valid(estimate: dict[str, Any]) -> str:
    days = estimate["pricebook"]["validity_day"]
    if "budget" in estimate:
        return "A budget price binds nobody; measure first."
    return f"Valid for {shown('validity_day', days, 'metric')}{'s' if days != 1 else ''}."


def _budget(estimate: dict[str, Any], units: Units) -> list[str]:
    """Return what the price becomes with the other kind of wear, and what to measure."""
    budget = estimate.get("budget")
    if budget is None:
        return []
    lines = heading("IF THE WEAR IS OF THE OTHER KIND")
    for bore in estimate["bores"]:
        if bore["budget"]:
            size, mass = bore["sizes"]["cleanup_mm"], bore["buildup"]["deposit_mass_kg"]
            lines += _wear(bore["name"], bore["given"]["wear"], size, mass, units, " (this price)")
    for other in budget["other_wear"]:
        lines += _wear(other["name"], other["wear"], other["cleanup_mm"], other["deposit_mass_kg"], units, "")
    if budget["other_price"] is not None:
        price = amount(budget["other_price"], estimate["price"]["currency"])
        lines += wrapped(f"With the other kind of wear the price is {price} with tax.")
    lines += listed(budget["other_refused"])
    return [*lines, *heading("MEASURE BEFORE AN OFFER MAY BE ISSUED"), *listed(budget["measure"])]


def _variation(estimate: dict[str, Any], units: Units) -> list[str]:
    """Return what the bores as really cut add to the bores as gauged."""
    found = estimate.get("variation")
    if found is None or found["price_more"] is None:
        return []
    lines = heading("VARIATION, TO BE SIGNED BEFORE WORK GOES ON")
    for bore in found["bores"]:
        cut, planned = (shown(key, bore[key], units) for key in ("cut_cleanup_mm", "planned_cleanup_mm"))
        more = shown("deposit_more_kg", bore["deposit_more_kg"], units)
        lines += named(bore["name"], f"cut to {cut}, {planned} as gauged; {more} more to lay")
    price = amount(found["price_more"], estimate["price"]["currency"])
    more = shown("on_site_more_min", found["on_site_more_min"], units)
    return [*lines, *wrapped(f"In all {more} more on site and {price} more with tax.")]


def _wear(name: str, wear: str, size: float, mass: float, units: Units, note: str) -> list[str]:
    said = f"clean up to {shown('cleanup_mm', size, units)}, lay {shown('deposit_mass_kg', mass, units)}"
    return named(name, f"{wear + ' wear:':<17}{said}{note}")


def _scope(estimate: dict[str, Any]) -> list[str]:
    scope, lines = estimate["scope"], []
    named_lists = (("INCLUDED", "included"), ("NOT INCLUDED", "excluded"), ("LEFT TO THE CUSTOMER", "customer"))
    for name, key in named_lists:
        lines += [*heading(name), *listed(scope[key])] if scope[key] else []
    return lines


def _words(estimate: dict[str, Any]) -> list[str]:
    """Return warnings, advice, cautions, shades and assumptions."""
    shades = [f"{one['range']}: {_shade(one)}" for one in estimate["shades"]]
    found = (
        ("STOP UNTIL THIS IS SETTLED", by_grade(estimate, "stop")),
        ("APPROVAL REQUIRED", by_grade(estimate, "approve")),
        ("CHECK", by_grade(estimate, "check")),
        ("TO KNOW", by_grade(estimate, "know")),
        ("TO THE WELDER", estimate.get("advice_to_welder", [])),
        ("NOT WITHOUT A QUALIFIED PROCEDURE", _procedures(estimate)),
        ("CAUTIONS", estimate["cautions"]),
        ("FILTER SHADE", shades),
        ("WHAT THE FIGURES STAND ON", [*estimate["assumptions"], _valid(estimate)]),
    )
    return [line for name, items in found if items for line in (*heading(name), *listed(items))]


def _procedures(estimate: dict[str, Any]) -> list[str]:
    """Return the cases that hold for a bore of the job, with who decides."""
    return [
        f"{', '.join(one['bores'])}: {one['case']} ({one['action']}); decides: {one['who_decides']}; {one['why']}"
        for one in estimate.get("procedures", [])
        if one["bores"]
    ]


def _shade(one: dict[str, Any]) -> str:
    return f"at least {number(one['minimum_shade'], 0)} ({one['source']})"


def page(estimate: dict[str, Any], units: Units = "metric") -> str:
    """Return the page for people of an estimate document.

    The price comes first and cost and margin last, so that the page can be read out from the top. What a reader may
    not see is left out of the document, and then of the page.

    Parameters
    ----------
    estimate
        The estimate document.
    units
        "metric", or "us" for inches, inches a minute, cubic feet an hour and pounds. The document never changes.
    """
    book = estimate["pricebook"]
    lines = [*_title(estimate, units), *_band(estimate), *_invented(book), *_price(estimate)]
    lines += [*_budget(estimate, units), *_variation(estimate, units), *sizes(estimate, units)]
    lines += [*gauging(estimate, units), *line_axes(estimate, units), *ways(estimate, units), *plans(estimate, units)]
    lines += [*parts(estimate, units), *hours(estimate), *order_of_work(estimate), *shares(estimate)]
    lines += [*_scope(estimate), *_words(estimate)]
    lines += [*house(estimate), "", *wrapped(f"{estimate['engine']}; price book: {book['name']}", "")]
    return "\n".join(printable(line) for line in lines) + "\n"
