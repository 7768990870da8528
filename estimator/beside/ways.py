"""Only where it is worn: the bore built up all round, after a pocket is filled, or in a sector; priced and advised."""

from decimal import Decimal
from typing import NotRequired

from typing_extensions import TypedDict

from estimator.beside.twin import Run, Twin, decimal_of
from estimator.beside.variants import dearer
from estimator.book.pricebook import PriceBook
from estimator.bore.sector import worn_sector
from estimator.bore.survey import Survey, survey
from estimator.errors import JobRefusedError
from estimator.express import digits, money
from estimator.formula import choice, difference, summed
from estimator.job.features import Sector
from estimator.job.job import Bore, Job
from estimator.money.lines import minor_of
from estimator.steps.survey import thinnest_layer
from estimator.tables.messages import say, text_of

__all__ = ["Ways", "ways_of"]

FULL, POCKET, SECTOR = "full circle", "pocket first", "sector"
STICKS = Decimal("0.01")  # a way that saves less than this share of the price changes nothing
SAID = {FULL: say("way_full"), POCKET: say("way_pocket"), SECTOR: say("way_sector")}
KEYS = {POCKET: "pocket", SECTOR: "sector"}  # what the job document says to ask for a way


class Way(TypedDict):
    """One way of building a bore up: what it takes against the full circle, or why it cannot be had."""

    way: str
    feasible: bool
    cleanup_mm: NotRequired[float]
    deposit_mass_kg: NotRequired[float]
    good_metal_kept_mm3: NotRequired[float]
    starts: NotRequired[float]
    interrupted_cut: NotRequired[bool]
    on_site_more_min: NotRequired[float]
    price_more: NotRequired[str]
    reasons: list[str]


class Advice(TypedDict):
    """The way that is advised, and why."""

    advised: str
    why: str


class Ways(Advice):
    """A bore worn on one side only: the ways beside each other, and the one advised."""

    bore: str
    clock_from: float
    clock_to: float
    options: list[Way]


def ways_of(job: Job, book: PriceBook, found: Twin, run: Run) -> list[Ways]:
    """Return, for each bore worn on one side only, what each way of building it up takes, and which one is advised."""
    said = []
    placed = {name for line in found.lines for name in line}  # their axis already follows the wear
    for number, bore in enumerate(job.bores):
        part = None if bore.name in placed else _worn_part(bore, book)
        if part is not None:
            said.append(_weighed(job, number, part, book, found, run))
    return said


def _worn_part(bore: Bore, book: PriceBook) -> Sector | None:
    """Return the part of the clock that is worn, where readings tell it and the job leaves the way open."""
    pinned = bore.sector is not None or bore.pocket is not None or bore.cleanup_diameter is not None
    if pinned or bore.readings is None or bore.readings.kind not in ("radius", "points"):
        return None
    seen: Survey = survey(bore, book.facts, thinnest_layer(book.facts))
    limit, most = seen.sizes.finish_max / 2 + seen.trust.reading, book.facts.plain_constant("most_sector")
    return worn_sector(seen.profile, float(limit), most)


def _weighed(job: Job, number: int, part: Sector, book: PriceBook, found: Twin, run: Run) -> Ways:
    """Return the ways of one bore beside each other."""
    bore, options = job.bores[number], list[Way]()
    options.append(_way(FULL, number, found, found, book))
    for name, key in KEYS.items():
        changed = bore.model_copy(update={key: part})
        bores = tuple(changed if n == number else one for n, one in enumerate(job.bores))
        try:
            options.append(_way(name, number, run(job.model_copy(update={"bores": bores})), found, book))
        except JobRefusedError as error:
            options.append({"way": name, "feasible": False, "reasons": [str(fault) for fault in error.faults]})
    return {
        "bore": bore.name,
        "clock_from": choice(part.start, "from", "last reading within the finish limits before the wear"),
        "clock_to": choice(part.end, "to", "first reading within the finish limits after it"),
        "options": options,
        **_advice(options, found.total),
    }


def _way(name: str, number: int, one: Twin, full: Twin, book: PriceBook) -> Way:
    """Return what one way takes: metal, starts, hours, price, against the full circle."""
    bore, plain = one.bores[number], full.bores[number]
    mass = summed("deposit_mass", "kg", bore.deposit, *bore.fills)
    layers = choice(len(bore.beads), "starts", "one start a layer of a spiral")
    said = "a pocket is filled bead beside bead along the bore"
    by_hand = [choice(max(bore.beads), "starts", said)] if bore.fills else []
    starts = summed("starts", "", *bore.beads) if name == SECTOR else summed("starts", "", layers, *by_hand)
    more = difference(one.on_site, full.on_site)
    price = dearer(one.total, full.total)
    gone = summed("removed", "mm3", bore.precut, *bore.ground)
    less = difference(plain.precut, gone)
    return {
        "way": name,
        "feasible": True,
        "cleanup_mm": bore.cleanup,
        "deposit_mass_kg": digits("deposit_mass_kg", mass),
        "good_metal_kept_mm3": digits("good_metal_kept_mm3", less),
        "starts": starts,
        "interrupted_cut": name == SECTOR,
        "on_site_more_min": digits("on_site_more_min", more),
        "price_more": money(price, minor_of(book)),
        "reasons": [text_of(SAID[name])],
    }


def _advice(options: list[Way], price: Decimal) -> Advice:
    """Return the way that is advised: the cheapest, unless it saves too little to bear its drawbacks."""
    able = [one for one in options if one["feasible"]]
    best = min(able, key=lambda one: decimal_of(one["price_more"]))
    saved = -decimal_of(best["price_more"])
    if best["way"] == FULL or saved <= 0:
        return {"advised": FULL, "why": text_of(say("way_none"))}
    if saved < STICKS * price:
        return {"advised": FULL, "why": text_of(say("way_little", way=best["way"], saved=f"{saved:f}"))}
    why = say("way_saves", saved=f"{saved:f}", said=SAID[best["way"]])
    return {"advised": best["way"], "why": text_of(why)}
