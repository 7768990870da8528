"""Axis of a cylinder through points."""

from typing import NamedTuple

import numpy as np

from estimator.bore.frame import Array

__all__ = ["Cylinder", "least_squares_cylinder"]


class Cylinder(NamedTuple):
    """A point on the axis [m], its unit direction, the radius [m]."""

    point: Array
    direction: Array
    radius: float


def _across(d: Array) -> Array:
    e = np.eye(3)[np.argmin(np.abs(d))]
    u = np.cross(d, e)
    u /= np.linalg.norm(u)
    return np.stack((u, np.cross(d, u), d), axis=1)


def _refined(points: Array, d: Array, free: bool) -> tuple[Cylinder, float]:
    mid = points.mean(axis=0)
    q = points - mid
    c = np.zeros(2)
    for step in range(40):
        b = _across(d)
        x, y, t = (q @ b).T
        if step == 0:
            m = np.linalg.lstsq(np.stack((x, y, np.ones_like(x)), 1), x * x + y * y, rcond=None)[0]
            c = m[:2] / 2
        dx, dy = x - c[0], y - c[1]
        r = np.hypot(dx, dy)
        cols = [-dx / r, -dy / r, -np.ones_like(r)]
        if free:
            cols += [-dx / r * t, -dy / r * t]
        move = np.linalg.lstsq(np.stack(cols, 1), -(r - 0.0), rcond=None)[0]
        centre = b[:, :2] @ (c + move[:2])
        if free:
            d = b @ np.array([move[3], move[4], 1.0])
            d = d / np.linalg.norm(d)
        centre = centre - (centre @ d) * d
        c = centre @ _across(d)[:, :2]
        if np.abs(move[:2]).max() < 1e-13 and (not free or np.abs(move[3:]).max() < 1e-12):
            break
    x, y, t = (q @ _across(d)).T
    r = np.hypot(x - c[0], y - c[1])
    return Cylinder(mid + _across(d)[:, :2] @ c, d, float(r.mean())), float(np.std(r) / r.mean())


def least_squares_cylinder(points: Array, direction: Array | None = None) -> Cylinder:
    """Return the cylinder."""
    if direction is not None:
        return _refined(points, direction, False)[0]
    k = np.arange(60) + 0.5
    z, a = k / 60, np.pi * (1 + 5**0.5) * k
    s = np.sqrt(1 - z * z)
    some = points[:: max(1, len(points) // 600)]
    first = [_refined(some, one, False) for one in np.stack((s * np.cos(a), s * np.sin(a), z), 1)]
    best = sorted(first, key=lambda f: f[1])[:4]
    found = [_refined(some, one[0].direction, True) for one in best]
    return _refined(points, min(found, key=lambda f: f[1])[0].direction, True)[0]
