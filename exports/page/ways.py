"""How the ways out of a worn bore are named on a page, and which of them is told to be the cheapest."""

from estimator.compare import Comparison
from estimator.compare.annual import Choice
from exports.format import amount, number

__all__ = ["INSTEAD", "SAID", "headline", "lasts", "wins", "yearly"]

INSTEAD = {
    "leave": "leaving it as it is",
    "repair": "repair on site",
    "sleeve": "fitting a sleeve",
    "replace": "fitting a new part",
}
SAID = {"leave": "leave it as it is", "repair": "repair on site", "sleeve": "fit a sleeve", "replace": "a new part"}


def yearly(choice: Choice) -> str:
    """Return what a way that is possible costs a year."""
    assert choice["annual_cost"] is not None  # of the ways that are possible it is known
    return choice["annual_cost"]


def lasts(years: float | None) -> str:
    """Return a life in years as it is printed; nothing where there is none."""
    return "" if years is None else f"{number(years, 1)} years"


def headline(found: Comparison, best: Choice) -> str:
    """Return which way costs least; one way alone is not called the cheapest."""
    year, ways = amount(yearly(best), found["currency"]), [one for one in found["choices"] if one["feasible"]]
    if best["name"] == "leave":
        return "Every reading lies within the limits: leave it as it is."
    if len(ways) == 1:
        return f"The only way that can be costed as described: {SAID[best['name']]}, {year} a year."
    return f"Cheapest over the years: {SAID[best['name']]}, {year} a year."


def wins(found: Comparison) -> list[str]:
    """Return in what share of cases each way is cheapest, where lives are low to high."""
    return [f"{SAID[name]}: cheapest in {100 * share:.0f} % of cases" for name, share in found.get("wins", {}).items()]
