"""Gaps along a bore: keyways and splits, at which arc and cut stop and start again."""

from estimator.features.feature import Feature, Site
from estimator.job.features import Gap
from estimator.tables.messages import say

__all__ = ["plan"]

KINDS = {"keyway": say("kind_keyway"), "split": say("kind_split")}


def plan(site: Site) -> list[Feature]:
    """Return each gap: the arc stops at it on every turn, unless it lies beside the sector that is built up."""
    sector, found = site.survey.bore.sector, list[Feature]()
    for gaps in site.survey.bore.kinds().values():
        for number, gap in enumerate(gaps, 1):
            if isinstance(gap, Gap):
                stops = sector is None or sector.holds(gap.clock)
                text = say("gap_interrupts" if stops else "gap_beside", kind=KINDS[gap.per], width=gap.width)
                counts = {gap.per: 1, "restart": site.turns if stops else 0}
                found.append(Feature(gap.per, f"{gap.per} {number}", text, counts=counts))
    return found
