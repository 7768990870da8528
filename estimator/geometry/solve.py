"""Sums, small systems and angles of points, to the same last bit on every processor.

A library picks its own order of sums and its own sine by processor, and a choice between two places that are as good
then hangs on the last bit. Here each step is one of those that IEEE 754 rounds alike everywhere: + - * / and the root.
"""

import math

import numpy as np
import numpy.typing as npt

__all__ = [
    "away",
    "cross",
    "dot",
    "first_most",
    "gram",
    "norm",
    "principal",
    "product",
    "sines",
    "solved",
    "times",
    "turn_of",
]

Array = npt.NDArray[np.float64]

TURN = 360.0  # degrees
DEGREE = math.pi / 180
QUARTER = TURN / 4
SINES = tuple((-1) ** n / math.factorial(2 * n + 1) for n in range(9))  # up to an eighth of a turn: the next is 1e-19
COSINES = tuple((-1) ** n / math.factorial(2 * n) for n in range(10))
PARTS = 8  # of a slope up to one, each with its angle: what is left is under a sixteenth
ANGLES = np.array(
    [
        0.0,
        7.125016348901798,
        14.036243467926479,
        20.556045219583464,
        26.56505117707799,
        32.005383208083494,
        36.86989764584402,
        41.18592516570965,
        45.0,
    ]
)  # degrees whose tangents are 0, 1/8 ... 1
TANGENTS = tuple((-1) ** n / (2 * n + 1) for n in range(7))
NARROW = 7  # columns: rows no wider than that are summed one by one
SWEEPS = 12  # of Jacobi's rotations over three pairs; it needs 5
NONE = 1e-30  # of the matrix: no rotation is due


def dot(one: Array, other: Array) -> float:
    """Return the sum of the products of two rows."""
    return float((one * other).sum())


def times(rows: Array, vector: Array) -> Array:
    """Return each row's sum of products with a vector."""
    if not 0 < rows.shape[-1] <= NARROW:
        found: Array = (rows * vector).sum(axis=-1)
        return found
    found = rows[..., 0] * vector[0]
    for column in range(1, rows.shape[-1]):  # a narrow row is summed one by one in any case: here all rows at once
        found += rows[..., column] * vector[column]
    return found


def product(one: Array, other: Array) -> Array:
    """Return the product of two matrices, n x k and k x m."""
    found = np.zeros((len(one), other.shape[1]))
    for k in range(len(other)):
        found += one[:, k, None] * other[k]
    return found


def gram(rows: Array, weights: Array | None = None) -> Array:
    """Return rows' * weights * rows of a tall matrix."""
    rows = np.ascontiguousarray(rows)  # so that they are added row after row
    heavy, (count, wide) = rows if weights is None else rows * weights[:, None], rows.shape
    each = (rows[:, :, None] * heavy[:, None, :]).reshape(count, wide * wide)
    return np.asarray(each.sum(axis=0)).reshape(wide, wide)


def away(x: Array, y: Array) -> Array:
    """Return how far places lie from zero."""
    found: Array = np.sqrt(x * x + y * y)
    return found


def norm(vector: Array) -> float:
    """Return the length of a vector."""
    return math.sqrt(dot(vector, vector))


def cross(one: Array, other: Array) -> Array:
    """Return the vector square to two."""
    a, b, c = one
    d, e, f = other
    return np.array([b * f - c * e, c * d - a * f, a * e - b * d])


def first_most(values: Array, near: float) -> int:
    """Return the first of those that are the largest, or as large but for rounding."""
    return int(np.flatnonzero(values >= values.max() - near)[0])


def solved(matrix: Array, right: Array) -> Array | None:
    """Return what solves a small system, right side n or n x m; None where it has no one answer (Gauss, pivots).

    On lists: eight unknowns are too few for arrays to pay.
    """
    count = len(matrix)
    rows = [one + two for one, two in zip(matrix.tolist(), right.reshape(count, -1).tolist(), strict=True)]
    for k in range(count):
        pivot = max(range(k, count), key=lambda n: abs(rows[n][k]))
        rows[k], rows[pivot] = rows[pivot], rows[k]
        top = rows[k]
        head = top[k]
        if head == 0 or not math.isfinite(head):
            return None
        for n in range(k + 1, count):
            by = rows[n][k] / head
            rows[n] = [one - by * two for one, two in zip(rows[n], top, strict=True)]
    found = [row[count:] for row in rows]
    for k in range(count - 1, -1, -1):
        found[k] = [one / rows[k][k] for one in found[k]]
        for n in range(k):
            found[n] = [one - rows[n][k] * two for one, two in zip(found[n], found[k], strict=True)]
    return np.array(found).reshape(right.shape)


def principal(matrix: Array) -> tuple[Array, Array]:
    """Return the three values of a symmetric 3 x 3 matrix, growing, and their directions as rows (Jacobi)."""
    rest, turn, whole = matrix.copy(), np.eye(3), float(np.abs(matrix).max())
    for _ in range(SWEEPS):
        for p, q in ((0, 1), (0, 2), (1, 2)):
            if abs(rest[p, q]) <= NONE * whole:
                continue
            half = (rest[q, q] - rest[p, p]) / (2 * rest[p, q])
            tangent = (1.0 if half >= 0 else -1.0) / (abs(half) + math.sqrt(half * half + 1))
            cosine = 1 / math.sqrt(tangent * tangent + 1)
            rotation = np.eye(3)
            rotation[p, p] = rotation[q, q] = cosine
            rotation[p, q], rotation[q, p] = tangent * cosine, -tangent * cosine
            rest = product(product(rotation.T, rest), rotation)
            rest[p, q] = rest[q, p] = 0.0
            turn = product(turn, rotation)
    values = rest.diagonal()
    order = np.argsort(values, kind="stable")
    return values[order], turn.T[order]


# ---------------------------------------------------------------- angles


def sines(degrees: npt.ArrayLike) -> tuple[Array, Array]:
    """Return sine and cosine of angles. [deg]"""
    angle = np.asarray(degrees, dtype=float) % TURN
    quarter = np.rint(angle / QUARTER)
    part = (angle - quarter * QUARTER) * DEGREE
    square = part * part
    sine, cosine = part * _series(SINES, square), _series(COSINES, square)
    way = quarter.astype(np.int64) % 4
    return np.choose(way, (sine, cosine, -sine, -cosine)), np.choose(way, (cosine, -sine, -cosine, sine))


def turn_of(x: npt.ArrayLike, y: npt.ArrayLike) -> Array:
    """Return the clock of directions: 0 along y, 90 along x, below 360. [deg]"""
    across, up = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    low, high = np.minimum(np.abs(across), np.abs(up)), np.maximum(np.abs(across), np.abs(up))
    slope = low / np.where(high > 0, high, 1.0)
    part = np.rint(slope * PARTS)
    left = (slope - part / PARTS) / (1 + slope * part / PARTS)
    angle = ANGLES[part.astype(np.int64)] + left * _series(TANGENTS, left * left) / DEGREE
    angle = np.where(np.abs(across) > np.abs(up), QUARTER - angle, angle)
    angle = np.where(up < 0, TURN / 2 - angle, angle)
    angle = np.where(across < 0, TURN - angle, angle)
    found: Array = np.where(angle >= TURN, 0.0, angle)
    return found


def _series(parts: tuple[float, ...], square: Array) -> Array:
    found = np.full_like(square, parts[-1])
    for one in parts[-2::-1]:
        found = found * square + one
    return found
