"""Tax by rate on lines that were charged: each rate rounded half up once, on the sum of its lines."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from estimator.estimate import Estimate
from estimator.money.price import taxed

__all__ = ["by_rate", "minor_of", "usual_rate"]


def minor_of(estimate: Estimate) -> Decimal:
    """Return the smallest amount of an estimate's currency."""
    places = len(estimate["price"]["total"].partition(".")[2])
    return Decimal(1).scaleb(-places)


def usual_rate(estimate: Estimate) -> float:
    """Return the rate of tax that the work of a quote is taxed at."""
    return estimate["price"]["rule"]["tax"]


def by_rate(lines: Sequence[dict[str, Any]], minor: str) -> dict[str, Any]:
    """Return what lines come to before tax, the tax by rate, highest first, and with tax. [the currency]"""
    bases = dict[float, Decimal]()
    for line in sorted(lines, key=lambda line: -line["tax_fraction"]):
        fraction = line["tax_fraction"]
        bases[fraction] = bases.get(fraction, Decimal(0)) + Decimal(line["price"])
    taxes = {fraction: taxed(base, Decimal(repr(fraction)), minor) for fraction, base in bases.items()}
    nothing = Decimal(0).quantize(Decimal(minor))
    before, tax = sum(bases.values(), nothing), sum(taxes.values(), nothing)
    return {
        "before_tax": f"{before:f}",
        "taxes": [
            {"tax_fraction": fraction, "before_tax": f"{base:f}", "tax": f"{taxes[fraction]:f}"}
            for fraction, base in bases.items()
        ],
        "tax": f"{tax:f}",
        "total": f"{before + tax:f}",
    }
