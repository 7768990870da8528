"""A pocket that is ground and filled first: what lies in it, and the wall that is left under it."""

import numpy as np

from estimator.bore.survey import Survey
from estimator.bore.walls import least_wall, wall_left, wall_under
from estimator.formula import leaf

__all__ = ["deepest_in", "missed", "wall_of"]


def deepest_in(survey: Survey) -> float:
    """Return the deepest wear inside the pocket of a bore, a side. [m]"""
    pocket = survey.bore.pocket
    assert pocket is not None  # asked for bores with a pocket only
    held = np.array([pocket.holds(float(at)) for at in survey.profile.clock])
    inside = survey.profile.deepest[:, held]
    deepest = float(inside.max()) if inside.size else survey.bore.nominal_diameter / 2
    return leaf(deepest - survey.bore.nominal_diameter / 2, "given", "wear", "deepest wear in the pocket", unit="m")


def wall_of(survey: Survey) -> float | None:
    """Return the least wall left, under the clean-up cut and under a pocket; None where it is not known. [m]"""
    bore = survey.bore
    moved = () if survey.placed is None else survey.placed.moved
    left = least_wall(bore, survey.sizes.cleanup, moved)
    if bore.pocket is None or left is None:
        return left
    walls = () if bore.walls is None else bore.walls.thickness
    if bore.walls is not None:
        held = [wall for at, wall in zip(bore.walls.clock, walls, strict=True) if bore.pocket.holds(at)]
        wall = min(held or walls)
    else:
        assert bore.outside_diameter is not None  # a wall is known, and not from walls
        wall = wall_left(bore.outside_diameter, bore.nominal_diameter)
    return min(left, wall_under(wall, deepest_in(survey), survey.grinding_skin))


def missed(survey: Survey) -> tuple[float, float] | None:
    """Return the deepest wear that a sector leaves outside it, a side, and where [m, deg]; None if none."""
    part, profile = survey.bore.sector, survey.profile
    if part is None or not profile.radial:
        return None
    free = np.array([not part.holds(float(at)) for at in profile.clock])
    if not free.any():
        return None
    worst = np.where(free, profile.deepest.max(axis=0), 0.0)
    at = int(np.argmax(worst))
    if worst[at] <= survey.sizes.finish_max / 2 + survey.trust.reading:
        return None
    return float(worst[at] - survey.bore.nominal_diameter / 2), float(profile.clock[at])
