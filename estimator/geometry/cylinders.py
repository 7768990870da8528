"""Cylinders through measured points: least squares, and the smallest that holds every point.

Terms follow ISO 12180-1:2011 (from memory): least squares and minimum circumscribed reference cylinders. Points are
n x 3; lengths are in whatever unit they have.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.errors import PointsError
from estimator.geometry.diagram import Array
from estimator.geometry.enclosing import nearest_line, proven

__all__ = ["Cylinder", "EnclosingCylinder", "least_squares_cylinder", "smallest_enclosing_cylinder"]

TILT = 0.01  # slope to the axis found up to which a smaller cylinder is ruled out: 10 mm a metre
STARTS = 24  # directions tried, spread over a half sphere, beside the points' own three
THIN = 400  # points on which directions are tried
BEST = 4  # of the directions tried, those followed to the end
LAST_STEP = 1e-13  # in units of the points' size: below it a step is rounding
FLAT = 1e-10  # thickness, in units of the points' size, below which they lie in one plane
ROUGH = 1e-8  # relative gap of squared radii before the frame is turned to the axis
TURNS = 8  # of the frame; it needs 2 or 3
STRAIGHT = 1e-8  # slope to the frame whose square is below rounding
NEAR = math.cos(math.radians(20))  # an axis farther off its direction is none that was asked for
FAR = 1e3  # a radius of that many sizes is a plane


@dataclass(frozen=True, eq=False)
class Cylinder:
    """A cylinder: the point of its axis nearest to the points' mean, its unit direction, its radius.

    `residual_low`, `residual_high`: least and greatest distance of a point from the surface, outward positive.
    `deciding`: indices of the points that fix it; of least squares the point farthest from it.
    """

    point: Array
    direction: Array
    radius: float
    residual_low: float
    residual_high: float
    deciding: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class EnclosingCylinder(Cylinder):
    """A cylinder that holds every point; none whose axis slopes against it by up to `tilt` is smaller by over `gap`."""

    gap: float
    tilt: float


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
    size = float(np.sqrt((moved * moved).sum(axis=1).max()))
    if size <= 1e-12 * float(np.abs(origin).max()):
        raise PointsError(shape, "all points lie in one place", "give points round the bore at two depths or more")
    moved = moved / size
    thickness = math.sqrt(max(0.0, float(np.linalg.eigvalsh(moved.T @ moved / len(moved))[0])))
    if thickness <= FLAT:
        raise PointsError(shape, "all points lie in one plane", "give points at two depths or more")
    return _Cloud(moved, origin, size)


def _unit(direction: npt.ArrayLike, shape: str) -> Array:
    given = np.asarray(direction, dtype=float)
    length = float(np.linalg.norm(given)) if given.shape == (3,) else 0.0
    if not (math.isfinite(length) and length > 0):
        raise PointsError(shape, "the direction is no direction", "give three numbers, not all 0")
    unit: Array = given / length
    return unit


def _frame(direction: Array) -> Array:
    """Return rows x, y, z of a frame whose z is the direction."""
    least = np.eye(3)[int(np.argmin(np.abs(direction)))]
    x = np.cross(least, direction)
    x /= np.linalg.norm(x)
    return np.stack((x, np.cross(direction, x), direction))


def _perpendicular(points: Array, foot: Array, direction: Array) -> Array:
    """Return the distances of the points from an axis."""
    away = points - foot
    away = away - np.outer(away @ direction, direction)
    distances: Array = np.sqrt((away * away).sum(axis=1))
    return distances


def _axis(at: Array, frame: Array) -> tuple[Array, Array]:
    """Return foot and direction of the axis x = at[0] + at[2]·z, y = at[1] + at[3]·z of a frame."""
    direction = np.array([at[2], at[3], 1.0]) @ frame
    direction /= np.linalg.norm(direction)
    foot = at[:2] @ frame[:2]
    return foot - (foot @ direction) * direction, direction


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
    farthest = int(np.argmax(np.abs(distances - radius)))
    point, axis, size = cloud.origin + cloud.size * foot, _pointed(axis, hint), cloud.size
    low, high = float(distances.min()) - radius, float(distances.max()) - radius
    return Cylinder(point, axis, radius * size, low * size, high * size, (farthest,))


def _pointed(axis: Array, hint: Array | None) -> Array:
    """Return the axis along the hint, or with its largest part positive."""
    along = float(axis @ hint) if hint is not None else float(axis[int(np.argmax(np.abs(axis)))])
    return axis if along >= 0 else -axis


def _best_start(points: Array, shape: str) -> tuple[Array, Array]:
    few = points[:: max(1, len(points) // THIN)]
    turn = np.arange(STARTS) * math.pi * (3 - math.sqrt(5))  # the golden angle spreads them evenly
    up = (np.arange(STARTS) + 0.5) / STARTS
    flat = np.sqrt(1 - up * up)
    spread = np.stack((flat * np.cos(turn), flat * np.sin(turn), up), 1)
    directions = np.concatenate((np.linalg.eigh(few.T @ few)[1].T, spread))
    rough = sorted((_fitted(few, direction, rounds=3) for direction in directions), key=lambda fit: fit[0])
    fits = [_fitted(few, axis, foot) for _, foot, axis in rough[:BEST]]
    best = min(fits, key=lambda fit: fit[0])
    if not math.isfinite(best[0]):
        raise PointsError(shape, "the points fix no axis", "give points round the bore at two depths or more")
    return best[1], best[2]


def _fitted(points: Array, direction: Array, foot: Array | None = None, rounds: int = 60) -> tuple[float, Array, Array]:
    """Return the mean square distance from the fitted surface, and foot and direction of its axis."""
    frame = _frame(direction)
    x, y, _ = turned = frame @ points.T
    at = np.zeros(4)
    at[:2] = _algebraic(x, y) if foot is None else frame[:2] @ foot
    error, slopes = _errors(turned, at)
    cost, damping = float(error @ error), 0.0
    for _ in range(rounds):
        square = slopes @ slopes.T
        steeper = square + damping * np.diag(square.diagonal())
        try:
            step = np.linalg.solve(steeper, slopes @ error)
        except np.linalg.LinAlgError:
            return math.inf, *_axis(at, frame)
        trial_error, trial_slopes = _errors(turned, at - step)
        trial = float(trial_error @ trial_error)
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
    system = np.array([[x @ x, x @ y], [x @ y, y @ y]])
    found: Array = np.linalg.lstsq(system, np.array([x @ square, y @ square]) / 2)[0]
    return found


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


# ---------------------------------------------------------------- smallest enclosing


def smallest_enclosing_cylinder(
    points: npt.ArrayLike, direction: npt.ArrayLike | None = None, tilt: float = TILT
) -> EnclosingCylinder:
    """Return the smallest cylinder that holds every point, near a direction, with the gap that is left to prove.

    Parameters
    ----------
    points
        At least 5, not in one plane, n x 3. [length]
    direction
        About where the axis points; without it, the direction of the least squares cylinder. [-]
    tilt
        Slope against the axis found, up to which the proof reaches. [-]

    Raises
    ------
    PointsError
        If the points fix no cylinder.

    Notes
    -----
    Square to the frame's z, distances are convex in the axis, and weights on a few points give a lower bound. The frame
    is turned to the axis found until both agree: a line that slopes by s is then nearer than it looks, by at most the
    factor sqrt(1 + s²), which the bound's own growth with s has to outweigh. `gap` is what remains, rounding where the
    growth outweighs it all the way and never more than radius x tilt² / 2.
    """
    shape = "smallest enclosing cylinder"
    cloud = _cloud(points, shape)
    hint = _unit(direction, shape) if direction is not None else least_squares_cylinder(cloud.points).direction
    frame = _frame(hint)
    line = nearest_line(cloud.points @ frame.T, ROUGH)
    for _ in range(TURNS):
        frame = _frame(_axis(line.at, frame)[1])
        line = nearest_line(cloud.points @ frame.T, picks=line.picks)
        if float(np.abs(line.at[2:]).max()) < STRAIGHT:
            break
    foot, axis = _axis(line.at, frame)
    if float(axis @ hint) < NEAR:
        raise PointsError(shape, "the points fix no axis near that direction", "measure all round at more depths")
    distances = _perpendicular(cloud.points, foot, axis)
    radius = float(distances.max())
    frame = _frame(axis)
    turned = cloud.points @ frame.T
    gap = max(0.0, radius - proven(turned, line.along(turned, frame @ foot), tilt))
    size, low = cloud.size, float(distances.min()) - radius
    point, axis, deciding = cloud.origin + size * foot, _pointed(axis, hint), tuple(line.deciding.tolist())
    return EnclosingCylinder(
        point=point,
        direction=axis,
        radius=radius * size,
        residual_low=low * size,
        residual_high=0.0,
        deciding=deciding,
        gap=gap * size,
        tilt=tilt,
    )
