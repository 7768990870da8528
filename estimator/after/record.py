"""What happened on site, as it is recorded: of the work in all, of each bore, beside the quote; read and checked."""

from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import Field

from estimator.errors import DocumentError, Fault
from estimator.estimate import Estimate
from estimator.fields import (
    Allowance,
    Angle,
    Current,
    Date,
    Distance,
    Document,
    Length,
    Mass,
    Money,
    Name,
    Note,
    Pressure,
    Rate,
    Temperature,
    Time,
    Voltage,
    Volume,
    Wait,
)
from estimator.strict import validated

__all__ = ["DoneBore", "Finished", "Happened", "Standing", "Station", "Variation", "read_happened"]

Recorded = Literal[
    "arc_time", "wire", "gas", "setup", "precut", "preheat", "weld", "cooldown", "machining", "finish", "inspection",
    "teardown", "on_site",
]  # fmt: skip
DRAWN = r"^(M\d{1,4} \d{1,4}(L\d{1,4} \d{1,4})*)+$"
ENTRY = r"^[0-9A-Za-z-]{8,64}$"
Parts = Annotated[float, Field(strict=True, ge=0, le=10_000, allow_inf_nan=False)]


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
    """What one bore took, and what was read on it; `sure`: what somebody was asked about and confirmed."""

    name: Name
    arc_time: Time | None = None
    wire: Mass | None = None
    gas: Volume | None = None
    setup: Wait | None = None
    precut: Wait | None = None
    preheat: Wait | None = None
    weld: Wait | None = None
    cooldown: Wait | None = None
    machining: Wait | None = None
    finish: Wait | None = None
    inspection: Wait | None = None
    teardown: Wait | None = None
    on_site: Time | None = None
    sure: Annotated[tuple[Recorded, ...], Field(max_length=20)] = ()
    tips: Parts | None = None
    nozzles: Parts | None = None
    inserts: Parts | None = None
    wear: Distance | None = None
    run_out: Allowance | None = None
    cleanup_diameter: Length | None = None
    weld_diameter: Length | None = None
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


class TestBead(Document):
    """What was read on the test bead."""

    __test__ = False
    current: Current | None = None
    voltage: Voltage | None = None


class Left(Document):
    """What was left when the work was done: wire on the spool, pressure in the cylinder."""

    wire: Mass | None = None
    pressure: Pressure | None = None


class Happened(Document):
    """A record of what happened; `replaces` names an earlier record that was wrong.

    `labour`: what a person's hour on site really cost. `signature_path`: the signature as drawn by hand, lines of an
    SVG path; `entry`: what a device calls this record, so that it is kept once however late it is sent again; `seen`:
    the last record that was known when this one was made.
    """

    quote: Name
    finished_at: Date | None = None
    crew: Name | None = None
    rig: Name | None = None
    people: Annotated[int, Field(strict=True, ge=1, le=20)] | None = None
    travel: Time | None = None
    labour: Rate | None = None
    permit: Name | None = None
    ambient: Temperature | None = None
    part_temperature: Temperature | None = None
    test_bead: TestBead | None = None
    left: Left | None = None
    watch_until: Name | None = None
    accepted_by: Name | None = None
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
    signature_path: Annotated[str, Field(strict=True, max_length=20_000, pattern=DRAWN)] | None = None
    entry: Annotated[str, Field(strict=True, pattern=ENTRY)] | None = None
    seen: Annotated[int, Field(strict=True, ge=0, le=2**53)] | None = None


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
