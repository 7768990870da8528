"""How deep a pass may cut: what the drive, the bar and the insert hold, and how deep the bar lets the last pass cut."""

from dataclasses import dataclass, replace

from estimator.book.pricebook import PriceBook
from estimator.cut.bars import Held
from estimator.cut.beam import depth_that_bends
from estimator.cut.passes import Metal, deepest_by_torque, deepest_cut, turned
from estimator.formula import choice, formula, leaf
from estimator.tables.messages import Message, say, text_of

__all__ = ["BAR", "LEAST", "LEFT", "Bench", "Deepest", "allowed_bending", "deepest_of", "finishing_depth", "set_feed"]

POWER, TORQUE, BAR, INSERT = say("cut_power"), say("cut_torque"), say("cut_bar"), say("cut_edge")
LEAST, LEFT, USUAL = say("cut_least"), say("cut_left"), say("cut_usual")


@dataclass(frozen=True)
class Bench:
    """What cuts a bore: the book with its machine, the bar as it is held, and whether the cut is interrupted."""

    book: PriceBook
    held: Held
    broken: bool


@dataclass(frozen=True)
class Deepest:
    """The deepest cut a side [m], what holds it, and whether the bar would have it lighter still."""

    depth: float
    limit: Message
    limber: bool


@formula("deflection", "share of the tolerance that bending may take, on one side", "from memory", unit="m")
def allowed_bending(finish_max: float, finish_min: float, deflection_share: float) -> float:
    """How far the radial force of the finishing pass may bend the bar. [m]"""
    return (finish_max - finish_min) / 2 * deflection_share


def deepest_of(metal: Metal, diameter: float, bench: Bench) -> Deepest:
    """Return the deepest cut of a roughing pass and what holds it; never less than is worth a pass.

    Where power holds it, it is cut slower: fewer deep passes at a lower speed take as much power and fewer stops.
    """
    book, facts = bench.book, bench.book.facts
    slow = choice(
        min(metal.speed, facts.constant("least_speed")),
        "speed",
        "speed is traded for depth",
        unit="m/s",
        usual=metal.speed,
    )
    _, speed = turned(replace(metal, speed=slow), diameter, book)
    whole = leaf(1.0, "fact", "share", "the whole cutting force bends the bar")
    bends, least = facts.constant("roughing_deflection"), facts.constant("least_roughing")
    efficiency, drive = facts.constant("drive_efficiency"), book.number("equipment.drive_power")
    found = {
        POWER: deepest_cut(drive, metal.force, metal.feed, speed, efficiency),
        BAR: depth_that_bends(bends, bench.held.compliance, metal.force, metal.feed, whole),
        INSERT: facts.constant("depth_roughing"),
    }
    if book.equipment.drive_torque is not None:
        torque = book.number("equipment.drive_torque")
        found[TORQUE] = deepest_by_torque(torque, metal.force, metal.feed, diameter)
    limit = min(found, key=found.__getitem__)
    limber = found[BAR] < least
    if limit == BAR and limber:
        others = min(found[name] for name in found if name != BAR)
        held, limit = min(least, others), LEAST
    else:
        held = found[limit]
    weighed = {f"by {name.code}": depth for name, depth in found.items()}
    why = f"limited by: {text_of(limit)}"
    return Deepest(choice(held, "deepest", why, unit="m", **weighed, least=least), limit, limber)


def finishing_depth(metal: Metal, left: float, allowed: float, bench: Bench) -> tuple[float, Message]:
    """Return the depth a side of the finishing pass and what holds it: usual, less where the bar bends too far. [m]"""
    facts = bench.book.facts
    usual, least = facts.constant("depth_finishing"), facts.constant("least_finishing")
    share = facts.constant("radial_share")
    by_bar = depth_that_bends(allowed, bench.held.compliance, metal.force, metal.feed, share)
    found = {USUAL: usual, BAR: max(by_bar, min(least, usual)), LEFT: left}
    limit = min(found, key=found.__getitem__)
    weighed = {"usual": usual, "by the bar": by_bar, "least": least, "left": left}
    return choice(found[limit], "depth_finishing", f"limited by: {text_of(limit)}", unit="m", **weighed), limit


def set_feed(wish: float, book: PriceBook) -> float:
    """Return the feed per turn that the machine gives nearest to a wish: at or under it, where it can. [m]"""
    machine = book.equipment
    found = wish
    if machine.feeds:
        steps = sorted(machine.feeds)
        fits = [step for step in steps if step <= wish * (1 + 1e-9)]
        found = leaf(
            (fits or steps)[-1 if fits else 0], "price", "equipment.feeds", "a step of the feed gear", unit="m"
        )
        found = choice(found, "feed", "widest step of the machine at or under the wish", unit="m", wish=wish)
    if machine.fastest_feed is not None and found > machine.fastest_feed:
        found = choice(book.number("equipment.fastest_feed"), "feed", "the machine's widest", unit="m", wish=wish)
    if machine.slowest_feed is not None and found < machine.slowest_feed:
        found = choice(book.number("equipment.slowest_feed"), "feed", "the machine's finest", unit="m", wish=wish)
    return found
