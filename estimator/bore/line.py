"""Bores that share a pin: from their readings to the one axis they are all bored about, and what each choice costs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.bore.axis import AxisChoice, CentreDistance, Datum, Ring, least_deposit_axis, plain_axes
from estimator.bore.axis_line import farthest_point
from estimator.bore.survey import Placed, Survey
from estimator.either import whole_up
from estimator.formula import formula, is_recording, leaf
from estimator.geometry.frame import frame_of, in_bore
from estimator.geometry.solve import sines
from estimator.job.job import Bore, Job
from estimator.job.places import is_sought
from estimator.job.readings import Frame
from estimator.tables.messages import Message, about, say
from estimator.units import factor

__all__ = ["LineAxis", "line_axes"]

NOTICED = 1e-3  # share of the radius that a shift of the axis is worth a word
ROUND = 72  # points that stand for a circle known by its diameter only


@dataclass(frozen=True)
class LineAxis:
    """One line: its bores by number, the axis chosen, the plain ones beside it. [SI]"""

    name: str
    numbers: tuple[int, ...]
    rings: tuple[Ring, ...]
    datums: tuple[Datum, ...]
    chosen: AxisChoice
    plain: Mapping[str, AxisChoice]
    worn: tuple[tuple[float, float], ...]
    zeros: tuple[tuple[float, float], ...]

    def barred(self) -> Message:
        """Return which rules forbid an axis, and by how much they would have to give."""
        rules = self.chosen.binding or (say("rules_together"),)
        return say("axis_barred", rules=rules, by=self.chosen.loosening)

    def doubts(self) -> list[Message]:
        """Return what to ask before the axis is moved: whether the pin may lie there, where no rule says so."""
        free = [ring.name for ring in self.rings if ring.position_tolerance is None]
        if not free or not max(self.chosen.shifts) > NOTICED * max(r.least_radius for r in self.rings):
            return []
        said = say("axis_moved", line=self.name, far=max(self.chosen.shifts), bores=tuple(free))
        return [about(f"lines.{self.name}", said)]

    def placed(self) -> dict[int, Placed]:
        """Return what the axis means to each bore, by its number in the job."""
        axis = self.chosen
        found = {}
        parts = zip(self.numbers, self.rings, axis.radii, axis.shifts, self.zeros, strict=True)
        for number, ring, radius, shift, zero in parts:
            farthest = farthest_point(ring, axis.x0, axis.y0, axis.sx, axis.sy)
            middle = ring.start + ring.length / 2
            beside = (axis.x0 + axis.sx * middle - zero[0], axis.y0 + axis.sy * middle - zero[1])
            moved = tuple(
                (axis.x0 + axis.sx * z - ring.original[0], axis.y0 + axis.sy * z - ring.original[1])
                for z in (ring.start, ring.start + ring.length)
            )
            found[number] = Placed(rounded_up(radius), farthest, shift, self.name, beside, moved)
        return found


def line_axes(job: Job, surveys: Sequence[Survey], least_wall: float) -> list[LineAxis]:
    """Return the axis of every line of which it is said where its bores lie from one another.

    A bore that has been cut was cut about that axis: it follows from the readings, which the cut does not change.
    """
    names = dict.fromkeys(bore.line for bore in job.bores if bore.line)
    found = []
    for name in names:
        numbers = tuple(n for n, bore in enumerate(job.bores) if bore.line == name)
        bores = [job.bores[n] for n in numbers]
        said = is_sought(bores, name in job.lines)
        if name and said:
            found.append(_line(name, numbers, [surveys[n] for n in numbers], job, least_wall))
    return found


def _line(name: str, numbers: tuple[int, ...], surveys: Sequence[Survey], job: Job, least_wall: float) -> LineAxis:
    base = next((one.bore.arm_frame for one in surveys if one.bore.arm_frame is not None), None)
    rings = tuple(_ring(one, least_wall, base) for one in surveys)
    line = job.lines.get(name)
    datums = tuple(
        Datum(one.name, one.position, one.length, one.offset.x, one.offset.y, one.tolerance)
        for one in (line.datums if line else ())
    )
    keep = None if line is None or line.distance is None else line.distance
    distance = None if keep is None else CentreDistance(keep.x, keep.y, keep.nominal, keep.tolerance)
    chosen, plain = least_deposit_axis(rings, datums, distance), plain_axes(rings, datums, distance)
    worn = tuple((float(ring.x.mean()), float(ring.y.mean())) for ring in rings)
    zeros = tuple(_zero(one.bore, base) for one in surveys)
    return LineAxis(
        name=name, numbers=numbers, rings=rings, datums=datums, chosen=chosen, plain=plain, worn=worn, zeros=zeros
    )


def _zero(bore: Bore, base: Frame | None) -> tuple[float, float]:
    """Return where the readings' zero lies across the line at mid-length. [m]"""
    across, up = _offsets(bore, np.array([bore.length / 2]))
    _, right, above = _start(bore, base)
    return float(across[0]) + right, float(up[0]) + above


@formula("radius", "a clean-up bore is set to whole micrometres, never below what cleans up", "computed", unit="m")
def to_micrometre(radius: float, micrometre: float) -> float:
    """Radius rounded up to whole micrometres. [m]"""
    return micrometre * float(whole_up(radius / micrometre))


def rounded_up(radius: float) -> float:
    """Return a clean-up radius in whole micrometres. [m]"""
    return to_micrometre(radius, leaf(factor("mm") / 1000, "fact", "micrometre", "what a bar is set to", unit="m"))


def _offsets(bore: Bore, depth: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return how far the readings' zero lies from the wire at some depths. [m]"""
    if bore.offset is None:
        return np.zeros_like(depth), np.zeros_like(depth)
    if not bore.offset.depth:
        return np.full_like(depth, bore.offset.x[0]), np.full_like(depth, bore.offset.y[0])
    order = np.argsort(bore.offset.depth)
    at = np.array(bore.offset.depth)[order]
    x, y = (np.interp(depth, at, np.array(one)[order]) for one in (bore.offset.x, bore.offset.y))
    return x, y


def _start(bore: Bore, base: Frame | None) -> tuple[float, float, float]:
    """Return where a bore's face begins along the line, and its zero across: from its frame, or from its position."""
    frame = bore.arm_frame
    if frame is not None and base is not None:
        place = frame_of(base.origin, base.along, base.up)
        x, y, z = in_bore(np.array([frame.origin]), place)[0].tolist()
        return _known(z, "position", f"from the frame of bore {bore.name}"), x, y
    return _known(bore.position or 0.0, "position", "as typed in the job document"), 0.0, 0.0


def _reach(one: Survey) -> np.ndarray:
    """Return how far the worn wall may lie from the readings' zero at each station of diameters. [m]

    A diameter does not say where its hole lies: all wear may be on one side, unless the offset is the hole's own.
    """
    bore, largest = one.bore, one.profile.diameters.max(axis=1, keepdims=True)
    if bore.offset is not None and bore.offset.of == "worn hole":
        half: np.ndarray = largest / 2
        return half
    nominal = bore.nominal_diameter
    return nominal / 2 + (largest - nominal) * float(one.share_of_size)


def _ring(one: Survey, least_wall: float, base: Frame | None) -> Ring:
    """Return the worn surface of a bore among the line, its end stations carried square to the faces. [m]"""
    bore, profile, sizes = one.bore, one.profile, one.sizes
    radii, clock = profile.deepest, profile.clock
    if not profile.radial:
        clock = np.linspace(0.0, 360.0, ROUND, endpoint=False)
        radii = np.repeat(_reach(one), ROUND, axis=1)
    depth = np.concatenate(([0.0], profile.depth, [bore.length]))
    radii = np.concatenate((radii[:1], radii, radii[-1:]))
    across, up = _offsets(bore, depth)
    (sine, cosine), (start, right, above) = sines(clock), _start(bore, base)
    across, up = across + right, up + above
    x, y = radii * sine + across[:, None], radii * cosine + up[:, None]
    z = np.broadcast_to((start + depth)[:, None], x.shape)
    known = bore.outside_diameter is not None and bore.walls is None  # walls round the clock are held against the cut
    most = bore.outside_diameter / 2 - least_wall if known and bore.outside_diameter else None
    return Ring(
        name=bore.name,
        start=start,
        length=bore.length,
        x=x.ravel(),
        y=y.ravel(),
        z=z.ravel(),
        least_radius=_known(one.least_cleanup / 2, "least_radius", "half the least clean-up bore"),
        weld_radius=_known(sizes.weld / 2, "weld_radius", "half the weld bore"),
        allowance=one.allowance,
        original=(
            _known(bore.original.x + right, "original_x", "original centre from the wire"),
            _known(bore.original.y + above, "original_y", "original centre from the wire"),
        ),
        position_tolerance=bore.position_tolerance,
        most_radius=most,
    )


def _known(value: float, name: str, text: str) -> float:
    return leaf(float(value), "given", name, text, unit="m") if is_recording() else value
