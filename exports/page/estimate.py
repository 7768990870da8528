"""The page for people: what an estimator reads out on the phone, from an estimate document."""

from collections.abc import Callable, Collection

from estimator.beside.variants import Budget
from estimator.estimate import Estimate
from exports.format import Units, amount, by_grade, by_key, field, headed, number, shown, to_tens, told
from exports.in_units import in_units
from exports.page.bores import cutting, heat, plans, sizes
from exports.page.first import SHOWN, band, first_screen, in_full, valid
from exports.page.hours import order_of_work
from exports.page.job import consumables, hours, house
from exports.page.parts import heading, joined, listed, named, wrapped
from exports.page.spread import spread, spread_of_cost
from exports.page.wear import gauging, ways
from exports.page.wear import lines as line_axes

__all__ = ["FULL", "page"]

FULL = tuple(name for name in SHOWN if name != "cost")
Part = Callable[[Estimate, Units], list[str]]


def _titled(found: tuple[tuple[str, list[str]], ...]) -> list[str]:
    return [line for name, items in found if items for line in (*heading(name), *listed(items))]


def _plan(estimate: Estimate, units: Units) -> list[str]:
    """Return sizes, limits of measurement, axes, the weld plan of each bore, and what is used up."""
    found = [part(estimate, units) for part in (sizes, gauging, line_axes, ways, plans, consumables)]
    return [line for part in found for line in part] + _titled(
        (("WELDER'S NOTES", estimate.get("advice_to_welder", [])),)
    )


def _days(estimate: Estimate, units: Units) -> list[str]:  # noqa: ARG001  # hours have one unit
    return [*hours(estimate), *order_of_work(estimate)]


def _scope(estimate: Estimate, units: Units) -> list[str]:
    scope = estimate["scope"]
    lists = (("INCLUDED", "included"), ("NOT INCLUDED", "excluded"), ("CUSTOMER TO PROVIDE", "customer"))
    return _variation(estimate, units) + _titled(tuple((name, by_key(scope)[key]) for name, key in lists))


def _variation(estimate: Estimate, units: Units) -> list[str]:
    """Return what the bores as really cut add to the bores as gauged."""
    found = estimate.get("variation")
    dearer = None if found is None else field(found, "price_more")  # absent for who sees no money
    if found is None or dearer is None or found["on_site_more_min"] is None:
        return []
    lines = heading("VARIATION, TO BE SIGNED BEFORE WORK GOES ON")
    for bore in found["bores"]:
        cut, planned = (shown(key, bore[key], units) for key in ("cut_cleanup_mm", "planned_cleanup_mm"))
        more = shown("deposit_more_kg", bore["deposit_more_kg"], units)
        lines += named(bore["name"], f"bored to {cut}, {planned} as gauged; {more} more to lay")
    price = amount(dearer, estimate["price"]["currency"])
    more = shown("on_site_more_min", found["on_site_more_min"], units)
    return [*lines, *wrapped(f"In all {more} more on site and {price} more with tax.")]


def _safety(estimate: Estimate, units: Units) -> list[str]:  # noqa: ARG001  # a shade has no unit
    """Return what must be settled, who decides on what, cautions, filter shades."""
    shades = [f"{one['range']}: {number(one['minimum_shade'], 0)} ({one['source']})" for one in estimate["shades"]]
    return _titled(
        (
            *_settled(estimate),
            ("CAUTIONS", [*estimate["cautions"], *_procedures(estimate)]),
            ("MINIMUM FILTER SHADE", shades),
        )
    )


def _procedures(estimate: Estimate) -> list[str]:
    """Return the cases that may hold for a bore of the job, with who decides; none that an approval names already."""
    asked = {name for one in told(estimate) if one.grade in ("stop", "approve") for name in one.bores}
    every = len(estimate["bores"])
    found = list[str]()
    for one in estimate.get("procedures", []):
        bores = one["bores"]
        if bores and not (one["action"] == "approve" and set(bores) <= asked):
            where = "" if len(bores) == every else f"bore{'s' if len(bores) > 1 else ''} {', '.join(bores)}: "
            perhaps = ", if it is so" if one["action"] == "approve" else ""
            found.append(f"{where}{one['case']}{perhaps}: {one['why']}; decision: {one['who_decides']}")
    return found


def _basis(estimate: Estimate, units: Units) -> list[str]:
    """Return all warnings, what a budget price hangs on, assumptions, price book and program."""
    return _titled(_settled(estimate)) + _basis_alone(estimate, units)


def _settled(estimate: Estimate) -> tuple[tuple[str, list[str]], ...]:
    """Return what must be settled before work, each under its name: stops; approvals, whoever asks for them."""
    return tuple(headed(estimate, ("STOP UNTIL THIS IS SETTLED", "stop"), ("APPROVAL REQUIRED", "approve")))


def _basis_alone(estimate: Estimate, units: Units) -> list[str]:
    """Return the basis without what stands under safety as well."""
    book = estimate["pricebook"]
    made = [f"price {valid(estimate)}", f"price book: {book['name']}: {book['note']}", estimate["engine"]]
    warnings = (
        ("CHECK", by_grade(estimate, "check")),
        ("GOOD TO KNOW", by_grade(estimate, "know")),
    )
    return [
        *_titled(warnings),
        *_budget(estimate, units),
        *_titled((("BASIS OF THE ESTIMATE", [*estimate["assumptions"], *made]),)),
        *_titled((("WHERE THE TIME OF EACH CAUTION STANDS", estimate.get("cautions_where", [])),)),
    ]


def _budget(estimate: Estimate, units: Units) -> list[str]:
    """Return what the price becomes with the other kind of wear, and what to measure."""
    budget = estimate.get("budget")
    if budget is None:
        return []
    names = f"Of {', '.join(budget['bores'])} only one worst diameter is known: {band(estimate)}."
    lines = [*heading("IF THE WEAR IS OF THE OTHER KIND"), *wrapped(names)] if "other_wear" in budget else []
    return [
        *lines,
        *(_other_wear(estimate, budget, units) if lines else []),
        *heading("MEASURE BEFORE A QUOTE MAY BE ISSUED"),
        *listed(budget["measure"]),
    ]


def _other_wear(estimate: Estimate, budget: Budget, units: Units) -> list[str]:
    """Return what each bore would ask for with either kind of wear, and the price with the other."""
    lines: list[str] = []
    for bore in estimate["bores"]:
        if bore["budget"] and bore["given"]["wear"]:
            size, mass = bore["sizes"]["cleanup_mm"], bore["buildup"]["deposit_mass_kg"]
            lines += _wear(bore["name"], bore["given"]["wear"] or "", size, mass, units, " (this price)")
    for other in budget.get("other_wear", []):
        lines += _wear(other["name"], other["wear"], other["cleanup_mm"], other["deposit_mass_kg"], units, "")
    if (other_price := budget.get("other_price")) is not None:
        price = amount(to_tens(other_price), estimate["price"]["currency"])
        lines += wrapped(f"With the other kind of wear the price is about {price} with tax.")
    return lines + listed(budget.get("other_refused", []))


def _wear(name: str, wear: str, size: float, mass: float, units: Units, note: str) -> list[str]:
    said = f"clean up to {shown('cleanup_mm', size, units)}, lay {shown('deposit_mass_kg', mass, units)}"
    return named(name, f"{wear + ' wear:':<17}{said}{note}")


PARTS: dict[str, Part] = {
    "plan": _plan, "heat": heat, "cutting": cutting, "days": _days, "scope": _scope, "safety": _safety, "basis": _basis,
    "spread": spread, "cost": lambda estimate, _: [*house(estimate), *spread_of_cost(estimate)],
}  # fmt: skip


def page(estimate: Estimate, units: Units = "metric", parts: Collection[str] = ()) -> str:
    """Return the page for people of an estimate document: the first screen, then the parts asked for.

    What a reader may not see is left out of the document, and then of the page.

    Parameters
    ----------
    estimate
        The estimate document.
    units
        "metric", or "us" for inches, inches a minute, cubic feet an hour and pounds. The document never changes.
    parts
        Names out of `SHOWN`; cost and margin stand under "cost" alone.
    """
    estimate = in_units(estimate, units)
    lines = in_full(estimate, units, parts) if parts else first_screen(estimate, units)
    for name in SHOWN:
        part = _basis_alone if name == "basis" and "safety" in parts else PARTS[name]
        lines += part(estimate, units) if name in parts else []
    return joined(lines)
