"""The boring bar as a beam: how far a force on the insert bends it, overhung or between two bearings."""

import math

from estimator.formula import formula

__all__ = [
    "as_overhung",
    "bending",
    "between",
    "depth_that_bends",
    "diameter_error",
    "left_after_spring",
    "overhung",
    "radial_force",
    "solid_moment",
    "tangential_force",
    "torque_at",
    "tube_moment",
]

BEAM = "Euler and Bernoulli's beam, as in any table of beams (ctemag.com, Isakov 2019, for boring bars)"
SPLIT = "radial force 25 to 30 % of the tangential, feed force 50 to 60 % (eisc.com, boring basics)"
KIENZLE = "Kienzle's law: Fc = kc ap f"


@formula("second_moment", BEAM + ": pi d^4 / 64", "published", unit="m4")
def solid_moment(diameter: float) -> float:
    """Second moment of area of a solid bar. [m⁴]"""
    return math.pi / 64 * diameter**4


@formula("second_moment", BEAM + ": pi (do^4 - di^4) / 64", "published", unit="m4")
def tube_moment(diameter: float, hollow: float) -> float:
    """Second moment of area of a hollow bar. [m⁴]"""
    return math.pi / 64 * (diameter**4 - hollow**4)


@formula("compliance", BEAM + ": L^3 / 3EI", "published", unit="m/N")
def overhung(reach: float, modulus: float, second_moment: float) -> float:
    """How far the end of a bar held at one end only moves per force on it. [m/N]"""
    return reach**3 / (3 * modulus * second_moment)


@formula("compliance", BEAM + ": a^2 b^2 / 3EI(a + b), simply held, on the safe side", "published", unit="m/N")
def between(before: float, after: float, modulus: float, second_moment: float) -> float:
    """How far a bar between two bearings moves per force at the insert. [m/N]"""
    return before**2 * after**2 / (3 * modulus * second_moment * (before + after))


@formula("overhang", BEAM + ": L^3 / 3EI solved for L, over the diameter", "published")
def as_overhung(compliance: float, modulus: float, diameter: float) -> float:
    """Overhang in diameters of a solid bar of that thickness that is as limber. [-]"""
    return (3 * modulus * math.pi / 64 * diameter * compliance) ** (1 / 3)


@formula("force", KIENZLE, "published", unit="N")
def tangential_force(specific_force: float, depth: float, feed: float) -> float:
    """Cutting force on the insert. [N]"""
    return specific_force * depth * feed


@formula("radial_force", SPLIT, "published", unit="N")
def radial_force(force: float, radial_share: float) -> float:
    """Part of the cutting force that pushes the insert off the wall. [N]"""
    return force * radial_share


@formula("torque", "definition: force times radius", "published", unit="N*m")
def torque_at(force: float, diameter: float) -> float:
    """Torque that the cutting force asks of the drive. [N m]"""
    return force * diameter / 2


@formula("deflection", "definition of compliance", "computed", unit="m")
def bending(force: float, compliance: float) -> float:
    """How far a force bends the bar. [m]"""
    return force * compliance


@formula("depth", KIENZLE + ", solved for the depth at which the bar bends that far", "computed", unit="m")
def depth_that_bends(deflection: float, compliance: float, specific_force: float, feed: float, share: float) -> float:
    """Depth a side at which that share of the cutting force bends the bar by that much. [m]"""
    return deflection / (compliance * specific_force * feed * share)


@formula("diameter_error", "geometry: the bar bends off on whichever side it cuts", "computed", unit="m")
def diameter_error(deflection: float) -> float:
    """How much too small a bore comes out where the bar bends off. [m]"""
    return 2 * deflection


@formula("deflection", "equilibrium of a spring and a force in proportion to the depth", "computed", unit="m")
def left_after_spring(deflection: float, depth: float) -> float:
    """How far the bar still bends in a pass without feeding in, over what the last one left. [m]"""
    return deflection * deflection / (depth + deflection)
