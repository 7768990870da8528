"""Where bores lie among an arm's points: axis by least squares, face, 12 o'clock; one direction for bores of a line."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from estimator.bore.frame import Array, Frame, frame_of
from estimator.scan.axis import Cylinder, least_squares_cylinder

__all__ = ["Found", "placed_bores"]

STEEP = 0.9  # an axis this near to an arm's z (cosine) takes y for 12 o'clock
MOST_FITTED = 20_000  # points that a fit looks at; more change it by less than the arm's own error


class Found(NamedTuple):
    """One bore's points, its length [m] and the line it shares with others (empty for none)."""

    points: Array
    length: float
    line: str


def _some(points: Array) -> Array:
    return points[:: -(-len(points) // MOST_FITTED)]


def _middle(points: Array, one: Cylinder) -> Array:
    """Return the place on the axis halfway between the first and the last of the points."""
    along = (points - one.point) @ one.direction
    middle: Array = one.point + one.direction * (along.min() + along.max()) / 2
    return middle


def _direction(bores: Sequence[Found], fits: Sequence[Cylinder]) -> Array:
    """Return the direction of the line's axis: through the middles of bores that lie apart, else their own."""
    middles = np.stack([_middle(bore.points, one) for bore, one in zip(bores, fits, strict=True)])
    apart = middles - middles.mean(axis=0)
    own = np.stack([one.direction * np.sign(one.direction @ fits[0].direction) for one in fits])
    if np.linalg.norm(apart, axis=1).max() > max(bore.length for bore in bores) / 2:
        direction: Array = np.linalg.svd(apart)[2][0]
        return direction
    direction = own.mean(axis=0)
    return direction / np.linalg.norm(direction)


def _signed(direction: Array, middles: Array, from_side: str) -> Array:
    """Return the direction of growing depth: away from the machine's side, as said or the arm's own."""
    if not from_side:
        return direction if middles.mean(axis=0) @ direction >= 0 else -direction
    positive = direction * np.sign(direction[np.argmax(np.abs(direction))])
    return positive if from_side == "-" else -positive


def placed_bores(bores: Mapping[str, Found], up: Array | None, from_side: str = "") -> dict[str, Frame]:
    """Return the frame of each bore in the arm's own axes.

    The axis is that of the cylinder of least squares through the worn wall. Depth is counted so that the points lie
    about the middle of the bore's length.

    Parameters
    ----------
    bores
        By name; those of one line get one direction.
    up
        Direction of 12 o'clock; the arm's z if not said, or its y where the axis is near z.
    from_side
        "-" where the machine stands at the end with the smaller coordinate along the axis, "+" at the larger one; else
        at the end nearer to the arm's origin.

    Raises
    ------
    ValueError
        If `up` points along an axis.
    """
    lines: dict[str, list[str]] = {}
    for name, bore in bores.items():
        lines.setdefault(f"line {bore.line}" if bore.line else f"bore {name}", []).append(name)
    frames = {}
    for names in lines.values():
        here = [bores[name]._replace(points=_some(bores[name].points)) for name in names]
        fits = [least_squares_cylinder(bore.points) for bore in here]
        along = _direction(here, fits) if len(here) > 1 else fits[0].direction
        fits = [least_squares_cylinder(bore.points, along) for bore in here]
        along = _signed(along, np.stack([_middle(b.points, f) for b, f in zip(here, fits, strict=True)]), from_side)
        top = up if up is not None else np.eye(3)[1 if abs(along[2]) > STEEP else 2]
        for name, one in zip(names, fits, strict=True):
            bore = bores[name]
            middle = _middle(bore.points, Cylinder(one.point, along, one.radius))
            frames[name] = frame_of(middle - along * bore.length / 2, along, top)
    return {name: frames[name] for name in bores}
