"""Which passes bore a bore: clean-up, cuts between layers, skin, roughing, finishing, and a spring pass where due."""

from dataclasses import replace

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.cut.bars import bar_for, held_bar, least_bore, passage_of, reach_of
from estimator.cut.depth import BAR, LEAST, LEFT, Bench, deepest_of, set_feed
from estimator.cut.finish import SPRING, finish_of
from estimator.cut.gauging import gauging_of
from estimator.cut.hardness import hardness_of_base, hardness_of_weld
from estimator.cut.one_pass import pass_of
from estimator.cut.passes import (
    CutPlan,
    Metal,
    Pass,
    depth_between,
    interrupted,
    metal_for,
    narrowed,
    opened,
    shared_depth,
)
from estimator.cut.span import Span
from estimator.cut.surface import feed_for
from estimator.either import whole_up
from estimator.errors import JobRefusedError, require_range
from estimator.formula import choice, difference, leaf
from estimator.tables import Tables
from estimator.tables.messages import Message, fault, say
from estimator.tables.rows import Cutting
from estimator.weld.plan import WeldPlan
from estimator.weld.risk import Risk

__all__ = ["bench_for", "cuts_foreseen", "is_interrupted", "plan_cut", "roughing_foreseen"]

MOST_PASSES = 100
SLACK = 1e-9  # relative
OVERBUILT = "weld bore less crests and what layers may come out inside"
SKIN, CRESTS = say("cut_skin"), say("cut_crests")
BY_BAR = (BAR, LEAST, SPRING)


def is_interrupted(survey: Survey) -> bool:
    """Return whether the bar cuts over gaps: a keyway, a split boss, or weld in a sector only."""
    return survey.bore.sector is not None or any(one.interrupts for one in survey.bore.items())


def bench_for(survey: Survey, span: Span, book: PriceBook) -> Bench:
    """Return what cuts a bore; raise `JobRefusedError` where no bar of the machine does."""
    passage = passage_of(survey, book.facts)
    found = bar_for(passage, span, book.equipment, book.facts)
    if isinstance(found, Message):
        raise JobRefusedError([fault("nominal_diameter", say("rig_cannot", rig=book.equipment.name, why=found))])
    return Bench(book, held_bar(*found, span, book.facts), is_interrupted(survey))


def _passes(
    metal: Metal,
    start: float,
    end: float,
    bench: Bench,
    counted_from: float | None = None,
    skin: Metal | None = None,
) -> list[Pass]:
    """Return passes from one bore to another, as many as drive, bar and edge ask for; the first under the skin.

    `counted_from`: bore from which their number is counted, where it must not hang on how far a layer came out inside.
    """
    depth, held = depth_between(start, end), deepest_of(metal, end, bench)
    counted = depth if counted_from is None else max(depth, depth_between(counted_from, end))
    count = max(1, int(whole_up(counted / held.depth)))
    require_range("passes from one bore to another", count, MOST_PASSES)
    count = choice(count, "passes", "fewest passes within the deepest cut", depth=counted, deepest=held.depth)
    each, found = shared_depth(depth, count), []
    limit = held.limit if count > 1 else LEFT
    if skin is not None:
        first, why = _first(each, depth, count, held.depth, limit, bench.book.facts)
        if depth - first < bench.book.facts.constant("least_finishing"):  # what is left behind it is worth no pass
            count = 1
        after = end if count == 1 else opened(start, first)
        found.append(pass_of(skin, start, after, bench, why))
        start, count = after, count - 1
        each = (
            shared_depth(difference(depth, first), choice(count, "passes", "those after the skin")) if count else each
        )
    for number in range(count):
        after = end if number == count - 1 else opened(start, each)
        found.append(pass_of(metal, start, after, bench, limit))
        start = after
    return found


def _passing(narrowest: float, bench: Bench) -> list[Message]:
    """Return a warning where the weld comes out so far inside that the bar does not pass any more."""
    least = least_bore(bench.book.equipment.bars[bench.held.name], bench.book.facts)
    if least <= narrowest:
        return []
    return [say("bar_tight", room=narrowest, bar=bench.held.name, least=least)]


def _first(
    each: float, depth: float, count: int, deepest: float, limit: Message, facts: Tables
) -> tuple[float, Message]:
    """Return depth and limit of the first pass over fresh weld: below its skin, as far as the deepest cut goes. [m]"""
    skin = facts.constant("skin_cut")
    if count == 1 or each >= skin:
        return each, limit
    deep = min(skin, deepest, depth)
    return choice(deep, "skin", "below the skin, within the deepest cut", unit="m", skin=skin, deepest=deepest), SKIN


def _asked(survey: Survey, facts: Tables) -> float:
    """Return the roughness asked for. [m]"""
    if survey.bore.roughness is None:
        return facts.constant("asked_roughness")
    return survey.bore.roughness


def _feeds(asked: float, bench: Bench) -> tuple[float, float]:
    """Return the feeds of roughing and of the finishing pass. [m]"""
    facts, book = bench.book.facts, bench.book
    rough, fine = facts.constant("feed_roughing"), facts.constant("feed_finishing")
    if bench.broken:
        rough, fine = (interrupted(feed, facts.constant("interrupted_feed")) for feed in (rough, fine))
    smooth = feed_for(asked, facts.constant("nose_radius"), facts.constant("real_roughness"))
    fine = choice(
        min(fine, smooth), "feed", "usual feed, or less for the roughness asked", unit="m", usual=fine, smooth=smooth
    )
    return set_feed(rough, book), set_feed(fine, book)


def plan_cut(survey: Survey, family: str, weld: WeldPlan, risk: Risk, valley: float, bench: Bench) -> CutPlan:
    """Return the passes of one bore.

    Parameters
    ----------
    survey
        The bore and its sizes.
    family
        Family of its steel, for the row of the cutting table.
    weld, risk
        Its layers, and how hard they come out.
    valley
        Deepest valley of the last layer: it must come out within the allowance. [m]
    bench
        What cuts it.
    """
    facts = bench.book.facts
    asked, hard = _asked(survey, facts), hardness_of_weld(risk, facts)
    rough, fine = _feeds(asked, bench)
    row, built_to = facts.row("cutting", "weld metal", Cutting), weld.layers[-1].end
    skim, depth = metal_for("skim between layers", row, rough, facts, hard), facts.constant("skim_depth")
    skims = [layer.end for layer in weld.layers if layer.skimmed]
    between = [pass_of(skim, narrowed(end, depth), end, bench, CRESTS) for end in skims]
    gauging = gauging_of(survey.sizes, survey.bore.nominal_diameter, facts)
    finish = finish_of(survey, hard, fine, bench, gauging.semi)
    start = narrowed(built_to, facts.constant("crest_allowance"))
    most = leaf(_overbuilt(survey, facts), "fact", "overbuild", OVERBUILT, unit="m")
    after = _roughed(start, finish.ready, most, rough, hard, bench)
    before, after = _clean_up(survey, family, rough, bench), [*after, *finish.semi, *finish.passes]
    said = (
        *_warnings(survey, [*before, *between, *after], valley, built_to, bench),
        *_passing(start, bench),
        *finish.warnings,
        *gauging.warnings,
        *_rough(after, asked),
    )
    usual = 1 + len(finish.semi) + len(finish.passes)
    stops = choice(
        usual + gauging.stops, "measures", "before and after the passes that bring it to size, more for its grade"
    )
    return CutPlan(
        before=tuple(before),
        between=tuple(between),
        after=tuple(after),
        warnings=said,
        bar=bench.held,
        roughness=asked,
        measures=stops,
        finishing=len(finish.passes),
        gauging=gauging,
    )


def _overbuilt(survey: Survey, facts: Tables) -> float:
    """Return the bore after welding from which passes are counted. [m]"""
    return float(narrowed(survey.sizes.weld, facts.constant("crest_allowance") + facts.constant("overbuild_allowance")))


def _roughed(start: float, ready: float, most: float, feed: float, hard: float | None, bench: Bench) -> list[Pass]:
    """Return the skin and the roughing passes from a built-up bore to where the finishing pass begins."""
    facts = bench.book.facts
    row = facts.row("cutting", "weld metal", Cutting)
    metal = metal_for("roughing", row, feed, facts, hard)
    skin = metal_for("skin", row, feed, facts, hard, facts.constant("skin_speed_share"))
    return _passes(metal, start, ready, bench, most, skin) if ready > start else []


def cuts_foreseen(survey: Survey, family: str, bench: Bench) -> tuple[list[Pass], list[Pass], bool, bool]:
    """Return the passes before and after welding as far as they are known before it is planned: with usual hardness.

    Beside them: whether the bar bends so far that the bore comes out wrong; whether a cut is light for its sake.
    """
    rough, fine = _feeds(_asked(survey, bench.book.facts), bench)
    semi = gauging_of(survey.sizes, survey.bore.nominal_diameter, bench.book.facts).semi
    finish, most = finish_of(survey, None, fine, bench, semi), _overbuilt(survey, bench.book.facts)
    after = [*_roughed(most, finish.ready, most, rough, None, bench), *finish.semi, *finish.passes]
    before = _clean_up(survey, family, rough, bench)
    light = any(one.limit in BY_BAR for one in (*before, *after))
    return before, after, bool(finish.warnings), light


def roughing_foreseen(survey: Survey, bench: Bench) -> tuple[Pass, float, float]:
    """Return a roughing pass as deep as any may be, before the weld is planned: with usual hardness.

    Beside it: the depth a side from which roughing passes are counted, and the overbuild that it allows for. [m]
    """
    facts = bench.book.facts
    rough, fine = _feeds(_asked(survey, facts), bench)
    semi = gauging_of(survey.sizes, survey.bore.nominal_diameter, facts).semi
    ready = finish_of(survey, None, fine, bench, semi).ready
    metal = metal_for("roughing", facts.row("cutting", "weld metal", Cutting), rough, facts)
    held = deepest_of(metal, ready, bench)
    usual = depth_between(_overbuilt(survey, facts), ready)
    allowed = facts.constant("overbuild_allowance")
    return pass_of(metal, narrowed(ready, held.depth), ready, bench, held.limit), usual, allowed


def _clean_up(survey: Survey, family: str, feed: float, bench: Bench) -> list[Pass]:
    """Return the passes before welding; none where the bore has been cut or only a sector is built up."""
    facts, sizes = bench.book.facts, survey.sizes
    done = survey.bore.cleanup_diameter is not None or survey.bore.sector is not None
    if done or sizes.cleanup <= survey.cut_from:
        return []
    row = facts.row("cutting", family, Cutting)
    base = metal_for("clean-up", row, feed, facts, hardness_of_base(survey, facts))
    found = _passes(base, survey.cut_from, sizes.cleanup, bench)
    if bench.broken:
        return found
    blows = set_feed(interrupted(feed, facts.constant("interrupted_feed")), bench.book)
    oval, over = metal_for("clean-up", row, blows, facts, hardness_of_base(survey, facts)), replace(bench, broken=True)
    swings = [_swings(one, _largest(survey), facts) for one in found]
    again = [pass_of(oval, one.start, one.end, over, one.limit) for one in found]
    return [slow if swung else one for one, slow, swung in zip(found, again, swings, strict=True)]


def _largest(survey: Survey) -> float:
    """Return the bore about its axis that has no metal left anywhere inside it. [m]"""
    wear = survey.wear.max_radial_wear if survey.about_axis is None else survey.about_axis
    return float(opened(leaf(survey.bore.nominal_diameter, "given", "nominal_diameter", "as given", unit="m"), wear))


def _swings(one: Pass, largest: float, facts: Tables) -> bool:
    """Return whether a clean-up pass runs over an oval: its load swings by more than a share of its depth."""
    return (largest - one.start) / 2 > facts.plain_constant("oval_swing") * one.depth


def _rough(passes: list[Pass], asked: float) -> list[Message]:
    """Return a warning where the last pass leaves the bore rougher than asked."""
    if not passes or passes[-1].ra is None or passes[-1].ra <= asked * (1 + SLACK):
        return []
    return [say("rough", asked=asked, found=passes[-1].ra)]


def _warnings(survey: Survey, passes: list[Pass], valley: float, built_to: float, bench: Bench) -> list[Message]:
    """Return what the equipment cannot do as wished."""
    drive, held = bench.book.equipment.drive_power, bench.held
    over = max((one.power for one in passes), default=0.0)
    said = []
    if over > drive * (1 + SLACK):
        said.append(say("drive_short", power=over, drive=drive))
    if any(one.limit == LEAST for one in passes):
        said.append(say("bar_flexible", bar=held.name, reach=reach_of(held.span)))
    if held.span.after is None and held.span.before > bench.book.facts.plain_constant("overhang_ratio") * held.diameter:
        out = held.span.before
        said.append(say("bar_overhangs", bar=held.name, out=out, times=out / held.diameter))
    left = depth_between(built_to, survey.sizes.finish)
    if valley > left:
        said.append(say("valleys", valley=valley, left=left))
    return said
