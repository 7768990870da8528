"""The plate round a boss, and where it ends: how much of each circle round the bore lies in it, and its free edges.

Six cases (`tables/plate_ends.csv`). A circle of radius r round the bore lies wholly in the plate up to the nearest free
edge, at `reach`; beyond, by a share. Areas are the shares' integrals in closed form.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["Edges", "area_within", "edge_within", "share_at"]

Array = npt.NDArray[np.float64]

NEAR = 1e-9  # share of the reach: a face of the rings that lies on the edge lies past it
LEAST = 1e-6  # least share, where a plate has ended and nothing is asked any more


@dataclass(frozen=True)
class Edges:
    """Where a plate ends: the case, the reach of the nearest free edge, a lug's neck [m]; none of them for `none`."""

    ends: str = "none"
    reach: float = 0.0
    neck: float = 0.0

    @property
    def half_neck(self) -> float:
        """Half the width of what a lug goes on with. [m]"""
        return self.neck / 2 if self.neck else self.reach


def _turn(width: float, radius: Array) -> Array:
    """Return the angle at which a line that lies `width` off the middle cuts a circle. [rad]"""
    found: Array = np.arcsin(np.minimum(1.0, width / radius))
    return found


def _half_chord(width: float, radius: Array) -> Array:
    """Return half the chord that such a line cuts. [m]"""
    found: Array = np.sqrt(np.maximum(radius * radius - width * width, 0.0))
    return found


def share_at(edges: Edges, radius: Array) -> Array:
    """Return the share of a circle that lies in the plate. [-]"""
    e, past = edges.reach, radius > edges.reach * (1 + NEAR)
    if edges.ends == "none":
        return np.ones_like(radius)
    if edges.ends == "round":
        return np.where(past, LEAST, 1.0)
    if edges.ends == "lug":
        return np.where(past, np.maximum(_turn(edges.half_neck, radius) / math.pi, LEAST), 1.0)
    turned = _turn(e, radius) / math.pi
    if edges.ends == "side":
        return 0.5 + turned
    if edges.ends == "strip":
        return 2 * turned
    return np.where(radius < e * math.sqrt(2), 2 * turned, 0.25 + turned)


def area_within(edges: Edges, radius: Array) -> Array:
    """Return the area of the plate within a circle, hole and boss included. [m²]"""
    e, whole = edges.reach, math.pi * radius * radius
    past = radius > e * (1 + NEAR)
    if edges.ends == "none":
        return whole
    if edges.ends == "round":
        return np.where(past, math.pi * e * e, whole)
    if edges.ends == "lug":
        tail = _sector_and_sides(edges.half_neck, radius) - _sector_and_sides(edges.half_neck, np.array(e))
        return np.where(past, math.pi * e * e + tail, whole)
    one = _sector_and_sides(e, radius)
    if edges.ends == "side":
        return np.where(past, math.pi / 2 * radius * radius + one, whole)
    if edges.ends == "strip":
        return np.where(past, 2 * one, whole)
    beyond = math.pi / 4 * radius * radius + one + e * e
    return np.where(past, np.where(radius < e * math.sqrt(2), 2 * one, beyond), whole)


def _sector_and_sides(width: float, radius: Array) -> Array:
    """Return the integral of 2 r asin(width/r): two sectors and the triangles beside them. [m²]"""
    return radius * radius * _turn(width, radius) + width * _half_chord(width, radius)


def edge_within(edges: Edges, radius: Array) -> Array:
    """Return the length of free edge within a circle. [m]"""
    e, past = edges.reach, radius > edges.reach * (1 - NEAR)
    if edges.ends == "none":
        return np.zeros_like(radius)
    if edges.ends == "round":
        return np.where(past, 2 * math.pi * e, 0.0)
    if edges.ends == "lug":
        half = edges.half_neck
        bow = 2 * e * (math.pi - _turn(half, np.array(e)))
        return np.where(past, bow + 2 * (_half_chord(half, radius) - _half_chord(half, np.array(e))), 0.0)
    chord = _half_chord(e, radius)
    if edges.ends == "side":
        return 2 * chord
    if edges.ends == "strip":
        return 4 * chord
    return np.where(radius < e * math.sqrt(2), 4 * chord, 2 * e + 2 * chord)
