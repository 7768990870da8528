"""What happened on site, as it was recorded, set beside the estimate of the quote.

A finished size conforms where it lies inside its limits by more than the uncertainty of the gauge, and does not conform
where it lies outside them by more than that; between the two the gauge cannot tell.
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from estimator.document.bore import Bore
from estimator.document.sizes import Sizes
from estimator.errors import DocumentError, Fault
from estimator.estimate import Estimate
from estimator.express import digits
from estimator.fields import (
    Allowance,
    Angle,
    Distance,
    Document,
    Length,
    Mass,
    Money,
    Name,
    Note,
    Rate,
    Temperature,
    Time,
    Volume,
    Wait,
)
from estimator.strict import validated
from estimator.tables import Tables
from estimator.tables.rows import Gauge

__all__ = ["Happened", "judged", "read_happened", "verdict"]

HUNDREDTH = 0.01  # [mm] to which wear is read
COVERAGE = 2.0  # standard uncertainties; about 95 % of a normal distribution
MILLI, KELVIN, MINUTE, LITRE = 1e-3, 273.15, 60.0, 1e-3
Verdict = Literal["conforms", "does not conform", "not proven"]
# Key of a record, its SI number per document unit, and where the estimate says the same.
KINDS: dict[str, tuple[str, float, tuple[tuple[str, str], ...]]] = {
    "arc_time": ("arc_time_min", MINUTE, (("buildup", "arc_time_min"),)),
    "wire": ("wire_kg", 1.0, (("consumption", "wire_kg"),)),
    "gas": ("gas_L", LITRE, (("consumption", "gas_L"),)),
    "tips": ("tips", 1.0, (("consumption", "tips"),)),
    "setup": ("setup_min", MINUTE, (("time", "setup_min"),)),
    "machining": ("machining_min", MINUTE, (("time", "precut_min"), ("time", "finish_min"))),
    "on_site": ("on_site_min", MINUTE, (("time", "total_min"),)),
}


class Station(Document):
    """A finished diameter, at a depth from the machine's face and a place on the clock."""

    depth: Distance
    diameter: Length
    clock: Angle | None = None


class Finished(Document):
    """The finished bore as gauged; `uncertainty` is the standard uncertainty of one reading."""

    stations: Annotated[tuple[Station, ...], Field(min_length=1, max_length=200)]
    uncertainty: Allowance | None = None


class DoneBore(Document):
    """What one bore took, and what was read on it."""

    name: Name
    arc_time: Time | None = None
    wire: Mass | None = None
    gas: Volume | None = None
    tips: Annotated[float, Field(strict=True, ge=0, le=1000, allow_inf_nan=False)] | None = None
    wear: Distance | None = None
    setup: Wait | None = None
    machining: Wait | None = None
    on_site: Time | None = None
    preheat_read: Temperature | None = None
    interpass_read: Temperature | None = None
    finished: Finished | None = None


class Variation(Document):
    """Work beside the quote, at a price before tax; it is invoiced once someone approved it."""

    description: Name
    price: Money
    approved_by: Name | None = None


class Standing(Document):
    """Time the crew stood waiting for the customer; it is invoiced once someone approved it."""

    reason: Name
    time: Time
    people: Annotated[int, Field(strict=True, ge=1, le=20)] = 1
    rate: Rate | None = None
    approved_by: Name | None = None


class Happened(Document):
    """A record of what happened; `replaces` names an earlier record that was wrong."""

    quote: Name
    bores: Annotated[tuple[DoneBore, ...], Field(max_length=200)] = ()
    welder: Name | None = None
    wire_batch: Name | None = None
    gas_batch: Name | None = None
    purchase_order: Name | None = None
    signature: Name | None = None
    note: Note | None = None
    variations: Annotated[tuple[Variation, ...], Field(max_length=200)] = ()
    standing: Annotated[tuple[Standing, ...], Field(max_length=200)] = ()
    replaces: Annotated[int, Field(strict=True, ge=1, le=2**53)] | None = None


def verdict(diameter: float, low: float, high: float, uncertainty: float) -> Verdict:
    """Return whether a diameter lies within its limits.

    Guarded acceptance and guarded rejection with a guard band of U = 2 u (JCGM 106:2012, 8.3.2 and 8.3.3; published).

    Parameters
    ----------
    diameter
        As gauged [m]
    low, high
        Limits of size [m]
    uncertainty
        Standard uncertainty of a reading [m]
    """
    band = COVERAGE * uncertainty
    if low + band <= diameter <= high - band:
        return "conforms"
    return "does not conform" if diameter < low - band or diameter > high + band else "not proven"


def read_happened(data: dict[str, Any], estimate: Estimate) -> Happened:
    """Return a record, checked against the estimate of its quote; raise `DocumentError` with every fault.

    A quote's number may be a plain number.
    """
    number = data.get("quote")
    if isinstance(number, int) and not isinstance(number, bool):
        data = {**data, "quote": str(number)}
    found = validated(Happened, data, {})
    faults = list(_across(found, estimate))
    if faults:
        raise DocumentError(faults)
    return found


def _across(found: Happened, estimate: Estimate) -> Iterator[Fault]:
    """Yield what does not fit the estimate, or does not fit together."""
    known, seen = [bore["name"] for bore in estimate["bores"]], set[str]()
    for number, bore in enumerate(found.bores):
        if bore.name not in known:
            yield Fault(f"bores.{number}.name", f"the quote has no bore {bore.name!r}; it has {', '.join(known)}")
        if bore.name in seen:
            yield Fault(f"bores.{number}.name", f"{bore.name!r} is given twice")
        seen.add(bore.name)
    currency = estimate["price"]["currency"]
    prices = [(f"variations.{number}.price", one.price) for number, one in enumerate(found.variations)]
    prices += [(f"standing.{number}.rate", one.rate) for number, one in enumerate(found.standing) if one.rate]
    for path, price in prices:
        if price.currency != currency:
            yield Fault(path, f"{price.currency} is not the quote's currency {currency}")
    if not (found.bores or found.variations or found.standing or found.signature or found.purchase_order):
        yield Fault("bores", "nothing is recorded; give what a bore took, a variation, standing time or a signature")


def judged(found: Happened, estimate: Estimate, facts: Tables) -> dict[str, Any]:
    """Return a record set beside its estimate: recorded against estimated, verdicts of sizes, remarks."""
    planned = {bore["name"]: bore for bore in estimate["bores"]}
    bores = [_bore(bore, planned[bore.name], facts) for bore in found.bores]
    remarks = [remark for bore in found.bores for remark in _remarks(bore, planned[bore.name])]
    for bore in bores:
        off = [size for size in bore["finished"] if size["verdict"] != "conforms"]
        remarks += [f"bore {bore['name']}: {size['diameter_mm']:g} mm {size['verdict']}" for size in off]
    return {"bores": bores, "remarks": remarks}


def _bore(bore: DoneBore, planned: Bore, facts: Tables) -> dict[str, Any]:
    taken: dict[str, dict[str, float]] = {}
    rooms: Mapping[str, Any] = planned  # read by the places that the table names
    for kind, (key, unit, places) in KINDS.items():
        value = getattr(bore, kind)
        if value is not None:
            said = sum(rooms[room][name] for room, name in places)
            taken[key] = {"recorded": digits(places[0][1], value / unit), "estimated": digits(places[0][1], said)}
    return {"name": bore.name, "taken": taken, "finished": _sizes(bore.finished, planned["sizes"], facts)}


def _sizes(finished: Finished | None, sizes: Sizes, facts: Tables) -> list[dict[str, Any]]:
    if finished is None:
        return []
    usual = facts.row("gauges", "diameter", Gauge).uncertainty
    doubt = usual if finished.uncertainty is None else finished.uncertainty
    low, high = sizes["finish_min_mm"] * MILLI, sizes["finish_max_mm"] * MILLI
    return [
        {
            "depth_mm": digits("depth_mm", one.depth / MILLI),
            "clock": one.clock,
            "diameter_mm": digits("diameter_mm", one.diameter / MILLI),
            "uncertainty_mm": digits("diameter_uncertainty_mm", doubt / MILLI),
            "verdict": verdict(one.diameter, low, high, doubt),
        }
        for one in finished.stations
    ]


def _remarks(bore: DoneBore, planned: Bore) -> Iterator[str]:
    """Yield where heat was other than was asked for."""
    heat, quoted = planned["heat"], planned["wear"]["max_radial_wear_mm"]
    if bore.wear is not None and bore.wear / MILLI > quoted + HUNDREDTH:
        yield f"bore {bore.name}: {bore.wear / MILLI:.2f} mm worn a side, {quoted:.2f} were quoted: offer a variation"
    if bore.preheat_read is not None and bore.preheat_read - KELVIN < heat["preheat_C"]:
        yield f"bore {bore.name}: {bore.preheat_read - KELVIN:.0f} degC read, {heat['preheat_C']:.0f} preheat was asked"
    if bore.interpass_read is not None and bore.interpass_read - KELVIN > heat["interpass_max_C"]:
        read, most = bore.interpass_read - KELVIN, heat["interpass_max_C"]
        yield f"bore {bore.name}: {read:.0f} degC read between layers, {most:.0f} was the most"
