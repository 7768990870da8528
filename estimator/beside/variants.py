"""The same job told another way: the other kind of wear beside a budget price, and what a deeper clean-up cut adds."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NotRequired

from typing_extensions import TypedDict

from estimator.beside.twin import Run, Side, Twin
from estimator.book.pricebook import PriceBook
from estimator.bore.survey import unsure_steel
from estimator.errors import JobRefusedError
from estimator.express import digits, money
from estimator.formula import choice, difference, formula
from estimator.job.job import Job
from estimator.money.lines import minor_of
from estimator.steps.survey import surveyed, thinnest_layer
from estimator.tables.messages import Message, say, texts_of

__all__ = ["Budget", "Variation", "budget_of", "dearer", "measures_of", "variation_of", "worn_otherwise"]

DRAWN = "what 10, 50 or 90 of 100 such jobs stay below, of days drawn from the tables of doubts, events and times"
OTHER: dict[str, str] = {"one-sided": "even", "even": "one-sided"}
MEASURE = (say("measure_diameters"), say("measure_clock"), say("measure_boss"), say("measure_condition"))


class OtherWear(TypedDict):
    """What the other kind of wear would ask for."""

    name: str
    wear: str
    cleanup_mm: float
    deposit_mass_kg: float


class Other(TypedDict):
    """The job with the other kind of wear."""

    other_wear: list[OtherWear]
    other_price: str | None
    other_refused: list[str]


class Budget(TypedDict):
    """What a budget price before tax is worth, what makes an offer of it; the other wear where that is asked for."""

    title: str
    bores: list[str]
    low: str
    likely: str
    high: str
    other_wear: NotRequired[list[OtherWear]]
    other_price: NotRequired[str | None]
    other_refused: NotRequired[list[str]]
    measure: list[str]


NOT_ASKED: Other = {"other_wear": [], "other_price": None, "other_refused": []}


class CutBore(TypedDict):
    """One bore as gauged and as really cut."""

    name: str
    planned_cleanup_mm: float
    cut_cleanup_mm: float
    deposit_more_kg: float


class Variation(TypedDict):
    """What the bores as really cut add; to be signed before work goes on."""

    bores: list[CutBore]
    on_site_more_min: float | None
    price_more: str | None
    refused: list[str]


@formula("price", "definition: what a changed job costs more", "computed")
def dearer(price: Decimal, price_before: Decimal) -> Decimal:
    """How much more one price is than another. [the currency]"""
    return price - price_before


def measures_of(job: Job, book: PriceBook) -> list[Message]:
    """Return what to measure before a budget price can become a quote."""
    guessed = any(bore.readings is None for bore in job.bores)
    unsure = any(unsure_steel(bore, book.facts) for bore in job.bores)
    return [*(MEASURE if guessed else ()), *((say("measure_steel"),) if unsure else ())]


def budget_of(job: Job, book: PriceBook, band: Sequence[str], run: Run | None) -> Budget:
    """Return a budget price and what to measure; with `run` the price with the other kind of wear too.

    Parameters
    ----------
    job, book
        What was asked for.
    band
        What 10, 50 and 90 of 100 such jobs come to, before tax, as text. [the currency]
    run
        Answers a job once more.
    """
    unsure = [bore.name for bore in job.bores if unsure_steel(bore, book.facts)]
    guessed = [bore.name for bore in job.bores if bore.readings is None]
    names = [bore.name for bore in job.bores if bore.name in {*guessed, *unsure}]
    minor = minor_of(book)
    low, likely, high = (money(choice(Decimal(one), "price", DRAWN), minor) for one in band)
    other = NOT_ASKED if run is None or not guessed else _other(job, minor, run)
    told: Budget = {
        "title": "budget price",
        "bores": names,
        "low": low,
        "likely": likely,
        "high": high,
        "other_wear": other["other_wear"],
        "other_price": other["other_price"],
        "other_refused": other["other_refused"],
        "measure": texts_of(measures_of(job, book)),
    }
    if run is None or not guessed:
        del told["other_wear"], told["other_price"], told["other_refused"]
    return told


def worn_otherwise(job: Job) -> Job:
    """Return a job whose bores are worn the other way, where only a largest diameter was told."""
    bores = tuple(b if b.readings else b.model_copy(update={"wear": OTHER[b.wear]}) for b in job.bores)
    return job.model_copy(update={"bores": bores})


def _other(job: Job, minor: str, run: Run) -> Other:
    """Return what the other kind of wear would ask for."""
    worn = worn_otherwise(job)
    try:
        other = run(worn)
    except JobRefusedError as error:
        return {"other_wear": [], "other_price": None, "other_refused": [str(fault) for fault in error.faults]}
    pairs = zip(worn.bores, other.bores, strict=True)
    return {
        "other_wear": [_worn(bore.wear, one) for bore, one in pairs if bore.readings is None],
        "other_price": money(other.total, minor),
        "other_refused": [],
    }


def _worn(wear: str, one: Side) -> OtherWear:
    return {"name": one.name, "wear": wear, "cleanup_mm": one.cleanup, "deposit_mass_kg": one.deposit}


def _as_gauged(job: Job, book: PriceBook) -> Job:
    """Return a job as if its bores had been cut to what their gauging asked for, about the axes of their lines."""
    uncut = tuple(bore.model_copy(update={"cleanup_diameter": None}) for bore in job.bores)
    _, surveys = surveyed(job.model_copy(update={"bores": uncut}), book.facts, thinnest_layer(book.facts))
    planned = tuple(
        bore if bore.cleanup_diameter is None else bore.model_copy(update={"cleanup_diameter": one.sizes.cleanup})
        for bore, one in zip(job.bores, surveys, strict=True)
    )
    return job.model_copy(update={"bores": planned})


def variation_of(job: Job, book: PriceBook, found: Twin, run: Run) -> Variation:
    """Return what the bores as really cut add to the bores as gauged: metal, hours and price, both after the cut."""
    minor = minor_of(book)
    try:
        planned = run(_as_gauged(job, book))
    except JobRefusedError as error:
        return {"bores": [], "on_site_more_min": None, "price_more": None, "refused": [str(f) for f in error.faults]}
    cut = {bore.name for bore in job.bores if bore.cleanup_diameter is not None}
    pairs = [(a, b) for a, b in zip(planned.bores, found.bores, strict=True) if a.name in cut]
    more = difference(found.on_site, planned.on_site)
    price = dearer(found.total, planned.total)
    return {
        "bores": [_cut(before, after) for before, after in pairs],
        "on_site_more_min": digits("on_site_more_min", more),
        "price_more": money(price, minor),
        "refused": [],
    }


def _cut(before: Side, after: Side) -> CutBore:
    laid = difference(after.deposit, before.deposit)
    return {
        "name": after.name,
        "planned_cleanup_mm": before.cleanup,
        "cut_cleanup_mm": after.cleanup,
        "deposit_more_kg": digits("deposit_more_kg", laid),
    }
