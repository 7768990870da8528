"""The gap between two lugs: measured before the first arc and after the last."""

from estimator.features.feature import Feature, Site

__all__ = ["plan"]

TEXT = "gap between the lugs measured before the first arc and after the last: shrinkage moves lugs"


def plan(site: Site) -> list[Feature]:
    """Return the gap between the lugs, where one is given."""
    gap = site.survey.bore.lug_gap
    return [] if gap is None else [Feature(gap.per, gap.per, TEXT, counts={gap.per: 1})]
