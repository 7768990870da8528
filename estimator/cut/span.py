"""How the boring bar is held where it cuts a bore: between two bearings, or overhung from one."""

from dataclasses import dataclass

from estimator.bore.survey import Survey
from estimator.formula import formula, leaf
from estimator.tables import Tables

__all__ = ["Span", "reach_to", "span_of"]


@dataclass(frozen=True)
class Span:
    """Distances from the insert, at its worst place in the bore, to the bearings. [m]

    `before`: to the bearing on the machine's side; `after`: to the one on the far side, None where the bar is overhung.
    """

    before: float
    after: float | None


@formula("reach", "geometry: the far end of the bore from a bearing beside its face", "computed", unit="m")
def reach_to(stand: float, length: float) -> float:
    """Distance from a bearing to the insert at the far end of the bore. [m]"""
    return stand + length


def span_of(survey: Survey, facts: Tables) -> Span:
    """Return how the bar is held where nothing is said of the room: at mid-bore, a bearing beside each face."""
    middle = leaf(survey.bore.length / 2, "given", "half_length", "half the length of the bore", unit="m")
    half = reach_to(facts.constant("bearing_stand"), middle)
    return Span(half, half)
