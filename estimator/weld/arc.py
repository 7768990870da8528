"""Arc, wire and bead: feed from current, voltage, deposit, heat input, the bead and its overlap.

Every function takes one number or arrays of them.
"""

import math

from estimator.formula import formula
from estimator.tables import Tables
from estimator.tables.rows import Wire

__all__ = [
    "arc_time",
    "arc_voltage",
    "aspect_of",
    "bead_area",
    "bead_height",
    "bead_width",
    "deposit_rate",
    "heat_input",
    "layer_thickness",
    "linear_density",
    "mass_of",
    "solid_linear_density",
    "step_ratio",
    "travel_for_area",
    "valley",
    "wire_feed",
]

DING = "Ding, Pan, Cuiuri, Li, Robotics and Computer-Integrated Manufacturing 31 (2015) 101-110: parabolic bead"


@formula(
    "wire_feed", "burn-off law of Lesnewich and Halmoy, v = a I + b I^2, fitted per wire", "from memory", unit="m/s"
)
def wire_feed(current: float, feed_linear: float, feed_squared: float) -> float:
    """Wire feed that burns off at a current. [m/s]"""
    return feed_linear * current + feed_squared * current**2


@formula("arc_voltage", "straight line through published short-arc settings, in the wire's row", "computed", unit="V")
def arc_voltage(current: float, voltage_base: float, voltage_slope: float) -> float:
    """Voltage to expect at a current. [V]"""
    return voltage_base + voltage_slope * current


@formula("linear_density", "ESAB, MIG Welding Handbook, sec. 10: wire length per mass, checked row by row", unit="kg/m")
def solid_linear_density(diameter: float, density: float) -> float:
    """Mass of solid round wire per length. [kg/m]"""
    return math.pi / 4 * diameter**2 * density


def linear_density(wire: Wire) -> float:
    """Return a wire's mass per length: weighed for a cored wire, from its actual diameter for a solid one. [kg/m]"""
    if wire.linear_density is not None:
        return wire.linear_density
    return solid_linear_density(wire.diameter, wire.deposit_density)


def aspect_of(wire: Wire, facts: Tables) -> float:
    """Return the width over height of a wire's bead: of the shop's own test bead, else as the tables have it. [-]"""
    return facts.constant("bead_aspect") if wire.bead_aspect is None else wire.bead_aspect


@formula("deposit_rate", "ESAB, MIG Welding Handbook, sec. 10, deposition rate", unit="m3/s")
def deposit_rate(wire_feed: float, linear_density: float, efficiency: float, density: float) -> float:
    """Volume of weld metal laid per arc time. [m³/s]"""
    return wire_feed * linear_density * efficiency / density


@formula("bead_area", "conservation of metal", "computed", unit="m2")
def bead_area(layer_thickness: float, step: float) -> float:
    """Section of one bead in an even layer: thickness times step. [m²]"""
    return layer_thickness * step


@formula("travel_speed", "conservation of metal", "computed", unit="m/s")
def travel_for_area(deposit_rate: float, bead_area: float) -> float:
    """Travel speed at which the arc lays a bead of that section. [m/s]"""
    return deposit_rate / bead_area


@formula("layer_thickness", "conservation of metal: an even layer holds one bead a step", "computed", unit="m")
def layer_thickness(bead_area: float, step: float) -> float:
    """Thickness of an even layer. [m]"""
    return bead_area / step


@formula("bead_width", DING + ", area 2/3 w h, with the width to height ratio of the table", "computed", unit="m")
def bead_width(bead_area: float, bead_aspect: float) -> float:
    """Width of a lone bead. [m]"""
    return (1.5 * bead_area * bead_aspect) ** 0.5


@formula("bead_height", DING + ", area 2/3 w h", "published", unit="m")
def bead_height(bead_area: float, bead_width: float) -> float:
    """Height of a lone bead. [m]"""
    return 1.5 * bead_area / bead_width


@formula("step_ratio", "definition: step over bead width", "computed")
def step_ratio(step: float, bead_width: float) -> float:
    """Step from bead to bead as a share of the bead's width. [-]"""
    return step / bead_width


@formula(
    "valley_depth",
    DING + ": two bare beads cross at h (1 - (d/w)^2), so an unfilled valley is h (d/w)^2 deep",
    unit="m",
)
def valley(bead_height: float, step_ratio: float) -> float:
    """Deepest valley between neighbouring beads, were none of it filled. [m]"""
    return bead_height * step_ratio**2


@formula("heat_input", "EN 1011-1: Q = k U I / v", "published", unit="J/m")
def heat_input(arc_voltage: float, current: float, travel_speed: float, heat_share: float) -> float:
    """Heat input of a bead. [J/m]"""
    return heat_share * arc_voltage * current / travel_speed


@formula("arc_time", "definition: path over speed", "computed", unit="s")
def arc_time(turns: float, mean_diameter: float, travel_speed: float) -> float:
    """Arc time of whole turns at one travel speed. [s]"""
    return turns * math.pi * mean_diameter / travel_speed


@formula("deposit_mass", "definition: mass is density times volume", "computed", unit="kg")
def mass_of(volume: float, density: float) -> float:
    """Mass of a volume of weld metal. [kg]"""
    return volume * density
