"""Whether the lines of a job hold together: places, offsets and rules of the bores that share an axis."""

import itertools
from collections.abc import Mapping, Sequence

from estimator.errors import AtError, nearest
from estimator.job.bore import Bore
from estimator.job.line import Line
from estimator.units import in_mm

__all__ = ["extent_of", "is_sought", "lines_hold", "places_of"]

SLACK = 1e-9  # relative


def is_sought(line: Sequence[Bore], ruled: bool) -> bool:
    """Return whether the axis of a line's bores is sought: where it is said how they lie from one another."""
    scanned = sum(bore.arm_frame is not None for bore in line) > 1
    return ruled or scanned or any(bore.offset is not None for bore in line)


def lines_hold(bores: Sequence[Bore], lines: Mapping[str, Line]) -> None:
    """Raise `AtError` where a line's bores do not say what its axis hangs on, or contradict one another."""
    found: dict[str, list[tuple[int, Bore]]] = {}
    for number, bore in enumerate(bores):
        if bore.line is not None:
            found.setdefault(bore.line, []).append((number, bore))
    for name in lines:
        if name not in found:
            near = nearest(name, found, 1) or sorted(found) or ["a bore with a line"]
            raise AtError(f"lines.{name}", f"no bore is on this line; did you mean {near[0]!r}?")
    for name, line in found.items():
        if is_sought([bore for _, bore in line], name in lines):
            _sought(line)
        else:
            _plain(line)
        _apart(line)
        _held_alike(line)
        _roomy(line)


LONE = "nothing says how the line's bores lie from one another; give each its offset from the wire"


def _plain(line: list[tuple[int, Bore]]) -> None:
    """Raise `AtError` where a rule is given that nothing would keep, the line's axis not being sought."""
    for number, bore in line:
        if bore.position_tolerance is not None:
            raise AtError(f"bores.{number}.position_tolerance", LONE)
        if bore.original.model_fields_set:
            raise AtError(f"bores.{number}.original", LONE)


def _sought(line: list[tuple[int, Bore]]) -> None:
    first = next((bore.arm_frame for _, bore in line if bore.arm_frame is not None), None)
    for number, bore in line:
        at = f"bores.{number}"
        if bore.position is None and bore.arm_frame is None:
            raise AtError(f"{at}.position", "is missing: the line's axis is sought, so each place counts")
        if bore.offset is None and bore.arm_frame is None and any(one.offset or one.arm_frame for _, one in line):
            said = "is missing; the others of its line have one (0 mm where its readings' zero lies on the wire)"
            raise AtError(f"{at}.offset", said)
        if bore.arm_frame is not None and first is not None and not bore.arm_frame.shares(first):
            raise AtError(f"{at}.readings.frame", "bores of one line share along and up in their frames")
        for key in ("sector", "pocket"):
            if getattr(bore, key) is not None:
                cure = "leave it out, or leave the line's offsets and rules out"
                raise AtError(f"{at}.{key}", f"keeps the bore's own axis, and the axis of its line is sought; {cure}")


def _apart(line: list[tuple[int, Bore]]) -> None:
    """Raise `AtError` where two bores of a line lie in one another."""
    typed = [(bore.position, bore.length, number) for number, bore in line if bore.arm_frame is None]
    placed = sorted((place, place + length, number) for place, length, number in typed if place is not None)
    for (_, end, _), (start, _, number) in itertools.pairwise(placed):
        if start < end * (1 - SLACK):
            raise AtError(f"bores.{number}.position", "overlaps the bore before it on the line")


def places_of(line: Sequence[Bore]) -> list[float] | None:
    """Return where the machine-side face of each bore lies along the line; None where one of them is unknown. [m]

    Frames of an arm go before typed places, unless only the typed ones cover the whole line.
    """
    base = next((bore.arm_frame for bore in line if bore.arm_frame is not None), None)
    typed = [bore.position for bore in line]
    framed = [None if bore.arm_frame is None or base is None else base.ahead(bore.arm_frame) for bore in line]
    if None in framed and None not in typed:
        framed = typed
    found = [own if own is not None else place for own, place in zip(framed, typed, strict=True)]
    known = [place for place in found if place is not None]
    return known if len(known) == len(found) else None


def extent_of(bore: Bore, place: float) -> tuple[float, float]:
    """Return where a bore begins and ends along its line, its steps included. [m]"""
    before = sum(step.length for step in bore.steps if step.side == "machine")
    after = sum(step.length for step in bore.steps if step.side == "far")
    return place - before, place + bore.length + after


def _held_alike(line: list[tuple[int, Bore]]) -> None:
    """Raise `AtError` where the bores of a line ask for two kinds of mounts, or two of them are blind."""
    first = line[0][1]
    blind = [number for number, bore in line if bore.blind]
    for number, bore in line:
        if bore.mounts != first.mounts:
            said = f"is {bore.mounts!r}, and {first.mounts!r} for bore {first.name} of the same line"
            raise AtError(f"bores.{number}.mounts", f"{said}; a line's bar is held in one way: give both the same")
    if len(blind) > 1:
        said = "a second blind bore on one line, and the bar passes all bores but the last"
        raise AtError(f"bores.{blind[1]}.blind", f"{said}; put it on a line of its own, set up from its open side")


def _roomy(line: list[tuple[int, Bore]]) -> None:
    """Raise `AtError` where a blind bore is not the last, or more room is free than there is to the next bore."""
    places = places_of([bore for _, bore in line])
    if places is None:
        return
    at = [(*extent_of(bore, place), number, bore) for (number, bore), place in zip(line, places, strict=True)]
    at.sort(key=lambda one: one[:3])
    for (_, end, number, bore), (start, _, after, other) in itertools.pairwise(at):
        if bore.blind:
            cure = (
                "the bar comes from the machine's side: count positions from the other side, or give a line of its own"
            )
            raise AtError(f"bores.{number}.blind", f"bore {other.name} lies beyond a closed end; {cure}")
        gap = max(0.0, start - end)
        for at_bore, side, room, beside in (
            (number, "far", bore.clear_room.far, other),
            (after, "machine", other.clear_room.machine, bore),
        ):
            if room is not None and room > gap * (1 + SLACK):
                said = f"{in_mm(room)} is more than the {in_mm(gap)} to bore {beside.name}"
                raise AtError(
                    f"bores.{at_bore}.clear_room.{side}", f"{said}; give what is free, or check the positions"
                )
