"""What a job is expected to use up: one list for page, web page, day page and workbook."""

import math

from estimator.estimate import Estimate
from estimator.tables.used import used_of, used_up
from exports.format import Units, by_key, counted, shown

__all__ = ["PARTS", "USED", "to_take", "used", "whole"]

USED = tuple((one.key, one.words) for one in used_up())
PARTS = tuple(used_of("part"))  # counted: nobody loads half a tip
FEWER = {"wire_kg": 2, "burner_gas_kg": 1, "fuel_L": 1}  # decimals left off for the van
NEAR = 1e-6


def whole(quantity: float) -> int:
    """Return how many whole parts an expected wear takes."""
    return math.ceil(quantity - NEAR)


def used(estimate: Estimate, units: Units) -> list[tuple[str, str]]:
    """Return what is expected to be used up, by name; nothing of what is not."""
    totals = by_key(estimate["totals"])
    return [(name, shown(key, totals[key], units)) for key, name in USED if totals.get(key)]


def to_take(estimate: Estimate, units: Units) -> str:
    """Return in one line what the van takes: wire and gas by kind, fuel, whole parts."""
    totals = by_key(estimate["totals"])
    kinds = {"wire_kg": _kinds(estimate, "wire"), "gas_L": _kinds(estimate, "gas")}
    said, single = list[str](), list[str]()
    for key, name in USED:
        amount = totals.get(key)
        if not amount or key == "energy_kWh":
            continue
        if key == "anti_spatter_L":  # a can of it
            said.append(name)
            continue
        if key in PARTS:
            some = said if whole(amount) > 1 else single
            some.append(counted(whole(amount), name.removesuffix("s")))
        else:
            kind = f" ({kinds[key]})" if kinds.get(key) else ""
            said.append(f"{name} {shown(key, amount, units, FEWER.get(key, 0))}{kind}")
    ones = [one.removeprefix("1 ") for one in single]
    return ", ".join(said) + (f"; 1 each of {', '.join(ones)}" if len(ones) > 1 else f", {single[0]}" if single else "")


def _kinds(estimate: Estimate, key: str) -> str:
    return "; ".join(dict.fromkeys(str(by_key(bore["buildup"])[key]) for bore in estimate["bores"]))
