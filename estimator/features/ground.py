"""A sector or pocket of a bore: ground to bright metal; a pocket is filled before the clean-up cut."""

from estimator.bore.sector import (
    ground_from_sector,
    ground_inside,
    masked,
    outside_pocket,
    pocket_skin,
    pocket_volume,
    share_of_wear,
)
from estimator.features.feature import BEFORE, Feature, Site
from estimator.formula import formula, leaf
from estimator.job.features import Sector
from estimator.tables.messages import say

__all__ = ["plan"]


@formula("volume", "conservation of metal: what was worn and what was ground off", "computed", unit="m3")
def pocket_filled(worn: float, skin_volume: float, over_volume: float) -> float:
    """Volume that fills a pocket, so far inwards that the cut comes out clean. [m³]"""
    return worn + skin_volume + over_volume


def plan(site: Site) -> list[Feature]:
    """Return the sector or pocket that is ground to bright metal; a pocket is filled before the clean-up cut."""
    bore = site.survey.bore
    if bore.sector is not None:
        return [_sector(site, bore.sector)]
    return [] if bore.pocket is None else [_pocket(site, bore.pocket)]


def _sector(site: Site, sector: Sector) -> Feature:
    survey = site.survey
    bore, sizes = survey.bore, survey.sizes
    done, worn = bore.cleanup_diameter is not None, survey.wear.worn_volume
    if survey.profile.radial:
        run_out = leaf(float(survey.share) - sector.share, "given", "run_outs", "share of the clock")
        metal = ground_inside(survey.profile, masked(sector, survey.profile), sizes.cleanup, run_out)
    else:
        part = share_of_wear(worn, survey.share)
        metal = ground_from_sector(sizes.cleanup, bore.nominal_diameter, bore.length, survey.share, part)
    counts = {"ground area": 1 - done, "bead": site.turns, "return": site.turns * survey.lays_one_way}
    way = "sector_one_way" if survey.lays_one_way else "sector_both_ways"
    text = say(way, start=sector.start, end=sector.end)
    if done:
        return Feature("sector", "sector", text, counts=counts)
    return Feature("sector", "sector", text, ground=metal, counts=counts, hot=metal > 0)


def _pocket(site: Site, pocket: Sector) -> Feature:
    survey, facts = site.survey, site.book.facts
    bore, cleanup = survey.bore, survey.sizes.cleanup
    inside, _ = outside_pocket(bore, survey.profile)
    share = leaf(pocket.share, "given", "share", "the pocket as typed, as a share of the clock")
    skin = pocket_skin(share, cleanup, bore.length, facts.constant("grinding_skin"))
    over = pocket_skin(share, cleanup, bore.length, facts.constant("pocket_excess"))
    fill = pocket_filled(pocket_volume(survey.profile, inside, cleanup), skin, over)
    counts = {"ground area": 1, "pocket": 1}
    return Feature("pocket", "pocket", say("pocket"), fill=fill, ground=skin, counts=counts, stage=BEFORE, hot=True)
