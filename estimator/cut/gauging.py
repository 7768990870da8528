"""What the tolerance asks of gauging: stops, a semi-finishing pass, and whether the bore gauge can prove the size."""

from dataclasses import dataclass

from estimator.bore.gauge import expanded
from estimator.bore.limits import grade_of
from estimator.bore.survey import Sizes
from estimator.formula import choice, formula, leaf
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.tables.rows import FinishGrade

__all__ = ["Gauging", "gauge_uncertainty", "gauging_of"]

GUM = "JCGM 100:2008 (GUM) 5.1.2"
ISO_14253 = "ISO 14253-1: within the limits by the uncertainty of the gauge at both ends"
BUDGET = ("ring_uncertainty", "gauge_scatter", "gauge_resolution", "steel_expansion", "gauge_warmth")


@dataclass(frozen=True)
class Gauging:
    """How a finished bore is gauged: stops beside the usual ones, semi-finishing passes, what a gauge can prove. [m]"""

    grade: str
    stops: int
    semi: int
    uncertainty: float
    accept_min: float
    accept_max: float
    warnings: tuple[Message, ...]


@formula("reading_uncertainty", GUM + ": ring, scatter, resolution and warmth together", "published", unit="m")
def gauge_uncertainty(
    finish: float,
    ring_uncertainty: float,
    gauge_scatter: float,
    gauge_resolution: float,
    expansion: float,
    gauge_warmth: float,
) -> float:
    """Standard uncertainty of a finished bore by bore gauge and setting ring; ends of even spreads over root 3. [m]"""
    warmth = finish * expansion * gauge_warmth
    return (ring_uncertainty**2 + gauge_scatter**2 + gauge_resolution**2 / 12 + warmth**2 / 3) ** 0.5


@formula("finish_size", ISO_14253, "published", unit="m")
def accepted_from(finish_min: float, diameter_uncertainty: float) -> float:
    """Smallest reading that proves the bore. [m]"""
    return finish_min + diameter_uncertainty


@formula("finish_size", ISO_14253, "published", unit="m")
def accepted_to(finish_max: float, diameter_uncertainty: float) -> float:
    """Largest reading that proves the bore. [m]"""
    return finish_max - diameter_uncertainty


def gauging_of(sizes: Sizes, nominal: float, facts: Tables) -> Gauging:
    """Return how a bore of a nominal diameter [m] is gauged to its limits."""
    width = sizes.finish_max - sizes.finish_min
    grade = f"IT{grade_of(width, nominal)}"
    row = facts.row("finish_grades", grade, FinishGrade)
    one = gauge_uncertainty(sizes.finish, *(facts.constant(name) for name in BUDGET))
    factor, sensitivity = facts.constant("coverage_factor"), leaf(1.0, "given", "sensitivity", "read as it is")
    doubt = expanded(one, factor, sensitivity)
    left = width - 2 * doubt
    short = left < (1 - facts.plain_constant("gauge_share")) * width
    return Gauging(
        grade=grade,
        stops=choice(row.stops, "stops", f"of {grade} or the grade it lies in: {row.meaning}"),
        semi=row.semi,
        uncertainty=doubt,
        accept_min=accepted_from(sizes.finish_min, doubt),
        accept_max=accepted_to(sizes.finish_max, doubt),
        warnings=(say("gauge_short", doubt=doubt, width=width, left=max(left, 0.0)),) if short else (),
    )
