"""The gap between two lugs: measured before the first arc and after the last."""

from estimator.features.feature import Feature, Site
from estimator.tables.messages import say

__all__ = ["plan"]


def plan(site: Site) -> list[Feature]:
    """Return the gap between the lugs, where one is given."""
    gap = site.survey.bore.lug_gap
    return [] if gap is None else [Feature(gap.per, gap.per, say("lug_gap"), counts={gap.per: 1})]
