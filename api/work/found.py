"""More wear found on site: a quote's job planned anew from the diameter that a bore was really cut to."""

import json
from collections.abc import Iterator
from typing import Annotated, Any

from pydantic import Field
from pydantic_core import to_json

from api.work.tasks import book_of
from estimator.document.bore import Bore
from estimator.document.redact import Role, redact
from estimator.errors import DocumentError, Fault
from estimator.estimate import Estimate, estimate
from estimator.express import digits
from estimator.fields import Document, Length, Name
from estimator.strict import parse, validated
from exports.format import by_grade, clock_time, counted, shown
from exports.in_units import units_of
from exports.papers.packed_bore import bore_pages

__all__ = ["FoundOnSite", "planned_anew"]

HELD = ("stop", "approve")
MILLI = 1e-3


class FoundBore(Document):
    """The diameter that a bore was cut to until it was clean."""

    name: Name
    cleanup_diameter: Length


class FoundOnSite(Document):
    """Bores in which more wear was found than was quoted."""

    bores: Annotated[tuple[FoundBore, ...], Field(min_length=1, max_length=200)]


def planned_anew(body: str | bytes, job: str, book: str, frozen: str, role: Role) -> bytes:
    """Return what more wear comes to beside the quote: layers, wire, hours, and to whom money is shown the price.

    Parameters
    ----------
    body
        What was found.
    job, book, frozen
        The texts of the quote's job, price book and estimate, as they were frozen.
    role
        Whom it is for.
    """
    sent, rules = parse(body), book_of(book)
    wanted = validated(FoundOnSite, sent, {})
    quoted = json.loads(frozen)
    planned = {bore["name"]: bore["sizes"]["cleanup_mm"] for bore in quoted["bores"]}
    if faults := list(_amiss(wanted, planned)):
        raise DocumentError(faults)
    cut = {one["name"]: one["cleanup_diameter"] for one in sent["bores"]}
    return to_json(redact(_beside(quoted, estimate(_cut_to(job, cut), rules, "plan"), list(cut)), role))


def _amiss(wanted: FoundOnSite, planned: dict[str, float]) -> Iterator[Fault]:
    for at, one in enumerate(wanted.bores):
        if one.name not in planned:
            yield Fault(f"bores.{at}.name", f"the quote has no bore {one.name!r}; it has {', '.join(planned)}")
        elif one.cleanup_diameter <= planned[one.name] * MILLI:
            said = f"is no more than the {planned[one.name]:g} mm that were planned; the plan stands"
            yield Fault(f"bores.{at}.cleanup_diameter", said)


def _cut_to(job: str, diameters: dict[str, str]) -> str:
    """Return a job whose bores were cut to some diameters."""
    document = json.loads(job)
    for bore in document["bores"]:
        if bore["name"] in diameters:
            bore["cleanup_diameter"] = diameters[bore["name"]]
    return json.dumps(document)


def _beside(quoted: Estimate, after: Estimate, names: list[str]) -> dict[str, Any]:
    """Return a plan beside the one that was quoted; the hours and price more are those after the cut."""
    variation = after["variation"]
    bores = [_bore(bore, after) for bore in after["bores"] if bore["name"] in names]
    before = {text for grade in HELD for text in by_grade(quoted, grade)}
    weld_more = {one["name"]: one["deposit_more_kg"] for one in variation["bores"]}
    return {
        "said": _said(bores, after, sum(weld_more.values()), variation["on_site_more_min"]),
        "bores": [
            bore | {"deposit_more_kg": weld_more.get(bore["name"]), "wear_mm": _wear(bore, quoted)} for bore in bores
        ],
        "wire_kg": after["totals"]["wire_kg"],
        "on_site_more_min": variation["on_site_more_min"],
        "warnings": [text for grade in HELD for text in by_grade(after, grade) if text not in before]
        + variation["refused"],
        "currency": after["price"]["currency"],
        "price_more": variation["price_more"],
    }


def _wear(found: dict[str, Any], quoted: Estimate) -> float:
    """Return the wear a side that a bore turned out to have: as quoted, and what was cut beyond the plan. [mm]"""
    before = next(bore for bore in quoted["bores"] if bore["name"] == found["name"])
    beyond = (found["cleanup_mm"] - before["sizes"]["cleanup_mm"]) / 2
    return digits("max_radial_wear_mm", before["wear"]["max_radial_wear_mm"] + beyond)


def _bore(bore: Bore, found: Estimate) -> dict[str, Any]:
    pages = bore_pages(bore, found, units_of(found))
    weld = pages["weld"] or {"head": [], "layers": []}
    return {
        "name": bore["name"],
        "cleanup_mm": bore["sizes"]["cleanup_mm"],
        "weld_mm": bore["sizes"]["weld_mm"],
        "layers": len(bore["buildup"]["layers"]),
        "head": weld["head"],
        "rows": weld["layers"],
    }


def _said(bores: list[dict[str, Any]], after: Estimate, metal: float, time: float | None) -> str:
    """Return in one line what the work comes to now."""
    units = units_of(after)
    layers = ", ".join(f"bore {one['name']} {counted(one['layers'], 'layer')}" for one in bores)
    wire, more = shown("wire_kg", after["totals"]["wire_kg"], units), shown("wire_kg", metal, units)
    hours = "" if time is None else f"; {clock_time(max(time, 0.0))} more on site"
    return f"{layers}; wire {wire} for the whole job, {more} more weld metal{hours}"
