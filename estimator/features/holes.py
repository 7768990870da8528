"""Grease holes: kept open through the weld."""

import math

from estimator.features.feature import Feature, Site
from estimator.formula import formula
from estimator.tables.messages import say
from estimator.weld.plan import build_of

__all__ = ["plan"]


@formula("volume", "geometry: cylinder through the weld", "computed", unit="m3")
def hole_volume(diameter: float, build: float) -> float:
    """Volume drilled out of the weld for one hole. [m³]"""
    return math.pi / 4 * diameter**2 * build


def plan(site: Site) -> list[Feature]:
    """Return each hole: plugged before welding, drilled open after boring."""
    sizes = site.survey.sizes
    build = build_of(sizes.cleanup, sizes.finish)
    return [
        Feature(
            hole.per,
            f"grease hole {number}",
            say("grease_hole"),
            removed=hole_volume(hole.diameter, build),
            counts={hole.per: 1},
        )
        for number, hole in enumerate(site.survey.bore.grease_holes, 1)
    ]
