"""What a warm part loses to the air from each square metre: in still air, in wind, under a blanket.

A part loses more where it is hot. Welding and cooling have one mean each, taken at a temperature of the surface at
which rings with that one number take as long as rings that follow the temperature.
"""

from estimator.formula import formula
from estimator.inputs import Inputs
from estimator.tables import Tables

__all__ = [
    "air_loss",
    "blanket_loss",
    "cooling_surface",
    "still_air_loss",
    "welding_surface",
    "wind_loss",
]

RADIATION = "Stefan and Boltzmann, between a small grey body and its surroundings (Incropera eq. 1.7 to 1.9)"
UPRIGHT = RADIATION + "; upright plate in air, laminar: 1.42 (dT/L)^1/4 (Holman table 7-2, McAdams)"
ALONG = "laminar flow along a plate, Nu = 0.664 Re^1/2 Pr^1/3 (Incropera ch. 7), joined to still air by cubes"
MEAN = "computed: rings with one loss against rings that follow the temperature"


def _radiated(surface: float, ambient: float, emissivity: float, stefan_boltzmann: float) -> float:
    return emissivity * stefan_boltzmann * (surface * surface + ambient * ambient) * (surface + ambient)


def _rising(surface: float, ambient: float, upright_loss: float, upright_fall: float, plate_size: float) -> float:
    return upright_loss * (abs(surface - ambient) / plate_size / upright_fall) ** 0.25


@formula("surface_loss", UPRIGHT, "from memory", unit="W/m2/K")
def still_air_loss(
    surface: float,
    ambient: float,
    emissivity: float,
    stefan_boltzmann: float,
    upright_loss: float,
    upright_fall: float,
    plate_size: float,
) -> float:
    """Heat lost in still air, by radiation and by air that rises along it. [W/m²/K]"""
    rising = _rising(surface, ambient, upright_loss, upright_fall, plate_size)
    return _radiated(surface, ambient, emissivity, stefan_boltzmann) + rising


@formula("surface_loss", ALONG, "published", unit="W/m2/K")
def wind_loss(
    surface: float,
    ambient: float,
    wind: float,
    emissivity: float,
    stefan_boltzmann: float,
    upright_loss: float,
    upright_fall: float,
    plate_size: float,
    air_viscosity: float,
    air_conductivity: float,
    air_reference: float,
    prandtl: float,
) -> float:
    """Heat lost in wind along the part; the air at the mean of its own temperature and the surface's. [W/m²/K]"""
    warmer = (surface + ambient) / 2 / air_reference
    reynolds = wind * plate_size / (air_viscosity * warmer**1.76)
    blown = 0.664 * reynolds**0.5 * prandtl ** (1 / 3) * air_conductivity * warmer**0.83 / plate_size
    rising = _rising(surface, ambient, upright_loss, upright_fall, plate_size)
    return _radiated(surface, ambient, emissivity, stefan_boltzmann) + (blown**3 + rising**3) ** (1 / 3)


@formula("surface_loss", "resistances in series: the blanket's before the surface's own", "computed", unit="W/m2/K")
def blanket_loss(surface_loss: float, blanket: float, blanket_conductivity: float) -> float:
    """Heat lost through a blanket. [W/m²/K]"""
    return 1 / (1 / surface_loss + blanket / blanket_conductivity)


@formula("surface", MEAN + ": within 4 % of the waits", "computed", unit="K")
def welding_surface(ambient: float, limit: float, limit_share: float) -> float:
    """Temperature of the surface that stands for a weld's: a share of the way up to the interpass limit. [K]"""
    return ambient + limit_share * (limit - ambient)


@formula("surface", MEAN + ": within 3 % of a lump's exact mean, within 6 % of cooling", "computed", unit="K")
def cooling_surface(ambient: float, start_rise: float, end_rise: float) -> float:
    """Temperature of the surface that stands for a part cooling: the geometric mean of its rises. [K]"""
    return ambient + (start_rise * end_rise) ** 0.5


AIR = ("stefan_boltzmann", "upright_loss", "upright_fall", "plate_size")


def air_loss(surface: float, ambient: float, facts: Tables, inputs: Inputs) -> float:
    """Return what a surface loses in still air on the day. [W/m²/K]"""
    return still_air_loss(surface, ambient, inputs.emissivity, *(facts.constant(name) for name in AIR))
