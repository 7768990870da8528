"""Whether the lines of a job hold together: places, offsets and rules of the bores that share an axis."""

import itertools
from collections.abc import Mapping, Sequence

from estimator.errors import AtError, nearest
from estimator.job_bore import Bore
from estimator.job_line import Line

__all__ = ["is_sought", "lines_hold"]


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
    typed = [(bore.position, bore.length, number) for number, bore in line if bore.arm_frame is None]
    placed = sorted((place, place + length, number) for place, length, number in typed if place is not None)
    for (_, end, _), (start, _, number) in itertools.pairwise(placed):
        if start < end:
            raise AtError(f"bores.{number}.position", "overlaps the bore before it on the line")
