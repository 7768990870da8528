"""What the bore needs: wear, the sizes to cut and weld to, and the wall that is left."""

from dataclasses import dataclass, replace

import numpy as np

from estimator.bore.gauge import Trust, gauge_of, seen, share_of, trust_of
from estimator.bore.limits import deviations, finish_size, middle_of
from estimator.bore.profile import (
    Profile,
    largest_diameter,
    mean_diameter,
    out_of_round,
    profile_of,
    smallest_diameter,
    taper,
    void_volume,
    worn_volume,
)
from estimator.bore.sector import lays_one_way, outside_pocket, share_built
from estimator.formula import formula, leaf
from estimator.job.job import Bore
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.tables.rows import Steel

__all__ = [
    "Placed",
    "Sizes",
    "Survey",
    "cleanup_for",
    "enlarged",
    "on_axis",
    "radial_wear",
    "survey",
    "unsure_steel",
    "weld_size",
]

DEFINED = "definition in the project's estimate document"


@dataclass(frozen=True)
class Wear:
    """How the bore is worn, in SI."""

    void_volume: float
    worn_volume: float
    largest_diameter: float
    smallest_diameter: float
    mean_diameter: float
    max_radial_wear: float
    out_of_round: float
    taper: float


@dataclass(frozen=True)
class Sizes:
    """Diameters to work to. [m]"""

    finish_min: float
    finish_max: float
    finish: float
    cleanup: float
    weld: float


@dataclass(frozen=True)
class Placed:
    """What the axis of a line means to one of its bores. [m]

    `radius` to clean up to; distance of the `farthest` worn point; `shift` of the axis from the original centre;
    `beside`: where the axis lies from the readings' zero at mid-length; `moved`: how far from the original centre, at
    both faces, to 3 and to 12 o'clock.
    """

    radius: float
    farthest: float
    shift: float
    line: str
    beside: tuple[float, float]
    moved: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Survey:
    """One bore as found: its shape, its wear, its sizes."""

    bore: Bore
    profile: Profile
    wear: Wear
    sizes: Sizes
    cut_from: float
    budget: bool
    trust: Trust
    risks: tuple[str, ...]
    warnings: tuple[Message, ...]
    share: float
    lays_one_way: bool
    allowance: float
    least_cleanup: float
    share_of_size: float
    grinding_skin: float
    placed: Placed | None = None

    @property
    def about_axis(self) -> float | None:
        """Deepest wear about the axis of the line; None where the line moved none. [m]"""
        if self.placed is None:
            return None
        nominal = leaf(self.bore.nominal_diameter / 2, "given", "nominal_radius", "half the nominal diameter", unit="m")
        share = leaf(1.0, "given", "share", "a radius from the axis bears its own wear")
        return radial_wear(self.placed.farthest, nominal, share)


def unsure_steel(bore: Bore, facts: Tables) -> bool:
    """Return whether the steel is a range of grades, and no certificate says more."""
    if not isinstance(bore.material, str) or bore.certificate is not None:
        return False
    return facts.row("steels", bore.material, Steel).verdict == "range"


@formula("max_radial_wear", DEFINED, "computed", unit="m")
def radial_wear(largest: float, nominal_diameter: float, share: float) -> float:
    """Deepest wear on one side: the largest size over nominal, times the share that one side bears. [m]"""
    return (largest - nominal_diameter) * share


@formula("cleanup_diameter", DEFINED, "computed", unit="m")
def cleanup_for(nominal_diameter: float, max_radial_wear: float, cleanup_allowance: float) -> float:
    """Smallest bore about the pin's axis that is clean all round. [m]"""
    return nominal_diameter + 2 * (max(0.0, max_radial_wear) + cleanup_allowance)


@formula("weld_diameter", DEFINED, "computed", unit="m")
def weld_size(finish: float, machining_allowance: float) -> float:
    """Bore of the finished build-up, before it is bored to size. [m]"""
    return finish - 2 * machining_allowance


@formula(
    "cleanup_diameter",
    "one sound layer of the least thickness fits between weld and clean-up bore",
    "computed",
    unit="m",
)
def enlarged(cleanup: float, weld: float, thinnest_layer: float, finish: float, least_weld: float) -> float:
    """Clean-up bore with room for one sound layer, of which some stays in the finished bore. [m]"""
    return max(cleanup, weld + 2 * thinnest_layer, finish + 2 * least_weld)


def _wear(bore: Bore, profile: Profile, facts: Tables) -> Wear:
    void = void_volume(profile)
    largest, smallest = largest_diameter(profile), smallest_diameter(profile)
    share = share_of(bore, facts)
    if profile.radial:
        deepest, base = _given(float(profile.deepest.max()), "largest radius read"), bore.nominal_diameter / 2
        base = leaf(base, "given", "nominal_radius", "half the nominal diameter", unit="m")
    else:
        deepest, base = largest, bore.nominal_diameter
    return Wear(
        void_volume=void,
        worn_volume=worn_volume(void, bore.nominal_diameter, bore.length),
        largest_diameter=largest,
        smallest_diameter=smallest,
        mean_diameter=mean_diameter(void, bore.length),
        max_radial_wear=radial_wear(deepest, base, share),
        out_of_round=out_of_round(profile),
        taper=taper(profile),
    )


def _given(value: float, text: str) -> float:
    return leaf(value, "given", text.replace(" ", "_"), f"{text}, from the job document", unit="m")


def allowance(bore: Bore, facts: Tables, name: str) -> float:
    """Return an allowance a side as the job gives it, else the shop's default. [m]"""
    own: float | None = getattr(bore, name)
    return facts.constant(name) if own is None else own


def survey(bore: Bore, facts: Tables, thinnest_layer: float) -> Survey:
    """Return the bore as found, with the sizes to work to."""
    profile = profile_of(bore, facts.constant("steel_expansion"), facts.constant("reference_temperature"))
    wear, trust = _wear(bore, profile, facts), trust_of(bore, profile, facts)
    low, high = deviations(bore.tolerance, bore.nominal_diameter)
    finish_min, finish_max = finish_size(bore.nominal_diameter, low), finish_size(bore.nominal_diameter, high)
    finish = middle_of(finish_min, finish_max)
    weld = weld_size(finish, allowance(bore, facts, "machining_allowance"))
    own, room = allowance(bore, facts, "cleanup_allowance"), facts.constant("least_weld")
    least = enlarged(cleanup_for(bore.nominal_diameter, _unworn(), own), weld, thinnest_layer, finish, room)
    cleanup = bore.cleanup_diameter
    if cleanup is None:
        wear_cut = wear.max_radial_wear if bore.pocket is None else _beside_pocket(bore, profile)
        wanted = cleanup_for(bore.nominal_diameter, wear_cut, own)
        cleanup = enlarged(wanted, weld, thinnest_layer, finish, room)
    sizes = Sizes(finish_min, finish_max, finish, cleanup, weld)
    risks = (gauge_of(bore, facts).blind,)
    warnings = tuple(_doubts(bore, profile, trust, facts))
    cut_from = _cut_from(bore, profile, wear)
    share, one_way = share_built(bore, cleanup, facts), lays_one_way(bore, facts)
    budget = bore.readings is None or unsure_steel(bore, facts)
    return Survey(
        bore=bore,
        profile=profile,
        wear=wear,
        sizes=sizes,
        cut_from=cut_from,
        budget=budget,
        trust=trust,
        risks=risks,
        warnings=warnings,
        share=share,
        lays_one_way=one_way,
        allowance=own,
        least_cleanup=least,
        share_of_size=share_of(bore, facts),
        grinding_skin=facts.constant("grinding_skin"),
    )


def _unworn() -> float:
    return leaf(0.0, "given", "max_radial_wear", "as if nothing were worn: the least clean-up bore", unit="m")


@formula("cleanup_diameter", "definition: twice the radius that is clean about the line's axis", "computed", unit="m")
def cleanup_about(radius: float) -> float:
    """Clean-up bore about the axis of its line. [m]"""
    return 2 * radius


@formula("diameter", "geometry: an axis beside the hole's centre meets metal sooner", "computed", unit="m")
def met_at(diameter: float, shift: float) -> float:
    """Diameter at which a bar beside the hole's centre first meets metal. [m]"""
    return diameter - 2 * shift


def on_axis(one: Survey, placed: Placed) -> Survey:
    """Return a bore as it is about the axis of its line: it is cut clean from there, unless it has been cut."""
    done = one.bore.cleanup_diameter is not None
    sizes = one.sizes if done else replace(one.sizes, cleanup=cleanup_about(placed.radius))
    return replace(one, sizes=sizes, cut_from=met_at(one.cut_from, placed.shift), placed=placed)


def _beside_pocket(bore: Bore, profile: Profile) -> float:
    """Return the deepest wear outside the pocket, which the clean-up cut has to reach. [m]"""
    _, largest = outside_pocket(bore, profile)
    share = leaf(1.0, "given", "share", "a radius bears its own wear")
    nominal = leaf(bore.nominal_diameter / 2, "given", "nominal_radius", "half the nominal diameter", unit="m")
    return radial_wear(_given(largest, "largest radius outside the pocket"), nominal, share)


def _doubts(bore: Bore, profile: Profile, trust: Trust, facts: Tables) -> list[Message]:
    """Return what the readings leave open."""
    said = []
    kind = "" if bore.readings is None else bore.readings.kind
    part, least = seen(profile, kind) if kind else 360.0, facts.plain_constant("least_seen")
    if part < least:
        said.append(say("seen_part", seen=part, least=least))
    alone = _stands_alone(profile, facts.plain_constant("lone_reading"))
    if alone is not None:
        clock, depth, by = alone
        said.append(say("lone_reading", clock=clock, depth=depth, by=by))
    own = allowance(bore, facts, "cleanup_allowance")
    if trust.radial_wear > own:
        said.append(say("wear_unsure", trust=trust.radial_wear, allowance=own))
    return said


def _stands_alone(profile: Profile, limit: float) -> tuple[float, float, float] | None:
    """Return where the deepest reading stands alone: clock [deg], depth and by how much beyond all beside it [m]."""
    sizes = profile.deepest
    row, column = np.unravel_index(int(np.argmax(sizes)), sizes.shape)
    beside = [(row, (column + by) % sizes.shape[1]) for by in (-1, 1)] + [(row + by, column) for by in (-1, 1)]
    near = [float(sizes[at]) for at in beside if 0 <= at[0] < sizes.shape[0] and at != (row, column)]
    if len(near) < NEIGHBOURS:
        return None
    by = float(sizes[row, column]) - max(near)
    return (float(profile.clock[column]), float(profile.depth[row]), by) if by > limit else None


NEIGHBOURS = 3


def _cut_from(bore: Bore, profile: Profile, wear: Wear) -> float:
    """Return the diameter at which the clean-up bar first meets metal. [m]"""
    if profile.radial:
        return _given(2 * float(profile.sizes.min()), "twice the smallest radius read")
    if bore.wear == "one-sided" and bore.nominal_diameter < wear.smallest_diameter:
        return bore.nominal_diameter
    return wear.smallest_diameter
