"""What the user's own machine can do: welding current, bore sizes, turns, feeds, drive, bars."""

from typing import Annotated, Any

from pydantic import Field

from estimator.book.consumables import Generator
from estimator.errors import Fault
from estimator.fields import Current, Document, Drive, Feed, Frequency, Length, Name, Torque

__all__ = ["Bar", "Equipment", "equipment_faults", "whole_machines"]

MOST_BARS, MOST_FEEDS, MOST_MACHINES = 20, 40, 20


class Bar(Document):
    """A boring bar: outside diameter, hollow of a tube, longest span, smallest bore that it works in."""

    diameter: Length
    bore: Length | None = None
    longest_span: Length | None = None
    smallest_bore: Length | None = None


class Equipment(Document):
    """What the user's own equipment can do; `sets`: how many of it go along, each for a line of its own."""

    name: Name
    current_at_full_duty: Current
    smallest_bore: Length
    largest_bore: Length
    slowest_turn: Frequency
    fastest_turn: Frequency
    drive_power: Drive
    drive_torque: Torque | None = None
    torch_reach: Length | None = None
    slowest_feed: Feed | None = None
    fastest_feed: Feed | None = None
    feeds: Annotated[tuple[Feed, ...], Field(max_length=MOST_FEEDS)] = ()
    bars: Annotated[dict[Name, Bar], Field(min_length=1, max_length=MOST_BARS)]
    turns_both_ways: bool = True
    part_turns: bool = True
    generator: Generator | None = None
    sets: Annotated[int, Field(strict=True, ge=1, le=20)] = 1


def whole_machines(document: dict[str, Any], merge: Any) -> dict[str, Any]:  # noqa: ANN401  # a function of JSON
    """Return a book with each further machine laid over the usual one, under its own name; JSON as it came."""
    usual, machines = document.get("equipment"), document.get("machines")
    if not isinstance(usual, dict) or not isinstance(machines, dict):
        return document
    found = {
        name: merge(usual, {"name": name, **one}) if isinstance(one, dict) else one for name, one in machines.items()
    }
    return {**document, "machines": found}


def equipment_faults(machine: Equipment, path: str) -> list[Fault]:
    """Return what contradicts itself in a machine."""
    faults = []
    if machine.slowest_turn >= machine.fastest_turn:
        faults.append(Fault(f"{path}.slowest_turn", "must be below fastest_turn"))
    if machine.smallest_bore >= machine.largest_bore:
        faults.append(Fault(f"{path}.smallest_bore", "must be below largest_bore"))
    slow, fast = machine.slowest_feed, machine.fastest_feed
    if slow is not None and fast is not None and slow > fast:
        faults.append(Fault(f"{path}.slowest_feed", "must not be above fastest_feed"))
    for number, feed in enumerate(machine.feeds):
        if (slow is not None and feed < slow) or (fast is not None and feed > fast):
            faults.append(Fault(f"{path}.feeds.{number}", "lies outside slowest_feed and fastest_feed; widen them"))
    for name, bar in machine.bars.items():
        if bar.bore is not None and bar.bore >= bar.diameter:
            faults.append(Fault(f"{path}.bars.{name}.bore", "must be below the bar's diameter"))
        if bar.smallest_bore is not None and bar.smallest_bore <= bar.diameter:
            faults.append(Fault(f"{path}.bars.{name}.smallest_bore", "must be above the bar's diameter"))
    return faults
