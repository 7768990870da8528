"""Whether what a bore has besides a plain cylinder, and its place on a line, fit the bore; faults with their cure."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from estimator.errors import AtError
from estimator.job.features import Chamfer, Face, Keyway, Split

if TYPE_CHECKING:  # the models import this file
    from estimator.job.bore import Bore

__all__ = ["features_fit", "on_a_line"]

MOST_POCKET, MOST_HOLE, MOST_CHAMFER = 2 / 3, 1 / 3, 1 / 4  # of the clock, of the diameter, of the length


def on_a_line(bore: "Bore") -> None:
    """Raise `AtError` where something is said of a bore's place on a line that it is not on."""
    framed = bore.arm_frame is not None
    for name in ("offset", "position_tolerance"):
        if getattr(bore, name) is not None and (bore.line is None or (bore.position is None and not framed)):
            raise AtError(name, "is from the wire of a line; say the line and the bore's position along it")
    if bore.original.model_fields_set and bore.line is None:
        raise AtError("original", "is from the wire of a line; say the line, or leave it out")
    for number, depth in enumerate(bore.offset.depth if bore.offset else ()):
        if depth > bore.length:
            raise AtError(f"offset.depth.{number}", "lies beyond the bore's length")
    if bore.blind:
        _closed(bore)


def _closed(bore: "Bore") -> None:
    """Raise `AtError` where something is said of the far side of a bore that is closed there."""
    if bore.clear_room.far is not None:
        raise AtError("clear_room.far", "a blind bore has no room on its far side; leave it out, or say blind: false")
    if bore.options.ends == "run-off rings":
        raise AtError("options.ends", 'a closed end takes no ring; write "run over", or say blind: false')
    for name in ("faces", "steps", "chamfers"):
        for number, one in enumerate(getattr(bore, name)):
            if one.side == "far":
                cure = 'a blind bore is closed there; write "side": "machine", or say blind: false'
                raise AtError(f"{name}.{number}.side", cure)


def features_fit(bore: "Bore") -> None:
    """Raise `AtError` where a feature does not fit the bore it belongs to."""
    if bore.sector is not None and bore.pocket is not None:
        raise AtError("pocket", "a bore is built up in a sector, or after a pocket is filled; keep one of them")
    if bore.pocket is not None and (bore.readings is None or bore.readings.kind not in ("radius", "points")):
        raise AtError("pocket", "needs radii or points: a diameter does not say on which side the wear lies")
    if bore.pocket is not None and bore.pocket.share > MOST_POCKET:
        raise AtError("pocket", "takes more than two thirds of the clock: build the bore up all round instead")
    for number, face in enumerate(bore.faces):
        if face.outer_diameter <= bore.nominal_diameter:
            raise AtError(f"faces.{number}.outer_diameter", "must be larger than nominal_diameter")
    _sides("faces", bore.faces)
    _sides("chamfers", bore.chamfers)
    _steps_fit(bore)
    _grooves_fit(bore)
    _gaps_fit(bore)
    for number, one in enumerate(bore.chamfers):
        if one.width > MOST_CHAMFER * bore.length:
            raise AtError(f"chamfers.{number}.width", "is more than a quarter of the bore's length")


def _sides(name: str, items: Sequence[Face | Chamfer]) -> None:
    """Raise `AtError` where two of a kind lie on one side."""
    sides = [item.side for item in items]
    if len(set(sides)) < len(sides):
        said = f'two {name} lie on one side; write "side": "far" for the one opposite the machine'
        raise AtError(f"{name}.1.side", said)


def _steps_fit(bore: "Bore") -> None:
    sides = [step.side for step in bore.steps]
    for number, step in enumerate(bore.steps):
        if step.nominal_diameter <= bore.nominal_diameter:
            raise AtError(f"steps.{number}.nominal_diameter", "must be larger than the bore's: a step opens outwards")
        if sides.index(step.side) < number:
            raise AtError(f"steps.{number}.side", 'a second step on this side; write "side": "far" for the other one')
        if bore.outside_diameter is not None and step.nominal_diameter >= bore.outside_diameter:
            raise AtError(f"steps.{number}.nominal_diameter", "is as wide as the boss: check outside_diameter")


def _grooves_fit(bore: "Bore") -> None:
    taken: list[tuple[float, float]] = []
    for number, groove in enumerate(bore.grooves):
        at, end = groove.at, groove.at + groove.width
        if groove.diameter <= 1.01 * bore.nominal_diameter:
            said = "is the diameter at the groove's bottom: above nominal_diameter"
            raise AtError(f"grooves.{number}.diameter", said)
        if bore.outside_diameter is not None and groove.diameter >= bore.outside_diameter:
            raise AtError(f"grooves.{number}.diameter", "goes through the boss: check outside_diameter")
        if end > bore.length:
            raise AtError(f"grooves.{number}.at", "lies beyond the bore's length; it counts from the machine's face")
        if any(at < last and first < end for first, last in taken):
            raise AtError(f"grooves.{number}.at", "overlaps another groove")
        taken.append((at, end))


def _gaps_fit(bore: "Bore") -> None:
    """Raise `AtError` where a keyway, split or grease hole is too large for the bore or lies outside it."""
    wall = None if bore.outside_diameter is None else (bore.outside_diameter - bore.nominal_diameter) / 2
    both: dict[str, tuple[Keyway | Split, ...]] = {"keyways": bore.keyways, "splits": bore.splits}
    for name, gaps in both.items():
        for number, gap in enumerate(gaps):
            if gap.width > bore.nominal_diameter / 2:
                raise AtError(f"{name}.{number}.width", "is more than half of nominal_diameter")
    for number, keyway in enumerate(bore.keyways):
        if wall is not None and keyway.depth >= wall:
            raise AtError(f"keyways.{number}.depth", "goes through the wall of the boss")
    for number, hole in enumerate(bore.grease_holes):
        if hole.at > bore.length:
            raise AtError(f"grease_holes.{number}.at", "lies beyond the bore's length")
        if hole.diameter > MOST_HOLE * bore.nominal_diameter:
            raise AtError(f"grease_holes.{number}.diameter", "is more than a third of nominal_diameter")
