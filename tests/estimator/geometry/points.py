"""Points on the walls of bores of known shape, and where an arm would see them; shared by tests of several rooms."""

from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

__all__ = ["Array", "arm", "ellipse", "frustum", "offset", "rows_of", "scattered", "sections", "wall", "worn"]

Array = npt.NDArray[np.float64]
Shape = Callable[[Array, Array], Array]
NOMINAL, LENGTH = 0.090, 0.070


def ellipse(a: float, b: float) -> Shape:
    """Return the radius over angle of an ellipse of half axes a (across) and b (upright)."""
    return lambda angle, _: a * b / np.hypot(b * np.sin(angle), a * np.cos(angle))


def frustum(first: float, last: float) -> Shape:
    """Return a radius that grows straight from one face to the other."""
    return lambda _, depth: first + (last - first) * depth / LENGTH


def offset(radius: float, off: float) -> Shape:
    """Return the radius over angle, about the z axis, of a cylinder whose own axis lies off towards 3 o'clock."""
    return lambda angle, _: off * np.sin(angle) + np.sqrt(radius**2 - (off * np.cos(angle)) ** 2)


def worn(deepest: float, towards: float = np.pi) -> Shape:
    """Return a bore of nominal size worn on one half."""
    return lambda angle, _: NOMINAL / 2 + deepest * np.maximum(0.0, np.cos(angle - towards)) ** 2


def wall(shape: Shape, angle: Array, depth: Array) -> Array:
    """Return points (n, 3) in the bore's own frame, the angle clockwise from 12 o'clock. [m]"""
    radius = shape(angle, depth)
    return np.stack((radius * np.sin(angle), radius * np.cos(angle), depth), axis=1)


def scattered(shape: Shape, count: int, seed: int = 1) -> Array:
    """Return points scattered over the whole wall."""
    random = np.random.default_rng(seed)
    return wall(shape, random.uniform(0, 2 * np.pi, count), random.uniform(0, LENGTH, count))


def sections(shape: Shape, stations: int, around: int) -> Array:
    """Return points in sections, evenly round the clock."""
    angle = np.tile(np.arange(around) * 2 * np.pi / around, stations)
    return wall(shape, angle, np.repeat(np.linspace(0.005, LENGTH - 0.005, stations), around))


def arm(points: Array, origin: Any, along: Any, up: Any) -> Array:
    """Return points of the bore's own frame as a right-handed arm sees them."""
    depth = np.asarray(along, dtype=float) / np.linalg.norm(along)
    top = np.asarray(up, dtype=float) - (np.asarray(up) @ depth) * depth
    top = top / np.linalg.norm(top)
    seen: Array = np.asarray(origin) + points @ np.stack((np.cross(depth, top), top, depth))
    return seen


def rows_of(points: Array, unit: float = 1e-3, sep: str = ",", label: str = "") -> list[str]:
    """Return points as rows of text in a unit. [m]"""
    tail = f"{sep}{label}" if label else ""
    return [f"{x:.5f}{sep}{y:.5f}{sep}{z:.5f}{tail}" for x, y, z in (points / unit).tolist()]
