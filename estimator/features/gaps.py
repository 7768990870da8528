"""Gaps along a bore: keyways and splits, at which arc and cut stop and start again."""

from estimator.features.feature import Feature, Site
from estimator.job.features import Gap
from estimator.units import in_mm

__all__ = ["plan"]

BESIDE = "beside the sector that is built up; its edges are dressed after boring"
INTERRUPTS = "the arc stops and starts again at it on every turn, and the cut is interrupted"


def plan(site: Site) -> list[Feature]:
    """Return each gap: the arc stops at it on every turn, unless it lies beside the sector that is built up."""
    sector, found = site.survey.bore.sector, list[Feature]()
    for gaps in site.survey.bore.kinds().values():
        for number, gap in enumerate(gaps, 1):
            if isinstance(gap, Gap):
                stops = sector is None or sector.holds(gap.clock)
                text = f"{gap.per} {in_mm(gap.width)} wide: {INTERRUPTS if stops else BESIDE}"
                counts = {gap.per: 1, "restart": site.turns if stops else 0}
                found.append(Feature(gap.per, f"{gap.per} {number}", text, counts=counts))
    return found
