"""What is used up, as the price book has it: price, packs, article, supplier, cost of being short and of carrying."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from estimator.fields import (
    Document,
    Filling,
    Flow,
    Mass,
    Money,
    Name,
    PerEnergy,
    PerMass,
    PerVolume,
    Spool,
    Text,
    Volume,
    quantity_field,
)
from estimator.tables.used import used_of

__all__ = ["BULK", "PARTS", "Consumables", "Cylinder", "GasStock", "Generator", "Item", "entry_of", "item_names"]

Pieces = Annotated[int, Field(strict=True, ge=1)]
PARTS, BULK = used_of("part"), used_of("bulk")


class Cylinder(Document):
    """A gas cylinder: water volume, and what it is filled to: pressure by gauge, or mass where the gas is liquid."""

    water_volume: Volume
    fill_pressure: Filling | None = None
    fill_mass: Mass | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.fill_pressure is None) is (self.fill_mass is None):
            raise ValueError("give fill_pressure, or fill_mass for carbon dioxide, which is filled as a liquid")
        return self


class _Stock(Document):
    article: Text = ""
    supplier: Text = ""


class WirePack(Document):
    """Another size of spool, with its own price for a kilogram."""

    price: PerMass
    pack: Spool
    article: Text = ""


class GasPack(Document):
    """Another size of cylinder, with its own price for a litre."""

    price: PerVolume
    pack: Volume
    article: Text = ""


class PartPack(Document):
    """Another size of pack, with its own price for a piece."""

    price: Money
    pack: Pieces
    article: Text = ""


class WireStock(_Stock):
    """What a wire costs and how it is packed; `short` and `carry`: cost of a kilogram too little and too much."""

    price: PerMass
    pack: Spool
    packs: dict[Name, WirePack] = Field(default_factory=dict, max_length=5)
    short: PerMass | None = None
    carry: PerMass | None = None


class GasStock(_Stock):
    """What a gas costs and how it is packed; volumes at 15 degC and 1 bar. Without `pack` the cylinder says it."""

    price: PerVolume
    pack: Volume | None = None
    cylinder: Cylinder | None = None
    packs: dict[Name, GasPack] = Field(default_factory=dict, max_length=5)
    short: PerVolume | None = None
    carry: PerVolume | None = None

    @model_validator(mode="after")
    def _sized(self) -> Self:
        if self.pack is None and self.cylinder is None:
            raise ValueError("give pack, the litres in a cylinder, or cylinder, its water volume and filling")
        return self


class PartStock(_Stock):
    """What one piece costs and how many are in a pack; `short` and `carry`: cost of one too few and too many."""

    price: Money
    pack: Pieces = 1
    packs: dict[Name, PartPack] = Field(default_factory=dict, max_length=5)
    short: Money | None = None
    carry: Money | None = None


class LiquidStock(_Stock):
    """What a liquid costs and how it is packed."""

    price: PerVolume
    pack: Volume
    packs: dict[Name, GasPack] = Field(default_factory=dict, max_length=5)
    short: PerVolume | None = None
    carry: PerVolume | None = None


class FuelGasStock(_Stock):
    """What burner gas costs and how it is packed."""

    price: PerMass
    pack: Mass
    packs: dict[Name, WirePack] = Field(default_factory=dict, max_length=5)
    short: PerMass | None = None
    carry: PerMass | None = None


class Consumables(Document):
    """Everything that is used up, by name."""

    wires: dict[Name, WireStock]
    gases: dict[Name, GasStock]
    tip: PartStock
    nozzle: PartStock
    insert: PartStock
    liner: PartStock
    disc: PartStock
    bracket: PartStock
    anti_spatter: LiquidStock
    burner_gas: FuelGasStock
    fuel: LiquidStock
    energy: PerEnergy


class Generator(Document):
    """A generator that feeds the equipment: fuel while it idles, and fuel for the energy drawn."""

    idle: Flow
    per_energy: quantity_field("volume per energy")  # pyrefly: ignore[invalid-annotation] # an annotation made by a function


Item = WireStock | GasStock | PartStock | LiquidStock | FuelGasStock


def item_names(consumables: Consumables) -> list[str]:
    """Return the name of every item that can be ordered."""
    return [*consumables.wires, *consumables.gases, *PARTS.values(), *BULK.values()]


def entry_of(name: str, consumables: Consumables) -> Item:
    """Return what the price book says of an item: a wire, a gas, or one of the others by its name."""
    named: Item | None = consumables.wires.get(name) or consumables.gases.get(name)
    return getattr(consumables, name.replace(" ", "_").replace("-", "_")) if named is None else named
