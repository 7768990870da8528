"""The part of the page that tells how far a job may come out otherwise, what that hangs on, and who has taught it."""

from estimator.estimate import Estimate
from exports.format import Units, amount, by_key, has, label, number, shown
from exports.page.parts import columns, heading, listed, wrapped

__all__ = ["spread", "spread_of_cost", "taught"]

ENDS = ("p10", "p50", "p90")
HEAD = ["", "1 in 10 below", "half below", "1 in 10 above"]
BAR, LONGEST = 24, 34  # signs of a bar at most; of a name


def taught(estimate: Estimate) -> str:
    """Return which calibration was used, in a sentence; empty where none was."""
    used = estimate.get("calibration")
    if used is None or not used["factors"]:
        return ""
    name = "of a file" if used["version"] is None else f"{used['version']}"
    each = [f"{one['element']} x {number(one['ratio'], 2)}" for one in used["factors"] if one["group"] == "all"]
    groups = len(used["factors"]) - len(each)
    each += [f"{groups} of groups"] if groups else []
    return f"calibration {name}: {', '.join(each)}"


def spread(estimate: Estimate, units: Units) -> list[str]:
    """Return the spread of a job; that none were drawn, where none were."""
    found = estimate.get("spread")
    if found is None:
        return [*heading("SPREAD"), *wrapped("No days were drawn: --spread N draws them.")]
    told, currency = by_key(found), estimate["price"]["currency"] if has(estimate, "price") else ""
    rows: list[list[str]] = []
    rows += [["price before tax", *(amount(told["price"][end], currency) for end in ENDS)]] if "price" in told else []
    rows.append(["hours on site", *(number(told["on_site_h"][end], 1) for end in ENDS)])
    for key, name in (("wire_kg", "wire"), ("gas_L", "gas")):
        rows.append([f"{name}, {label(key, units)}", *(shown(key, told[key][end], units).split()[0] for end in ENDS)])
    lines = [*heading(f"SPREAD, {found['samples']} days drawn"), *columns([HEAD], rows, LONGEST)]
    lines += [*heading("WHAT THE PRICE HANGS ON, share of its variance"), *_bars(estimate)]
    lines += listed([f"not planned for: {one}" for one in found["not_planned"]])
    return lines + (wrapped(f"By {said}.") if (said := taught(estimate)) else [])


def spread_of_cost(estimate: Estimate) -> list[str]:
    """Return how far the cost may come out otherwise, for those who see it; nothing where no days were drawn."""
    found = estimate.get("spread")
    told = by_key(found) if found else {}
    if "chance_of_loss" not in told:
        return []
    currency = estimate["price"]["currency"]
    low, middle, high = (amount(told["cost"][end], currency) for end in ENDS)
    covers = ", ".join(
        f"{number(100 * float(one), 0)} %: {amount(price, '')}" for one, price in told["price_for"].items()
    )
    paid, unpaid = (number(100 * told[key], 1) for key in ("chance_of_loss", "chance_of_loss_unpaid"))
    return [
        *wrapped(f"of {told['samples']} days: cost {low} to {high} in 8 of 10, half below {middle}"),
        *wrapped(f"chance that it costs more than its price: {paid} %; {unpaid} % where more work found is not paid"),
        *wrapped(f"price before tax that covers the cost with a chance of {covers}"),
    ]


def _bars(estimate: Estimate) -> list[str]:
    """Return each doubt with its share as a bar of signs."""
    drivers = estimate["spread"]["drivers"] if "spread" in estimate else []
    most = max((one["total_share"] for one in drivers), default=1.0) or 1.0
    rows = [
        f"  {one['name'][:LONGEST]:<{LONGEST}} {number(100 * one['total_share'], 0):>3} %  "
        + "#" * max(1, round(BAR * one["total_share"] / most))
        for one in drivers
    ]
    return rows or wrapped("Nothing moves it.")
