"""Repair, sleeve or replace: annual cost with downtime, and what would have to change for the answer to change."""

from estimator.compare.annual import annual_cost, capital_recovery
from estimator.compare.even import break_even_downtime, break_even_life, break_even_price
from estimator.compare.make import Comparison, compare

__all__ = [
    "Comparison",
    "annual_cost",
    "break_even_downtime",
    "break_even_life",
    "break_even_price",
    "capital_recovery",
    "compare",
]
