"""Chamfers at the ends of a bore."""

import math

from estimator.features.feature import Feature, Site, edge_at, side_of
from estimator.formula import formula, leaf
from estimator.tables.messages import say

__all__ = ["plan"]


@formula("volume", "geometry: frustum of a cone less the bore", "computed", unit="m3")
def chamfer_volume(finish: float, length: float, slope: float) -> float:
    """Volume of a chamfer: its length along the axis, `slope` how far it opens a side per length. [m³]"""
    large = finish / 2 + length * slope
    small = finish / 2
    return math.pi * length * ((large**2 + large * small + small**2) / 3 - small**2)


def plan(site: Site) -> list[Feature]:
    """Return each chamfer: cut to size after boring."""
    found = []
    for number, one in enumerate(site.survey.bore.chamfers, 1):
        slope = leaf(math.tan(math.radians(one.angle)), "given", "slope", f"tangent of {one.angle:g} degrees")
        found.append(
            Feature(
                one.per,
                f"chamfer {number}",
                say("chamfer", width=one.width, angle=one.angle, side=side_of(one.side)),
                removed=chamfer_volume(edge_at(site.survey, one.side), one.width, slope),
                counts={one.per: 1},
            )
        )
    return found
