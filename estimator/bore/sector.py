"""Building up only where the bore is worn: the sector's share of the clock, where the wear lies, a pocket's volume."""

import math

import numpy as np

from estimator.bore.profile import Profile
from estimator.either import above_zero
from estimator.formula import formula, leaf
from estimator.geometry.solve import dot, times
from estimator.job.features import Sector
from estimator.job.job import Bore
from estimator.tables import Tables

__all__ = [
    "ground_from_sector",
    "ground_inside",
    "lays_one_way",
    "masked",
    "outside_pocket",
    "pocket_skin",
    "pocket_volume",
    "share_built",
    "share_of_wear",
    "with_runouts",
    "worn_sector",
]

SIDES = (90.0, 270.0)


@formula("share", "geometry: the sector and a run-out at each end, at most the whole clock", "computed")
def with_runouts(share: float, runout: float, diameter: float) -> float:
    """Share of the clock that is built up, run-outs included. [-]"""
    return min(1.0, share + 2 * runout / (math.pi * diameter))


@formula("volume", "geometry: the sector's ring less the wear, which lies in it", "computed", unit="m3")
def ground_from_sector(cleanup: float, nominal: float, length: float, share: float, worn_volume: float) -> float:
    """Volume ground out of a sector down to the clean-up radius. [m³]"""
    return above_zero(share * math.pi / 4 * (cleanup**2 - nominal**2) * length - worn_volume)


@formula("volume", "geometry: the readings' ring inside the clean-up circle, in the sector only", "computed", unit="m3")
def ground_inside(profile: Profile, mask: Profile, cleanup: float, extra_share: float) -> float:
    """Volume ground out of a sector, read from its own radii; `extra_share` the run-outs, as deep as its mean. [m³]"""
    short = np.maximum((cleanup / 2) ** 2 - profile.sizes**2, 0.0) * mask.sizes
    held = float((mask.sizes[0] * profile.shares).sum())
    return math.pi * dot(times(short, profile.shares), profile.lengths) * (1 + extra_share / max(held, 1e-9))


@formula("volume", "geometry: what the readings in the pocket lie beyond the clean-up circle", "computed", unit="m3")
def pocket_volume(profile: Profile, mask: Profile, cleanup: float) -> float:
    """Volume of a pocket outside the clean-up bore; `mask` is the same table with ones in the pocket. [m³]"""
    beyond = np.maximum(profile.sizes**2 - (cleanup / 2) ** 2, 0.0) * mask.sizes
    return math.pi * dot(times(beyond, profile.shares), profile.lengths)


@formula("volume", "a diameter does not say where the wear lies: a sector has its share of it", "computed", unit="m3")
def share_of_wear(worn_volume: float, share: float) -> float:
    """Metal worn away in a sector, where only diameters were read. [m³]"""
    return worn_volume * share


@formula("volume", "geometry: area of the pocket times the depth of the skin", "computed", unit="m3")
def pocket_skin(share: float, diameter: float, length: float, depth: float) -> float:
    """Volume ground off a pocket to reach bright metal. [m³]"""
    return share * math.pi * diameter * length * depth


def share_built(bore: Bore, cleanup: float, facts: Tables) -> float:
    """Return the share of the clock that is built up: one, or a sector's with its run-outs."""
    if bore.sector is None:
        return leaf(1.0, "given", "share", "no sector is given: the whole clock")
    share = leaf(bore.sector.share, "given", "share", "the sector as typed, as a share of the clock")
    return with_runouts(share, facts.constant("runout_length"), cleanup)


def lays_one_way(bore: Bore, facts: Tables) -> bool:
    """Return whether a sector lies where beads laid rising pile up: near 3 or 9 o'clock of a horizontal bore."""
    near = facts.plain_constant("side_reach")
    if bore.sector is None or bore.axis != "horizontal":
        return False
    ends = (bore.sector.start, bore.sector.end)
    return any(bore.sector.holds(side) or min(_apart(side, end) for end in ends) < near for side in SIDES)


def _apart(one: float, other: float) -> float:
    return abs((one - other + 180) % 360 - 180)


def masked(part: Sector, profile: Profile) -> Profile:
    """Return a table with ones in a part of the clock and zeros elsewhere."""
    held = np.array([part.holds(float(at)) for at in profile.clock])
    return profile.like(np.broadcast_to(held.astype(float), profile.sizes.shape), f"places in {part}")


def outside_pocket(bore: Bore, profile: Profile) -> tuple[Profile, float]:
    """Return a table with ones in the pocket, and the largest radius read outside it. [m]"""
    assert bore.pocket is not None  # asked for bores with a pocket only
    mask = masked(bore.pocket, profile)
    held = mask.sizes[0] > 0
    rest = profile.deepest[:, ~held]
    return mask, float(rest.max()) if rest.size else bore.nominal_diameter / 2


def worn_sector(profile: Profile, limit: float, most: float) -> Sector | None:
    """Return the least part of the clock that holds every reading beyond a radius, out to the readings beside it.

    None where nothing is beyond, where readings are too few to tell, or where the part is over `most` of the clock.
    """
    beyond: list[bool] = np.any(profile.deepest > limit, axis=0).tolist()
    count, clock = len(beyond), profile.clock.tolist()
    if not any(beyond) or all(beyond) or count < FEWEST:
        return None
    runs = [_free(beyond, n) for n in range(count) if not beyond[n] and beyond[n - 1]]
    first, last = max(runs, key=lambda run: (clock[run[1]] - clock[run[0]]) % 360)
    if first == last:
        return None
    sector = Sector.model_validate({"from": clock[last], "to": clock[first]})
    return sector if sector.share <= most else None


FEWEST = 8


def _free(beyond: list[bool], start: int) -> tuple[int, int]:
    """Return the first and last place of a run of readings that are not beyond."""
    count, length = len(beyond), 1
    while not beyond[(start + length) % count]:
        length += 1
    return start, (start + length - 1) % count
