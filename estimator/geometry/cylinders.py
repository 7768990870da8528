"""The cylinder of least squares through measured points.

Terms follow ISO 12180-1:2011 (from memory). Points are n x 3; lengths are in whatever unit they have.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.errors import PointsError
from estimator.geometry.solve import cross, dot, first_most, gram, norm, principal, product, sines, solved, times

__all__ = ["Cylinder", "least_squares_cylinder"]

Array = npt.NDArray[np.float64]

STARTS = 24  # directions tried, spread over a half sphere, beside the points' own three
THIN = 400  # points on which directions are tried
BEST = 4  # of the directions tried, those followed to the end
LAST_STEP = 1e-13  # in units of the points' size: below it a step is rounding
FLAT = 1e-10  # distance from one plane, in units of the points' size, below which they lie in one plane
FAR = 1e3  # a radius of that many sizes is a plane
NARROW = 1e-6  # a radius of that share of the size is a plane or a line seen end on
ALIKE = 1e-9  # two distances this near are one, in units of the size
GOLDEN = 180 * (3 - math.sqrt(5))  # the golden angle spreads directions evenly [deg]


@dataclass(frozen=True, eq=False)
class Cylinder:
    """A cylinder: the point of its axis nearest to the points' mean, its unit direction, its radius.

    `residual_low`, `residual_high`: least and greatest distance of a point from the surface, outward positive.
    `deciding`: index of the first point that lies farthest from it.
    """

    point: Array
    direction: Array
    radius: float
    residual_low: float
    residual_high: float
    deciding: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class _Cloud:
    """Points about their mean in units of the farthest."""

    points: Array
    origin: Array
    size: float


def _cloud(points: npt.ArrayLike, shape: str) -> _Cloud:
    given = np.asarray(points, dtype=float)
    if given.ndim != 2 or given.shape[1] != 3:  # noqa: PLR2004 - a table of x, y, z
        raise PointsError(shape, f"the points have shape {given.shape}", "give rows of x, y, z")
    if len(given) < 5:  # noqa: PLR2004 - an axis has four numbers, a radius is the fifth
        raise PointsError(shape, f"{len(given)} points given", "give at least 5")
    if not np.isfinite(given).all():
        raise PointsError(shape, "a coordinate is not a number", "leave that point out")
    origin = given.mean(axis=0)
    moved = given - origin
    size = math.sqrt(float((moved * moved).sum(axis=1).max()))
    if size <= 1e-12 * float(np.abs(origin).max()):
        raise PointsError(shape, "all points lie in one place", "give points round the bore at two depths or more")
    moved = moved / size
    normal = principal(gram(moved))[1][0]
    if float(np.abs(times(moved, normal)).max()) <= FLAT:
        raise PointsError(shape, "all points lie in one plane", "give points at two depths or more")
    return _Cloud(moved, origin, size)


def _unit(direction: npt.ArrayLike, shape: str) -> Array:
    given = np.asarray(direction, dtype=float)
    length = norm(given) if given.shape == (3,) else 0.0
    if not (math.isfinite(length) and length > 0):
        raise PointsError(shape, "the direction is no direction", "give three numbers, not all 0")
    unit: Array = given / length
    return unit


def _frame(direction: Array) -> Array:
    """Return rows x, y, z of a frame whose z is the direction."""
    least = np.eye(3)[int(np.argmin(np.abs(direction)))]
    x = cross(least, direction)
    x /= norm(x)
    return np.stack((x, cross(direction, x), direction))


def _perpendicular(points: Array, foot: Array, direction: Array) -> Array:
    """Return the distances of the points from an axis."""
    apart = points - foot
    apart = apart - times(apart, direction)[:, None] * direction
    distances: Array = np.sqrt((apart * apart).sum(axis=1))
    return distances


def _axis(at: Array, frame: Array) -> tuple[Array, Array]:
    """Return foot and direction of the axis x = at[0] + at[2]·z, y = at[1] + at[3]·z of a frame."""
    direction = at[2] * frame[0] + at[3] * frame[1] + frame[2]
    direction /= norm(direction)
    foot = at[0] * frame[0] + at[1] * frame[1]
    return foot - dot(foot, direction) * direction, direction


# ---------------------------------------------------------------- least squares


def least_squares_cylinder(points: npt.ArrayLike, direction: npt.ArrayLike | None = None) -> Cylinder:
    """Return the cylinder with the least sum of squared distances of the points from its surface.

    Parameters
    ----------
    points
        At least 5, not in one plane, n x 3. [length]
    direction
        About where the axis points; without it, directions all round are tried and the best fit is kept. [-]

    Raises
    ------
    PointsError
        If the points fix no cylinder.

    Notes
    -----
    Gauss and Newton's steps on the four numbers of the axis with the radius as mean distance [1]_.

    References
    ----------
    .. [1] A. B. Forbes, *Least-squares best-fit geometric elements*, NPL Report DITC 140/89, 1989 (from memory).
    """
    shape = "least squares cylinder"
    cloud = _cloud(points, shape)
    hint = None if direction is None else _unit(direction, shape)
    foot, axis = _best_start(cloud.points, shape) if hint is None else _fitted(cloud.points, hint)[1:]
    _, foot, axis = _fitted(cloud.points, axis, foot)
    distances = _perpendicular(cloud.points, foot, axis)
    radius = float(distances.mean())
    if not radius < FAR:
        raise PointsError(shape, "the points lie nearer to a plane than to a cylinder", "measure all round")
    if radius <= NARROW:
        raise PointsError(shape, "the points fix no axis", "give points round the bore at two depths or more")
    farthest = first_most(np.abs(distances - radius), ALIKE)
    point, axis, size = cloud.origin + cloud.size * foot, _pointed(axis, hint), cloud.size
    low, high = float(distances.min()) - radius, float(distances.max()) - radius
    return Cylinder(point, axis, radius * size, low * size, high * size, (farthest,))


def _pointed(axis: Array, hint: Array | None) -> Array:
    """Return the axis along the hint, or with its largest part positive."""
    along = dot(axis, hint) if hint is not None else float(axis[first_most(np.abs(axis), ALIKE)])
    return axis if along >= 0 else -axis


def _best_start(points: Array, shape: str) -> tuple[Array, Array]:
    few = points[:: max(1, len(points) // THIN)]
    sine, cosine = sines(np.arange(STARTS) * GOLDEN)
    up = (np.arange(STARTS) + 0.5) / STARTS
    flat = np.sqrt(1 - up * up)
    spread = np.stack((flat * cosine, flat * sine, up), 1)
    directions = np.concatenate((principal(gram(few))[1], spread))
    rough = sorted((_fitted(few, direction, rounds=3) for direction in directions), key=lambda fit: fit[0])
    fits = [_fitted(few, axis, foot) for _, foot, axis in rough[:BEST]]
    best = min(fits, key=lambda fit: fit[0])
    if not math.isfinite(best[0]):
        raise PointsError(shape, "the points fix no axis", "give points round the bore at two depths or more")
    return best[1], best[2]


def _fitted(points: Array, direction: Array, foot: Array | None = None, rounds: int = 60) -> tuple[float, Array, Array]:
    """Return the mean square distance from the fitted surface, and foot and direction of its axis."""
    frame = _frame(direction)
    x, y, _ = turned = product(frame, points.T)
    at = np.zeros(4)
    at[:2] = _algebraic(x, y) if foot is None else times(frame[:2], foot)
    error, slopes = _errors(turned, at)
    cost, damping = dot(error, error), 0.0
    for _ in range(rounds):
        square = gram(slopes.T)
        step = solved(square + damping * np.diag(square.diagonal()), times(slopes, error))
        if step is None:
            return math.inf, *_axis(at, frame)
        trial_error, trial_slopes = _errors(turned, at - step)
        trial = dot(trial_error, trial_error)
        last = float(np.abs(step).max()) < LAST_STEP
        if trial <= cost or last:
            at, error, slopes, cost, damping = at - step, trial_error, trial_slopes, trial, damping / 10
        elif damping > 1e6:  # noqa: PLR2004 - no step of any length helps: rounding
            break
        else:
            damping = max(1e-4, damping * 10)
        if last:
            break
    return cost / len(points), *_axis(at, frame)


def _algebraic(x: Array, y: Array) -> Array:
    """Return the centre of the circle with least sum of squared (distance² - radius²); the mean is 0."""
    square = x * x + y * y
    points = np.stack((x, y), 1)
    found = solved(gram(points), np.array([dot(x, square), dot(y, square)]) / 2)
    return np.zeros(2) if found is None else found


def _errors(turned: Array, at: Array) -> tuple[Array, Array]:
    """Return distances less their mean, and their slopes with the axis' four numbers, 4 x n."""
    steep = math.sqrt(1 + at[2] ** 2 + at[3] ** 2)
    x, y, z = turned[0] - at[0], turned[1] - at[1], turned[2]
    along = (x * at[2] + y * at[3] + z) / steep
    wx, wy, wz = x - along * (at[2] / steep), y - along * (at[3] / steep), z - along / steep
    distance = np.maximum(np.sqrt(wx * wx + wy * wy + wz * wz), 1e-300)
    ux, uy = wx / distance, wy / distance
    slopes = np.stack((-ux, -uy, -along * ux / steep, -along * uy / steep))
    return distance - distance.mean(), slopes - slopes.mean(axis=1, keepdims=True)
