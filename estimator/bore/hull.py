"""Which surface points can be farthest from any axis: the corners of each section's convex hull."""

import numpy as np
import numpy.typing as npt

__all__ = ["outermost"]

Array = npt.NDArray[np.float64]
FEW = 200  # points up to which sorting out costs more than it saves


def outermost(x: Array, y: Array, z: Array) -> npt.NDArray[np.intp]:
    """Return the numbers of the points that can be farthest from an axis.

    The distance to a line is convex over a plane z, so the farthest point of a section is a corner of its hull
    (Andrew's monotone chain, 1979). A few points are all kept.
    """
    if len(z) <= FEW:
        return np.arange(len(z))
    kept = [_hull(np.flatnonzero(z == place), x, y) for place in np.unique(z)]
    return np.concatenate(kept)


def _hull(numbers: npt.NDArray[np.intp], x: Array, y: Array) -> npt.NDArray[np.intp]:
    order = numbers[np.lexsort((y[numbers], x[numbers]))]
    return np.array(_chain(order, x, y)[:-1] + _chain(order[::-1], x, y)[:-1], dtype=np.intp)


def _chain(order: npt.NDArray[np.intp], x: Array, y: Array) -> list[int]:
    """Return one side of the hull of points in order."""
    side: list[int] = []
    for number in order.tolist():
        while len(side) > 1 and _turn(side[-2], side[-1], number, x, y) <= 0:
            side.pop()
        side.append(number)
    return side


def _turn(one: int, two: int, three: int, x: Array, y: Array) -> float:
    return float((x[two] - x[one]) * (y[three] - y[one]) - (y[two] - y[one]) * (x[three] - x[one]))
