"""What a cylinder holds and what stays in it: gas under pressure is no ideal gas.

At 200 bar and 15 degC a cylinder of argon holds 7 % more than the ideal gas law says, one of argon with a quarter of
carbon dioxide a fifth more. The cubic equation of Peng and Robinson is within 3 % of the reference equations there.
"""

from estimator.book.consumables import Cylinder
from estimator.book.pricebook import PriceBook
from estimator.either import crossing, smaller
from estimator.formula import choice, formula, is_recording, leaf
from estimator.tables import Tables
from estimator.tables.rows import Fluid, Gas

__all__ = [
    "attraction",
    "contents_of",
    "covolume",
    "held",
    "held_liquefied",
    "left_in_cylinder",
    "left_share",
    "mixed_attraction",
    "mixed_covolume",
    "molar_volume",
    "under_pressure",
]

PENG = "Peng and Robinson, Ind. Eng. Chem. Fundam. 15 (1976) 59"
ROOT_TWO, NARROWEST, WIDEST, HALF = 2**0.5, 0.1, 2.0, 0.5


@formula("attraction", f"{PENG}, eq. 9 to 18", unit="kg m^5 s^-2")
def attraction(
    critical_temperature: float, critical_pressure: float, acentric: float, temperature: float, gas_constant: float
) -> float:
    """Attraction of a pure gas in the equation of state, for one mole. [Pa m⁶]"""
    slope = 0.37464 + 1.54226 * acentric - 0.26992 * acentric**2
    rise = (1 + slope * (1 - (temperature / critical_temperature) ** 0.5)) ** 2
    return 0.45724 * gas_constant**2 * critical_temperature**2 / critical_pressure * rise


@formula("covolume", f"{PENG}, eq. 10", unit="m3")
def covolume(critical_temperature: float, critical_pressure: float, gas_constant: float) -> float:
    """Volume that one mole of a pure gas keeps for itself. [m³]"""
    return 0.0778 * gas_constant * critical_temperature / critical_pressure


@formula("attraction", f"{PENG}, eq. 20 to 22", unit="kg m^5 s^-2")
def mixed_attraction(
    argon_attraction: float,
    carbon_dioxide_attraction: float,
    oxygen_attraction: float,
    co2_percent: float,
    o2_percent: float,
    interaction: float,
) -> float:
    """Attraction of a mix of argon, carbon dioxide and oxygen; only argon with CO2 departs from the mean. [Pa m⁶]"""
    two, three = co2_percent / 100, o2_percent / 100
    one = 1 - two - three
    alone = (one * argon_attraction**0.5 + two * carbon_dioxide_attraction**0.5 + three * oxygen_attraction**0.5) ** 2
    return alone - 2 * one * two * interaction * argon_attraction**0.5 * carbon_dioxide_attraction**0.5


@formula("covolume", f"{PENG}, eq. 23", unit="m3")
def mixed_covolume(
    argon_covolume: float, carbon_dioxide_covolume: float, oxygen_covolume: float, co2_percent: float, o2_percent: float
) -> float:
    """Volume that one mole of a mix keeps for itself. [m³]"""
    two, three = co2_percent / 100, o2_percent / 100
    return (1 - two - three) * argon_covolume + two * carbon_dioxide_covolume + three * oxygen_covolume


@formula("molar_volume", f"{PENG}, eq. 4, solved for the volume of the gas", unit="m3")
def molar_volume(pressure: float, temperature: float, gas_constant: float, attraction: float, covolume: float) -> float:
    """Volume of one mole of gas at a pressure. [m³]"""
    ideal = gas_constant * temperature / pressure

    def over(volume: float) -> tuple[float, float]:
        room, free = volume**2 + 2 * covolume * volume - covolume**2, volume - covolume
        value = gas_constant * temperature / free - attraction / room - pressure
        return value, 2 * attraction * (volume + covolume) / room**2 - gas_constant * temperature / free**2

    return crossing(over, covolume + NARROWEST * ideal, covolume + WIDEST * ideal, covolume + ideal)


@formula("pressure", "definition: a gauge reads above the air around it", "computed", unit="kg m^-1 s^-2")
def under_pressure(gauge_pressure: float, atmosphere: float) -> float:
    """Pressure of a gas of which a gauge reads so much. [Pa]"""
    return gauge_pressure + atmosphere


@formula("contents", "conservation of matter: as many moles in the cylinder as at the standard state", "computed", "m3")
def held(water_volume: float, full_volume: float, standard_volume: float) -> float:
    """Gas in a cylinder, from the volume of a mole there and at the standard state. [m³ at 15 degC and 1 bar]"""
    return water_volume / full_volume * standard_volume


@formula("contents", "conservation of matter: mass over molar mass, at the standard state", "computed", unit="m3")
def held_liquefied(fill_mass: float, molar_mass: float, standard_volume: float) -> float:
    """Gas in a cylinder that is filled by mass with liquid. [m³ at 15 degC and 1 bar]"""
    return fill_mass / molar_mass * standard_volume


@formula("left_share", "definition: what is left over what was bought; half of it at most", "computed")
def left_share(left: float, pack: float) -> float:
    """Share of a pack that stays in it. [-]"""
    return smaller(left / pack, HALF)


def _state_of(gas: Gas, facts: Tables) -> tuple[float, float, float, float]:
    """Return temperature, gas constant, attraction and covolume of a mix at the standard temperature."""
    temperature, constant = facts.constant("standard_temperature"), facts.constant("gas_constant")
    fluids = [facts.row("fluids", name, Fluid) for name in ("argon", "carbon dioxide", "oxygen")]
    argon, dioxide, oxygen = (
        attraction(one.critical_temperature, one.critical_pressure, one.acentric, temperature, constant)
        for one in fluids
    )
    pull = mixed_attraction(argon, dioxide, oxygen, gas.co2, gas.o2, facts.constant("argon_co2_interaction"))
    argon, dioxide, oxygen = (covolume(one.critical_temperature, one.critical_pressure, constant) for one in fluids)
    return temperature, constant, pull, mixed_covolume(argon, dioxide, oxygen, gas.co2, gas.o2)


def _moles(gas: Gas, gauge: float, facts: Tables) -> tuple[float, float]:
    """Return the volume of a mole at a pressure by gauge, and at the standard state. [m³]"""
    state = _state_of(gas, facts)
    full = molar_volume(under_pressure(gauge, facts.constant("atmosphere")), *state)
    return full, molar_volume(facts.constant("standard_pressure"), *state)


def contents_of(name: str, cylinder: Cylinder, facts: Tables) -> float:
    """Return what a cylinder of a gas holds when full. [m³ at 15 degC and 1 bar]"""
    gas, text = facts.row("gases", name, Gas), f"price book: cylinder of {name}"
    if cylinder.fill_mass is not None:
        mass = leaf(cylinder.fill_mass, "price", "fill_mass", text, unit="kg")
        weight = facts.row("fluids", "carbon dioxide", Fluid).molar_mass
        return held_liquefied(mass, weight, molar_volume(facts.constant("standard_pressure"), *_state_of(gas, facts)))
    water = leaf(cylinder.water_volume, "price", "water_volume", text, unit="m3")
    gauge = leaf(cylinder.fill_pressure or 0.0, "price", "fill_pressure", text, unit="kg m^-1 s^-2")
    return held(water, *_moles(gas, gauge, facts))


def left_in_cylinder(name: str, book: PriceBook) -> float:
    """Return the share of a bought cylinder that stays in it at the residual pressure. [-]"""
    facts, cylinder = book.facts, book.consumables.gases[name].cylinder
    if cylinder is None:
        share = facts.constant("left_in_unknown_cylinder")
        return choice(share, "left_share", "the price book says nothing of the cylinder", assumed=share)
    if is_recording() or ("left in cylinder", name) not in facts.memo:
        water = leaf(cylinder.water_volume, "price", "water_volume", f"price book: cylinder of {name}", unit="m3")
        left = held(water, *_moles(facts.row("gases", name, Gas), facts.constant("residual_pressure"), facts))
        share = left_share(left, contents_of(name, cylinder, facts))
        if is_recording():
            return share
        facts.memo["left in cylinder", name] = share
    kept: float = facts.memo["left in cylinder", name]
    return kept
