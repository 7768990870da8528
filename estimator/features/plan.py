"""Decide what each feature of a bore takes: metal, passes, elements of work. Choices only, in scalars."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from estimator.book.pricebook import PriceBook
from estimator.bore.sector import (
    ground_from_sector,
    ground_inside,
    masked,
    outside_pocket,
    pocket_skin,
    pocket_volume,
    share_of_wear,
)
from estimator.bore.survey import Survey
from estimator.cut.facing import face_passes, groove_passes
from estimator.cut.passes import Pass
from estimator.either import whole_up
from estimator.features.shapes import (
    chamfer_volume,
    face_build,
    face_cut,
    groove_volume,
    hole_volume,
    laid_thickness,
    layer_of,
    pocket_filled,
    ring_volume,
)
from estimator.formula import choice, leaf
from estimator.job.features import Keyway, Split
from estimator.tables import Tables
from estimator.units import in_mm
from estimator.weld.plan import WeldPlan, build_of
from estimator.weld.technique import Situation, bound

__all__ = ["Feature", "FeaturePass", "doubts", "plan_features"]

BESIDE = "beside the sector that is built up; its edges are dressed after boring"
INTERRUPTS = "the arc stops and starts again at it on every turn, and the cut is interrupted"


@dataclass(frozen=True)
class FeaturePass:
    """A pass of the bar over a feature, and the way its insert feeds. [SI]"""

    one: Pass
    path: float


@dataclass(frozen=True)
class Feature:
    """One feature as decided: metal to lay and to cut, passes, elements of work by their basis. [SI]"""

    code: str
    name: str
    text: str
    fill: float = 0.0
    removed: float = 0.0
    ground: float = 0.0
    before: tuple[FeaturePass, ...] = ()
    after: tuple[FeaturePass, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)


def _none(name: str) -> float:
    return leaf(0.0, "fact", name, "this feature has none", unit="m3")


def _faces(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    del weld
    facts, found = book.facts, []
    clean, allow = facts.constant("face_cleanup"), facts.constant("face_allowance")
    window = bound(facts, "layer_thickness", Situation("any", "any"), "must", "comfort")
    for number, face in enumerate(survey.bore.faces, 1):
        inside, build = _edge(survey, face.side), face_build(face.depth, clean, allow)
        layers = choice(int(whole_up(build / window.high)), "layers", "fewest layers within comfort", build=build)
        least = leaf(window.low, "fact", "thinnest", "least comfortable layer, limits table", unit="m")
        laid = laid_thickness(layers, layer_of(build, layers, least))
        cut = face_cut(laid, face.depth)
        before = face_passes("face clean-up", face.outer_diameter, inside, clean, family, facts, book)
        after = face_passes("facing", face.outer_diameter, inside, face_cut(cut, clean), "weld metal", facts, book)
        true = "" if face.runout is None else f", to run true within {in_mm(face.runout)}"
        found.append(
            Feature(
                "face",
                f"face {number}",
                f"face on the {_side(face.side)} side built up in {layers} layers and faced{true}",
                ring_volume(face.outer_diameter, inside, laid),
                ring_volume(face.outer_diameter, inside, cut),
                _none("ground"),
                tuple(FeaturePass(*one) for one in before),
                tuple(FeaturePass(*one) for one in after),
                {"face": 1},
            )
        )
    return found


def _side(side: str) -> str:
    return "machine's" if side == "machine" else "far"


def _edge(survey: Survey, side: str) -> float:
    """Return the diameter at which a face or chamfer begins: the bore's, or that of the step on its side. [m]"""
    steps = [step.nominal_diameter for step in survey.bore.steps if step.side == side]
    return steps[0] if steps else survey.sizes.finish


def _grooves(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    del weld, family
    found, sizes = [], survey.sizes
    for number, groove in enumerate(survey.bore.grooves, 1):
        passes = groove_passes(groove.diameter, sizes.finish, groove.width, book)
        found.append(
            Feature(
                "groove",
                f"{groove.kind} groove {number}",
                f"{groove.kind} groove filled where it lies deeper than the cut, and cut again",
                groove_volume(groove.diameter, sizes.cleanup, groove.width),
                groove_volume(groove.diameter, sizes.finish, groove.width),
                _none("ground"),
                (),
                tuple(FeaturePass(*one) for one in passes),
                {"groove": 1},
            )
        )
    return found


def _gaps(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    del family, book
    turns, sector = sum(layer.beads for layer in weld.layers), survey.bore.sector
    both: list[tuple[str, int, Keyway | Split]] = [("keyway", n, gap) for n, gap in enumerate(survey.bore.keyways, 1)]
    both += [("split", n, gap) for n, gap in enumerate(survey.bore.splits, 1)]
    return [
        Feature(
            code,
            f"{code} {number}",
            f"{code} {in_mm(gap.width)} wide: {INTERRUPTS if sector is None or sector.holds(gap.clock) else BESIDE}",
            _none("fill"),
            _none("removed"),
            _none("ground"),
            counts={code: 1, "restart": turns if sector is None or sector.holds(gap.clock) else 0},
        )
        for code, number, gap in both
    ]


def _holes(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    del weld, family, book
    build = build_of(survey.sizes.cleanup, survey.sizes.finish)
    return [
        Feature(
            "grease hole",
            f"grease hole {number}",
            "grease hole plugged before welding, drilled open and flushed after boring",
            _none("fill"),
            hole_volume(hole.diameter, build),
            _none("ground"),
            counts={"grease hole": 1},
        )
        for number, hole in enumerate(survey.bore.grease_holes, 1)
    ]


def _chamfers(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    del weld, family, book
    found = []
    for number, one in enumerate(survey.bore.chamfers, 1):
        slope = leaf(math.tan(math.radians(one.angle)), "given", "slope", f"tangent of {one.angle:g} degrees")
        found.append(
            Feature(
                "chamfer",
                f"chamfer {number}",
                f"chamfer {in_mm(one.width)} x {one.angle:g} degrees on the {_side(one.side)} side",
                _none("fill"),
                chamfer_volume(_edge(survey, one.side), one.width, slope),
                _none("ground"),
                counts={"chamfer": 1},
            )
        )
    return found


def _lug_gap(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    del weld, family, book
    if survey.bore.lug_gap is None:
        return []
    text = "gap between the lugs measured before the first arc and after the last: shrinkage moves lugs"
    none = (_none("fill"), _none("removed"), _none("ground"))
    return [Feature("lug gap", "lug gap", text, *none, counts={"lug gap": 1})]


def _ground(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> list[Feature]:
    """Return the sector or pocket that is ground to bright metal; a pocket is filled before the clean-up cut."""
    del family
    bore, sizes, facts = survey.bore, survey.sizes, book.facts
    if bore.sector is not None:
        done, worn = bore.cleanup_diameter is not None, survey.wear.worn_volume
        if survey.profile.radial:
            run_out = leaf(float(survey.share) - bore.sector.share, "given", "run_outs", "share of the clock")
            metal = ground_inside(survey.profile, masked(bore.sector, survey.profile), sizes.cleanup, run_out)
        else:
            part = share_of_wear(worn, survey.share)
            metal = ground_from_sector(sizes.cleanup, bore.nominal_diameter, bore.length, survey.share, part)
        metal = _none("ground") if done else metal
        beads = sum(layer.beads for layer in weld.layers)
        counts = {"ground area": 1 - done, "bead": beads, "return": beads * survey.lays_one_way}
        return [
            Feature("sector", "sector", _sector_text(survey), _none("fill"), _none("removed"), metal, counts=counts)
        ]
    if bore.pocket is None:
        return []
    inside, _ = outside_pocket(bore, survey.profile)
    share = leaf(bore.pocket.share, "given", "share", "the pocket as typed, as a share of the clock")
    skin = pocket_skin(share, sizes.cleanup, bore.length, facts.constant("grinding_skin"))
    over = pocket_skin(share, sizes.cleanup, bore.length, facts.constant("pocket_excess"))
    fill = pocket_filled(pocket_volume(survey.profile, inside, sizes.cleanup), skin, over)
    return [Feature("pocket", "pocket", POCKET, fill, _none("removed"), skin, counts={"ground area": 1, "pocket": 1})]


POCKET = "deepest wear ground bright and filled first; then the whole bore is cut clean from a smaller size"


def _sector_text(survey: Survey) -> str:
    sector = survey.bore.sector
    assert sector is not None  # asked for sectors only
    way = "each bead laid one way, the torch travels back with the arc off" if survey.lays_one_way else "to and fro"
    return f"only {sector.start:g} to {sector.end:g} degrees ground clean and built up, {way}; ends run out"


def doubts(survey: Survey, facts: Tables) -> list[str]:
    """Return what the features of a bore ask to be looked at first."""
    bore, said = survey.bore, list[str]()
    for number, face in enumerate(bore.faces, 1):
        if bore.outside_diameter is not None and face.outer_diameter > bore.outside_diameter:
            said.append(f"face {number} is wider than the boss: check outer_diameter and outside_diameter")
    gap = bore.lug_gap
    if gap is not None and gap.after is not None:
        allowed = facts.plain_constant("lug_gap_tolerance") if gap.tolerance is None else gap.tolerance
        moved = gap.after - gap.before
        if abs(moved) > allowed:
            way = "closed" if moved < 0 else "opened"
            said.append(
                f"the lugs {way} by {in_mm(abs(moved))}, more than {in_mm(allowed)}: straighten before the finish cut"
            )
    return [f"bore {bore.name}: {one}" for one in said]


Planner = Callable[[Survey, WeldPlan, str, PriceBook], list[Feature]]
PLANNERS: tuple[Planner, ...] = (_ground, _faces, _grooves, _gaps, _holes, _chamfers, _lug_gap)


def plan_features(survey: Survey, weld: WeldPlan, family: str, book: PriceBook) -> tuple[Feature, ...]:
    """Return what every feature of a bore takes, in the order of the work."""
    return tuple(feature for planner in PLANNERS for feature in planner(survey, weld, family, book))
