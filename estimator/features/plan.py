"""Decide what each feature of a bore takes: metal, passes, elements of work. Choices only, in scalars."""

from collections.abc import Callable

from estimator.bore.survey import Survey
from estimator.features import chamfers, faces, gaps, grooves, ground, holes, lugs
from estimator.features.feature import Feature, Site
from estimator.tables import Tables
from estimator.tables.messages import Message, say

__all__ = ["doubts", "plan_features"]

# One planner a kind, in the order in which a bore's features are told.
PLANNERS: tuple[Callable[[Site], list[Feature]], ...] = (
    ground.plan,
    faces.plan,
    grooves.plan,
    gaps.plan,
    holes.plan,
    chamfers.plan,
    lugs.plan,
)


def plan_features(site: Site) -> tuple[Feature, ...]:
    """Return what every feature of a bore takes, in the order of the work."""
    return tuple(feature for planner in PLANNERS for feature in planner(site))


def doubts(survey: Survey, facts: Tables) -> list[Message]:
    """Return what the features of a bore ask to be looked at first."""
    bore, said = survey.bore, list[Message]()
    for number, face in enumerate(bore.faces, 1):
        if bore.outside_diameter is not None and face.outer_diameter > bore.outside_diameter:
            said.append(say("face_wide", number=number))
    gap = bore.lug_gap
    if gap is not None and gap.after is not None:
        allowed = facts.plain_constant("lug_gap_tolerance") if gap.tolerance is None else gap.tolerance
        moved = gap.after - gap.before
        if abs(moved) > allowed:
            said.append(say("lugs_closed" if moved < 0 else "lugs_opened", moved=abs(moved), allowed=allowed))
    return said
