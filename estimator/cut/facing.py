"""Passes over what is no cylinder: boss faces, and grooves to be cut again."""

from estimator.book.pricebook import PriceBook
from estimator.cut.depth import INSERT, LEFT, POWER, set_feed
from estimator.cut.passes import Metal, Pass, deepest_cut, metal_for, shared_depth, turned, work_of
from estimator.either import whole_up
from estimator.formula import choice, formula
from estimator.tables import Tables
from estimator.tables.messages import say
from estimator.tables.rows import Cutting

__all__ = ["across", "face_passes", "groove_passes", "plunge_depth"]

Fed = tuple[Pass, float]
TOOL = say("cut_tool")


@formula("path", "geometry: the insert feeds from the bore's edge to the outside", "computed", unit="m")
def across(outside: float, inside: float) -> float:
    """Way that the insert feeds over a face. [m]"""
    return (outside - inside) / 2


@formula("path", "geometry: the tool plunges from the bore to the groove's bottom", "computed", unit="m")
def plunge_depth(bottom: float, inside: float) -> float:
    """Way that a grooving tool plunges. [m]"""
    return (bottom - inside) / 2


def face_passes(
    purpose: str, outside: float, inside: float, depth: float, family: str, facts: Tables, book: PriceBook
) -> list[Fed]:
    """Return equal passes over a face down to a depth, each with the way it feeds; none where nothing is cut.

    The turning speed is that of the outside, where the insert is quickest.
    """
    if not depth > 0:
        return []
    metal = metal_for(
        purpose, facts.row("cutting", family, Cutting), set_feed(facts.constant("feed_roughing"), book), facts
    )
    turning, speed = turned(metal, outside, book)
    by_power = deepest_cut(
        book.number("equipment.drive_power"), metal.force, metal.feed, speed, facts.constant("drive_efficiency")
    )
    deepest = min(by_power, facts.constant("depth_roughing"))
    count = choice(max(1, int(whole_up(depth / deepest))), "passes", "fewest within the deepest cut", depth=depth)
    each, path = shared_depth(depth, count), across(outside, inside)
    limit = LEFT if count == 1 else POWER if by_power <= deepest else INSERT
    work = work_of(metal, each, speed, outside, False, facts)
    one = Pass(
        purpose=purpose,
        start=inside,
        end=outside,
        depth=each,
        speed=speed,
        turning=turning,
        feed=metal.feed,
        work=work,
        limit=limit,
    )
    return [(one, path)] * count


def groove_passes(bottom: float, inside: float, width: float, book: PriceBook) -> list[Fed]:
    """Return the plunges that cut a groove again, side by side over its width, each with the way it feeds."""
    facts = book.facts
    row = facts.row("cutting", "weld metal", Cutting)
    metal: Metal = metal_for("grooving", row, set_feed(facts.constant("feed_grooving"), book), facts)
    turning, speed = turned(metal, bottom, book)
    tool = facts.constant("groove_tool")
    count = choice(
        max(1, int(whole_up(width / tool))), "plunges", "side by side over the width", width=width, tool=tool
    )
    each = shared_depth(width, count)
    work = work_of(metal, each, speed, bottom, False, facts)
    return [
        (
            Pass(
                purpose="grooving",
                start=inside,
                end=bottom,
                depth=each,
                speed=speed,
                turning=turning,
                feed=metal.feed,
                work=work,
                limit=TOOL,
            ),
            plunge_depth(bottom, inside),
        )
    ] * count
