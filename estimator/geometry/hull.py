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
    spots = list(zip(order.tolist(), x[order].tolist(), y[order].tolist(), strict=True))
    return np.array(_chain(spots)[:-1] + _chain(spots[::-1])[:-1] or [order[0]], dtype=np.intp)


def _chain(spots: list[tuple[int, float, float]]) -> list[int]:
    """Return one side of the hull of points in order."""
    side: list[tuple[int, float, float]] = []
    for spot in spots:
        while len(side) > 1 and _turn(side[-2], side[-1], spot) <= 0:
            side.pop()
        side.append(spot)
    return [number for number, _, _ in side]


def _turn(one: tuple[int, float, float], two: tuple[int, float, float], three: tuple[int, float, float]) -> float:
    return (two[1] - one[1]) * (three[2] - one[2]) - (two[2] - one[2]) * (three[1] - one[1])
