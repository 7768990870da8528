"""What the insert's nose leaves behind: roughness from feed and nose radius, and the feed that an asked one allows."""

import math

from estimator.formula import formula

__all__ = ["feed_for", "peak_to_valley", "ra_of"]

ARC = "arc of the nose: Rz = f^2 / 8r, Ra = f^2 / (18 sqrt3 r), valid while the feed stays on the arc"
REAL = "; in steel 1.5 to 2 times that"


@formula("roughness", ARC + REAL, "published", unit="m")
def ra_of(feed: float, nose: float, real_factor: float) -> float:
    """Mean roughness Ra to expect of a feed. [m]"""
    return real_factor * feed**2 / (18 * math.sqrt(3) * nose)


@formula("peak_to_valley", ARC, "published", unit="m")
def peak_to_valley(feed: float, nose: float, real_factor: float) -> float:
    """Roughness from peak to valley Rz to expect of a feed. [m]"""
    return real_factor * feed**2 / (8 * nose)


@formula("feed", ARC + REAL + ", solved for the feed", "published", unit="m")
def feed_for(roughness: float, nose: float, real_factor: float) -> float:
    """Widest feed per turn that keeps a mean roughness Ra. [m]"""
    return (18 * math.sqrt(3) * roughness * nose / real_factor) ** 0.5
