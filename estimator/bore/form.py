"""The form of a bore whose radii were read: the circles of each section, the cylinder through all of them."""

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from estimator.bore.profile import Profile
from estimator.errors import PointsError
from estimator.formula import Why, formula
from estimator.geometry.circles import clock_of, least_squares_circle, minimum_circumscribed_circle
from estimator.geometry.cylinders import least_squares_cylinder
from estimator.geometry.solve import sines
from estimator.units import factor

__all__ = [
    "CIRCLES",
    "Fit",
    "fitted_once",
    "form_of",
    "offset_of",
    "out_of_form",
    "size_of",
    "tilt_of",
]

ISO = "ISO 12181-1:2011, 3.3; ISO 12180-1:2011"
DIGITS = 9  # of a millimetre
NOWHERE = 1e-6  # of the radius: an offset this small has no direction
CIRCLES = {"least squares": least_squares_circle, "minimum circumscribed": minimum_circumscribed_circle}


@dataclass(frozen=True)
class Fit:
    """A circle or cylinder fitted to readings. [m]

    `x`, `y`: its centre from the readings' zero, at mid-length of a cylinder; `deciding`: places (clock [deg],
    depth [m]) of the readings that fix it.
    """

    name: str
    where: str
    radius: float
    x: float
    y: float
    low: float
    high: float
    deciding: tuple[tuple[float, float], ...]
    tilt: float = 0.0

    def __str__(self) -> str:
        """Return what was fitted, for explanations."""
        return f"{self.name} {self.where}"

    @property
    def why(self) -> Why:
        """Return where the fit comes from, for explanations."""
        return Why("given", "fit", f"{self}, fitted to the readings as typed", ISO, "published")

    @property
    def clock(self) -> float:
        """Return the direction of the centre from the readings' zero. [deg]"""
        return clock_of(self.x, self.y) if math.hypot(self.x, self.y) > NOWHERE * self.radius else 0.0


@formula("diameter", ISO, "published", unit="m")
def size_of(fit: Fit) -> float:
    """Diameter of a fitted circle or cylinder. [m]"""
    return 2 * fit.radius


@formula("offset", ISO, "published", unit="m")
def offset_of(fit: Fit) -> float:
    """Distance of a fitted centre from the readings' zero. [m]"""
    return math.hypot(fit.x, fit.y)


@formula("out_of_form", ISO, "published", unit="m")
def out_of_form(fit: Fit) -> float:
    """Radial room between the innermost and the outermost reading, from the fitted centre or axis. [m]"""
    return fit.high - fit.low


@formula("tilt", "geometry of a line", "computed")
def tilt_of(fit: Fit) -> float:
    """Tilt of a fitted axis against the readings' own. [-]"""
    return fit.tilt


def _section(profile: Profile, row: int) -> list[Fit]:
    (sine, cosine), radii, depth = sines(profile.clock), profile.sizes[row], float(profile.depth[row])
    fits = []
    for name, fit in CIRCLES.items():
        try:
            one = fit(radii * sine, radii * cosine)
        except PointsError:
            continue
        places = tuple((float(profile.clock[n]), depth) for n in one.deciding)
        fits.append(
            Fit(
                name=name,
                where="circle",
                radius=one.radius,
                x=one.x,
                y=one.y,
                low=one.residual_low,
                high=one.residual_high,
                deciding=places,
            )
        )
    return fits


def _cylinders(profile: Profile, length: float) -> list[Fit]:
    clock = np.broadcast_to(profile.clock, profile.sizes.shape).ravel()
    depth = np.broadcast_to(profile.depth[:, None], profile.sizes.shape).ravel()
    (sine, cosine), radii = sines(clock), profile.sizes.ravel()
    points, up = np.stack((radii * sine, radii * cosine, depth), axis=1), np.array([0.0, 0.0, 1.0])
    try:
        one = least_squares_cylinder(points, up)
    except PointsError:
        return []
    slope = one.direction[:2] / one.direction[2]
    x, y = (one.point[:2] + slope * (length / 2 - one.point[2])).tolist()
    places = tuple((float(clock[n]), float(depth[n])) for n in one.deciding)
    return [
        Fit(
            name="least squares",
            where="cylinder",
            radius=one.radius,
            x=x,
            y=y,
            low=one.residual_low,
            high=one.residual_high,
            deciding=places,
            tilt=math.hypot(*slope.tolist()),
        )
    ]


def _plain(profile: Profile, length: float) -> tuple[Profile, float, float]:
    """Return a profile and length as plain numbers of millimetres, and what one is in SI.

    Where several readings could fix a circle, the last digit decides; so the digits must not hang on the base unit.
    """
    scale = factor("mm")
    sizes, depth = np.round(profile.sizes / scale, DIGITS), np.round(profile.depth / scale, DIGITS)
    return replace(profile, sizes=sizes, depth=depth), round(length / scale, DIGITS), scale


def _scaled(fit: Fit, scale: float) -> Fit:
    """Return a fit in SI."""
    lengths = {name: getattr(fit, name) * scale for name in ("radius", "x", "y", "low", "high")}
    return replace(fit, **lengths, deciding=tuple((clock, depth * scale) for clock, depth in fit.deciding))


def form_of(profile: Profile, length: float) -> tuple[list[tuple[float, list[Fit]]], list[Fit]]:
    """Return the circles of each section by its depth [m], and the cylinders through all; none of diameters."""
    if not profile.radial:
        return [], []
    plain, long, scale = _plain(profile, length)
    sections, cylinders = fitted_once(Readable(plain, long))
    circles = [[_scaled(fit, scale) for fit in fits] for fits in sections]
    depths = [float(depth) for depth in profile.depth]
    return list(zip(depths, circles, strict=True)), [_scaled(fit, scale) for fit in cylinders]


class Readable:
    """A profile in plain numbers that is the same as another one with the same numbers: what a job fits once."""

    def __init__(self, plain: Profile, length: float) -> None:
        """Hold a profile in millimetres and its length."""
        self.plain, self.length = plain, length
        self.key = (plain.sizes.tobytes(), plain.clock.tobytes(), plain.depth.tobytes(), length)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Readable) and self.key == other.key


@functools.lru_cache(maxsize=32)
def fitted_once(read: Readable) -> tuple[list[list[Fit]], list[Fit]]:
    """Return all fits, in millimetres; variants of one job ask for the same again."""
    sections = [_section(read.plain, row) for row in range(len(read.plain.depth))]
    return sections, _cylinders(read.plain, read.length) if len(read.plain.depth) > 1 else []
