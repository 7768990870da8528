"""How each bore of a job is set up: its bearings, the side that the torch comes from, how far it reaches."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from estimator.bore.survey import Survey
from estimator.cut.bearings import Rigged, Seat
from estimator.cut.span import SLACK, Block, Room, Span, along, bearings_of, held
from estimator.errors import Fault, JobRefusedError
from estimator.formula import choice, difference, leaf
from estimator.job.line import Line
from estimator.job.places import extent_of, places_of
from estimator.tables import Tables
from estimator.tables.messages import Message, fault, say

__all__ = ["Rig", "Setup", "setups_of"]


Rig = Callable[[Sequence[float], Sequence[Seat]], Rigged]
Torch = tuple[Literal["machine", "far"], list[Message], Message | None]


@dataclass(frozen=True)
class Setup:
    """How a bore is set up. [m]

    `place` and `insert`: the bore's machine-side face, and the insert at its worst place, from the line's machine-side
    end; `reach`: from the line's end on the torch's side to the bore's other end; `bearings`: those of its line.
    """

    span: Span
    place: float
    insert: float
    torch_side: Literal["machine", "far"]
    reach: float
    notes: tuple[Message, ...]
    bearings: int


@dataclass(frozen=True)
class _Line:
    """The bosses that stand on one line in their order: their bores' numbers in the job (None: an undamaged one).

    `placed`: whether their places are known; where they are not, the bosses stand apart by what is assumed.
    """

    numbers: tuple[int | None, ...]
    blocks: tuple[Block, ...]
    placed: bool

    def seen_by_torch(self, at: int) -> tuple["_Line", int]:
        """Return the line as the torch is planned for it, and which boss it is there; one alone where places fail."""
        if self.placed:
            return self, at
        one = self.blocks[at]
        return _Line((self.numbers[at],), (replace(one, start=0.0, end=one.end - one.start),), False), 0


def _block(survey: Survey, place: float) -> Block:
    bore = survey.bore
    return Block(*extent_of(bore, place), bore.clear_room.machine, bore.clear_room.far, bore.blind)


def _lines(
    surveys: Sequence[Survey], lines: Sequence[str], rules: Mapping[str, Line], taken: Sequence[int], gap: float
) -> list[_Line]:
    """Return the bosses line by line; where places are unknown, a gap apart as they are taken, a blind one last."""
    found = []
    for name in dict.fromkeys(lines):
        numbers = [n for n, one in enumerate(surveys) if lines[n] == name and one.bore.part_of is None]
        places = places_of([surveys[n].bore for n in numbers])
        if places is None:
            found.append(_assumed(sorted(numbers, key=taken.index), surveys, gap))
            continue
        blocks = {n: _block(surveys[n], place) for n, place in zip(numbers, places, strict=True)}
        found.append(_in_order(blocks, rules.get(name)))
    return found


def _assumed(numbers: Sequence[int], surveys: Sequence[Survey], gap: float) -> _Line:
    """Return the bosses of a line whose places are unknown, as they are assumed to stand."""
    blocks, end = list[Block](), -gap
    order = sorted(numbers, key=lambda n: surveys[n].bore.blind)
    for number in order:
        boss = _block(surveys[number], 0.0)
        blocks.append(replace(boss, start=end + gap, end=end + gap + boss.end - boss.start))
        end = blocks[-1].end
    return _Line(tuple(order), tuple(blocks), len(order) == 1)


def _in_order(blocks: Mapping[int, Block], rules: Line | None) -> _Line:
    """Return a line's bosses from the machine's side on, counted from there; undamaged bores between them as well."""
    first, last = min(one.start for one in blocks.values()), max(one.end for one in blocks.values())
    every: list[tuple[int | None, Block]] = [*blocks.items()]
    for datum in rules.datums if rules else ():
        start, end = datum.position, datum.position + datum.length
        clear = all(end <= one.start or one.end <= start for one in blocks.values())
        if first <= start and end <= last and clear:
            every.append((None, Block(start, end)))
    every.sort(key=lambda pair: (pair[1].start, pair[1].end))
    moved = tuple(replace(one, start=one.start - first, end=one.end - first) for _, one in every)
    return _Line(tuple(number for number, _ in every), moved, True)


def _driven(line: _Line, room: Room) -> list[Fault]:
    """Return why the drive does not fit in front of a line."""
    last, free = line.blocks[-1], line.blocks[0].machine
    if free is None or not line.placed or free >= room.drive * (1 - SLACK):
        return []
    if last.blind:
        cure = say("cure_far_closed")
    elif last.far is None:
        cure = say("cure_measure_far")
    else:
        cure = say("cure_from_far" if last.far >= room.drive * (1 - SLACK) else "cure_clear_one", far=last.far)
    said = say("drive_room", free=free, least=room.drive, cure=cure)
    return [fault(f"bores.{line.numbers[0]}.clear_room.machine", said)]


def _torch(line: _Line, at: int, most: float | None, room: Room) -> Torch:
    """Return the side that the torch comes from at one block, what to mind, and why it reaches it from neither."""
    block, first, last = line.blocks[at], line.blocks[0], line.blocks[-1]
    near, far = block.end - first.start, max(one.end for one in line.blocks) - block.start
    if most is None or near <= most * (1 + SLACK):
        return "machine", [], None
    said = say("torch_short", reach=most, near=near)
    if last.blind:
        return "machine", [], say("torch_closed", said=said)
    if last.far is not None and last.far < room.drive * (1 - SLACK):
        return "machine", [], say("torch_no_room", said=said, far=last.far, due=room.drive)
    if far > most * (1 + SLACK):
        return "machine", [], say("torch_neither", said=said, far=far)
    return "far", [say("torch_far", said=said), *([say("measure_far")] if last.far is None else [])], None


def _notes(line: _Line, at: int, span: Span, room: Room, gap: float) -> list[Message]:
    """Return what stands behind the bearings."""
    block, last, said = line.blocks[at], line.blocks[-1], []
    if not line.placed:
        said.append(say("places_unknown", gap=gap))
    if line.placed and (line.blocks[0].machine is None or (last.far is None and not last.blind)):
        said.append(say("room_unknown", stand=room.stand))
    if span.after is None:
        said.append(say("overhung_blind" if block.blind else "overhung_no_room"))
    return said


def setups_of(
    surveys: Sequence[Survey],
    lines: Sequence[str],
    rules: Mapping[str, Line],
    taken: Sequence[int],
    facts: Tables,
    most: float | None,
    rig: Rig | None = None,
) -> list[Setup]:
    """Return how each bore is set up.

    Parameters
    ----------
    surveys
        The bores of the job, steps after the bores they belong to.
    lines
        The line of each.
    rules
        What is said of each line; its datums stand in the bar's way as bores do.
    taken
        The bores' numbers in the order in which they are taken.
    facts
        Tables.
    most
        How far the torch reaches, None: not checked. [m]
    rig
        Chooses the bearings of a line out of the places that they may take; all of them where it is left out.

    Raises
    ------
    JobRefusedError
        Where the drive has too little room, or the torch reaches a bore from neither side.
    """
    room = Room(*(facts.constant(name) for name in ("bearing_stand", "bearing_room", "drive_room")))
    refused, found = list[Fault](), dict[int, Setup]()
    gap = facts.plain_constant("assumed_gap")
    for line in _lines(surveys, lines, rules, taken, gap):
        refused += _driven(line, room)
        places, seats = bearings_of(line.blocks, room), _seats(line, surveys)
        bearings = Rigged(tuple(places)) if rig is None else rig(places, seats)
        number_of = _counted(bearings)
        for at, number in enumerate(line.numbers):
            if number is None:
                continue
            seen, here = line.seen_by_torch(at)
            side, notes, barred = _torch(seen, here, most, room)
            if barred is not None:
                key = "position" if len(seen.numbers) > 1 and surveys[number].bore.position is not None else "length"
                refused.append(fault(f"bores.{number}.{key}", barred))
            shift = seen.blocks[here].start - line.blocks[at].start
            for one in (seat for seat in seats if seat.block is line.blocks[at]):
                span, insert = held(one.block, one.start, one.end, bearings.places)
                told = (*_notes(line, at, span, room, gap), *notes)
                start, end = (one.start + shift, one.end + shift) if shift else (one.start, one.end)
                place = along(start, "place", "machine-side end of the bore")
                tip = along(insert + shift, "insert", "counted from the bore's own end") if shift else insert
                found[one.number] = Setup(
                    span, place, tip, side, _reach(seen, side, start, end), notes=told, bearings=number_of
                )
    if refused:
        raise JobRefusedError(refused)
    return [found[number] for number in range(len(surveys))]


def _seats(line: _Line, surveys: Sequence[Survey]) -> list[Seat]:
    """Return the bores of a line and their steps, as the bar passes them."""
    return [
        Seat(own, block, start, end)
        for number, block in zip(line.numbers, line.blocks, strict=True)
        if number is not None
        for own, start, end in _parts(surveys, number, block)
    ]


def _counted(bearings: Rigged) -> int:
    """Return how many bearings hold the bar of a line, with what each number that was tried comes to."""
    said = "boring, and all that its bearings take, with so many of them"
    tried: dict[str, Any] = {
        f"with {count}": leaf(cost, "choice", "cost", said, unit="currency") for count, cost in bearings.tried
    }
    why = "two outer ones, or one where only one has room; one more where it pays or no bar does without it"
    return choice(len(bearings.places), "bearings", why, **tried)


def _parts(surveys: Sequence[Survey], number: int, block: Block) -> list[tuple[int, float, float]]:
    """Return a boss's bore and its steps, by number, with where they begin and end along the line. [m]"""
    bore = surveys[number].bore
    start = block.start + sum(step.length for step in bore.steps if step.side == "machine")
    found = [(number, start, start + bore.length)]
    for own, one in enumerate(surveys):
        if one.bore.part_of == bore.name:
            ahead = next(
                step.side for step, part in zip(bore.steps, bore.parts(), strict=True) if part.name == one.bore.name
            )
            before = start - one.bore.length if ahead == "machine" else start + bore.length
            found.append((own, before, before + one.bore.length))
    return found


def _reach(line: _Line, side: Literal["machine", "far"], start: float, end: float) -> float:
    """Return how far the torch reaches into a line for a bore. [m]"""
    if side == "machine":
        return along(end, "reach", "far end of the bore")
    last = along(max(one.end for one in line.blocks), "line_end", "far face of the last boss")
    return difference(last, along(start, "start", "machine-side end of the bore"))
