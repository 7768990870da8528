"""What is used up, in the estimate document."""

from collections.abc import Mapping
from typing import cast

from typing_extensions import TypedDict

from estimator.express import all_shown
from estimator.shop.supplies import SHOWN

__all__ = ["Consumption", "supplies_shown"]


class Consumption(TypedDict):
    """What is used up; parts are expected numbers, what is planned by rule (`planned_…`) included."""

    wire_kg: float
    gas_L: float
    tips: float
    nozzles: float
    inserts: float
    energy_kWh: float
    liners: float
    discs: float
    brackets: float
    anti_spatter_L: float
    burner_gas_kg: float
    fuel_L: float
    planned_tips: float
    planned_nozzles: float
    planned_inserts: float
    planned_liners: float
    arc_starts: float


def supplies_shown(used: Mapping[str, float]) -> Consumption:
    """Return what is used up under the document's keys; `used` by the field's name. [SI]"""
    found = all_shown({key: used[name] for name, (key, _) in SHOWN.items()})
    return cast(Consumption, found)  # the list of what is used up has the type's keys: a test holds both together
