"""Where bores lie among an arm's points: axis, face, 12 o'clock; one direction for the bores of a line."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from estimator.errors import AtError, PointsError
from estimator.geometry.cylinders import least_squares_cylinder
from estimator.geometry.frame import Array, Frame, frame_of
from estimator.scan.unworn import unworn_axis

__all__ = ["Found", "Placed", "Wanted", "placed_bores"]

STEEP = 0.9  # an axis this near to an arm's z (cosine) takes y for 12 o'clock
MOST_FITTED = 20_000  # points that a fit looks at; more change it by less than the arm's own error
NOT_TOLD = (
    "axis of the worn hole by least squares, because the first axis cannot be told from the wall: wear on one side "
    "would count from the worn hole's middle; say where it went by --worn-side"
)


class Found(NamedTuple):
    """One bore's points, length and nominal diameter [m], and the line it shares with others (empty for none)."""

    points: Array
    length: float
    nominal_diameter: float
    line: str


class Wanted(NamedTuple):
    """What was said about the places, in the arm's axes.

    `axis`: "unworn" for the first axis where it can be told, "worn" for the worn hole's; `up`: direction of 12 o'clock,
    the arm's z if not said, or its y where the axis is near z; `from_side`: "-" where the machine stands at the end of
    the smaller coordinate along the axis, "+" at the larger one, else at the end nearer to the arm's origin;
    `worn_side`: direction the wear went, where that is known.
    """

    axis: str = "unworn"
    up: Array | None = None
    from_side: str = ""
    worn_side: Array | None = None


class Placed(NamedTuple):
    """Frame of a bore, and how its axis was found."""

    frame: Frame
    said: str


class _Axis(NamedTuple):
    """The place on an axis halfway between the first and the last point, its direction, how it was found."""

    middle: Array
    direction: Array
    said: str


def _axis_at(name: str, bore: Found, wanted: Wanted) -> _Axis:
    """Return the axis of a bore, faults with its name."""
    try:
        return _axis_of(bore, wanted)
    except PointsError as error:
        raise AtError(name, f"{error.reason}; {error.cure}") from None


def _axis_of(bore: Found, wanted: Wanted) -> _Axis:
    """Return the axis of one bore."""
    points = bore.points[:: -(-len(bore.points) // MOST_FITTED)]
    fit = least_squares_cylinder(points)
    point, direction, said = fit.point, fit.direction, "axis of the worn hole by least squares"
    if wanted.axis == "unworn":
        first = unworn_axis(points, (point, direction), bore.nominal_diameter, wanted.worn_side)
        said = NOT_TOLD
        if first is not None:
            point, direction = first.point, first.direction
            said = f"axis by the wall that is not worn, {first.share:.0%} of the points"
    along = (bore.points - point) @ direction
    return _Axis(point + direction * (along.min() + along.max()) / 2, direction, said)


def _direction(bores: Sequence[Found], axes: Sequence[_Axis]) -> Array:
    """Return the direction of a line: through the middles of bores that lie apart, else the mean of their own."""
    middles = np.stack([one.middle for one in axes])
    apart = middles - middles.mean(axis=0)
    if np.linalg.norm(apart, axis=1).max() > max(bore.length for bore in bores) / 2:
        through: Array = np.linalg.svd(apart)[2][0]
        return through
    own = np.stack([one.direction * np.copysign(1.0, one.direction @ axes[0].direction) for one in axes])
    mean = own.mean(axis=0)
    return mean / np.linalg.norm(mean)


def _signed(direction: Array, middle: Array, from_side: str) -> Array:
    """Return the direction of growing depth: away from the machine's side, as said or the arm's own."""
    if not from_side:
        return direction if middle @ direction >= 0 else -direction
    positive = direction * np.sign(direction[np.argmax(np.abs(direction))])
    return positive if from_side == "-" else -positive


def placed_bores(bores: Mapping[str, Found], wanted: Wanted) -> dict[str, Placed]:
    """Return the frame of each bore in the arm's own axes.

    Bores of one line get one direction. Depth is counted so that the points lie about the middle of the bore's length.

    Raises
    ------
    ValueError
        If `up` points along an axis.
    AtError
        If the points of a bore fix no cylinder; its path is the bore's name.
    """
    lines: dict[str, list[str]] = {}
    for name, bore in bores.items():
        lines.setdefault(f"line {bore.line}" if bore.line else f"bore {name}", []).append(name)
    placed = {}
    for names in lines.values():
        axes = [_axis_at(name, bores[name], wanted) for name in names]
        along = _direction([bores[name] for name in names], axes) if len(axes) > 1 else axes[0].direction
        along = _signed(along, np.mean([one.middle for one in axes], axis=0), wanted.from_side)
        up = wanted.up if wanted.up is not None else np.eye(3)[1 if abs(along[2]) > STEEP else 2]
        for name, one in zip(names, axes, strict=True):
            face = one.middle - along * bores[name].length / 2
            placed[name] = Placed(frame_of(face, along, up), one.said)
    return {name: placed[name] for name in bores}
