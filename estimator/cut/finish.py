"""The finishing pass: how quick on a limber bar, how deep, and a spring pass where the bar bends off too far."""

from dataclasses import dataclass, replace

from estimator.bore.survey import Survey
from estimator.cut.beam import as_overhung, diameter_error, left_after_spring
from estimator.cut.depth import Bench, allowed_bending, finishing_depth, set_feed
from estimator.cut.one_pass import USUAL, pass_of
from estimator.cut.passes import Pass, depth_between, metal_for, narrowed, slender_share
from estimator.formula import choice, formula
from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.tables.rows import Cutting

__all__ = ["SPRING", "Finish", "finish_of"]

SLACK = 1e-9  # relative
SLOWED = ("quiet_overhang", "slender_fall", "slender_least")
SPRING, SLENDER, EVEN = say("cut_spring"), say("pace_slender"), say("cut_even")


@dataclass(frozen=True)
class Finish:
    """The passes that bring a bore to size, from what diameter, and what is worth a word about them.

    `semi`: before the finishing pass of a tight bore, so that it cuts an even depth.
    """

    passes: tuple[Pass, ...]
    ready: float
    warnings: tuple[Message, ...]
    semi: tuple[Pass, ...] = ()


@formula("speed_share", "definition: both shares, one on the other", "computed")
def finished_at(finishing_speed_share: float, slender_share: float) -> float:
    """Share of the usual speed that the finishing pass is run at. [-]"""
    return finishing_speed_share * slender_share


def _finishing_share(bench: Bench) -> float:
    """Return the share of the usual speed at which the bar finishes: quicker than roughing, slower the more limber."""
    facts, held = bench.book.facts, bench.held
    out = as_overhung(held.compliance, facts.constant("steel_modulus"), held.diameter)
    slender = slender_share(out, *(facts.constant(name) for name in SLOWED))
    return finished_at(facts.constant("finishing_speed_share"), slender)


def _told(one: Pass, share: float, facts: Tables) -> Pass:
    """Return a finishing pass with the word that a limber bar holds its speed, where it does."""
    slow = share < facts.plain_constant("finishing_speed_share") and one.pace == USUAL
    return replace(one, pace=SLENDER) if slow else one


def finish_of(survey: Survey, hardness: float | None, feed: float, bench: Bench, semi: int = 0) -> Finish:
    """Return the finishing pass, with a spring pass after it where the bar bends off too far.

    `semi`: passes before it that leave it an even depth, where enough is left for them.
    """
    found = _finished(survey, hardness, feed, bench)
    left = depth_between(survey.sizes.weld, found.ready)
    facts = bench.book.facts
    if not semi or not found.passes or left < facts.constant("least_finishing"):
        return found
    deep = choice(
        min(facts.constant("depth_semi"), left), "depth_semi", "usual, or all that is left", unit="m", left=left
    )
    wish = choice(
        max(feed, facts.constant("feed_semi")), "feed", "no finer than the finishing pass", unit="m", fine=feed
    )
    row = facts.row("cutting", "weld metal", Cutting)
    metal = metal_for("semi-finishing", row, set_feed(wish, bench.book), facts, hardness)
    begins = narrowed(found.ready, deep)
    return replace(found, ready=begins, semi=(pass_of(metal, begins, found.ready, bench, EVEN),))


def _finished(survey: Survey, hardness: float | None, feed: float, bench: Bench) -> Finish:
    """Return the finishing pass, with a spring pass after it where the bar bends off too far."""
    facts, sizes = bench.book.facts, survey.sizes
    row, share = facts.row("cutting", "weld metal", Cutting), _finishing_share(bench)
    metal = metal_for("finishing", row, feed, facts, hardness, share)
    allowed = allowed_bending(sizes.finish_max, sizes.finish_min, facts.constant("deflection_share"))
    depth, limit = finishing_depth(metal, depth_between(sizes.weld, sizes.finish), allowed, bench)
    ready = narrowed(sizes.finish, depth)
    if not depth > 0:
        return Finish((), ready, ())
    one = _told(pass_of(metal, ready, sizes.finish, bench, limit), share, facts)
    if one.deflection is None or one.deflection <= allowed * (1 + SLACK):
        return Finish((one,), ready, ())
    left = left_after_spring(one.deflection, one.depth)
    again = metal_for("spring", row, feed, facts, hardness, share)
    spring = _told(pass_of(again, sizes.finish, sizes.finish, bench, SPRING, one.deflection), share, facts)
    said = (say("bar_bends", error=diameter_error(left)),) if left > allowed else ()
    return Finish((one, spring), ready, said)
