"""Grooves of a bore: filled where they lie deeper than the cut, and cut again."""

import math

from estimator.cut.facing import groove_passes
from estimator.either import above_zero
from estimator.features.feature import Feature, FeaturePass, Site
from estimator.formula import formula
from estimator.tables.messages import say

__all__ = ["plan"]

KINDS = {"grease": say("kind_grease"), "seal": say("kind_seal")}


@formula("volume", "geometry: ring, nothing where the groove lies within the cut", "computed", unit="m3")
def groove_volume(bottom: float, inside: float, length: float) -> float:
    """Volume of a groove outside a bore. [m³]"""
    return above_zero(math.pi / 4 * (bottom**2 - inside**2) * length)


def plan(site: Site) -> list[Feature]:
    """Return each groove: filled, and cut again."""
    found, sizes = list[Feature](), site.survey.sizes
    for number, groove in enumerate(site.survey.bore.grooves, 1):
        passes = groove_passes(groove.diameter, sizes.finish, groove.width, site.book)
        found.append(
            Feature(
                groove.per,
                f"{groove.kind} groove {number}",
                say("groove", kind=KINDS[groove.kind]),
                groove_volume(groove.diameter, sizes.cleanup, groove.width),
                groove_volume(groove.diameter, sizes.finish, groove.width),
                after=tuple(FeaturePass(*one) for one in passes),
                counts={groove.per: 1},
            )
        )
    return found
