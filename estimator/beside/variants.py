"""The same job told another way: the other kind of wear beside a budget price, and what a deeper clean-up cut adds."""

from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.document.bore import Bore
from estimator.document.whole import Whole
from estimator.errors import JobRefusedError
from estimator.express import digits, money
from estimator.formula import difference, formula
from estimator.job.job import Job
from estimator.money.lines import minor_of
from estimator.steps.survey import surveyed, thinnest_layer
from estimator.tables.messages import say, texts_of

__all__ = ["Budget", "Run", "Variation", "budget_of", "dearer", "decimal_of", "variation_of"]

Run = Callable[[Job], Whole]
OTHER: dict[str, str] = {"one-sided": "even", "even": "one-sided"}
MEASURE = (say("measure_diameters"), say("measure_clock"), say("measure_boss"), say("measure_condition"))


class OtherWear(TypedDict):
    """What the other kind of wear would ask for."""

    name: str
    wear: str
    cleanup_mm: float
    deposit_mass_kg: float


class Budget(TypedDict):
    """What a budget price is worth and how to make an offer of it."""

    title: str
    bores: list[str]
    band_low: float
    band_high: float
    price_low: str
    price_high: str
    other_wear: list[OtherWear]
    other_price: str | None
    other_refused: list[str]
    measure: list[str]


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


@formula("price", "AACE 18R-97 class of estimate: the price times one and the end of its band", "published")
def band_end(price: Decimal, band_share: float, minor: str) -> Decimal:
    """End of the band of a budget price. [the currency]"""
    return (price * (1 + Decimal(repr(float(band_share))))).quantize(Decimal(minor), ROUND_HALF_UP)


@formula("price", "definition: what a changed job costs more", "computed")
def dearer(price: Decimal, price_before: Decimal) -> Decimal:
    """How much more one price is than another. [the currency]"""
    return price - price_before


def decimal_of(amount: Any) -> Decimal:  # noqa: ANN401  # text, or a number that knows why
    """Return an amount of the estimate document as a decimal number."""
    return amount if isinstance(amount, Decimal) else Decimal(amount)


def budget_of(job: Job, book: PriceBook, found: Whole, run: Run) -> Budget:
    """Return the band of a budget price, the price with the other kind of wear, and what to measure."""
    quick = [bore for bore in job.bores if bore.readings is None]
    names = [bore.name for bore in quick]
    swapped = tuple(b.model_copy(update={"wear": OTHER[b.wear]}) if b in quick else b for b in job.bores)
    facts, minor, price = book.facts, minor_of(book), decimal_of(found["price"]["total"])
    low, high = facts.constant("budget_low"), facts.constant("budget_high")
    other, refused = None, []
    try:
        other = run(job.model_copy(update={"bores": swapped}))
    except JobRefusedError as error:
        refused = [str(fault) for fault in error.faults]
    return {
        "title": "budget price",
        "bores": names,
        "band_low": low,
        "band_high": high,
        "price_low": money(band_end(price, low, minor), minor),
        "price_high": money(band_end(price, high, minor), minor),
        "other_wear": [] if other is None else [_worn(bore) for bore in other["bores"] if bore["name"] in names],
        "other_price": None if other is None else other["price"]["total"],
        "other_refused": refused,
        "measure": texts_of(MEASURE),
    }


def _worn(bore: Bore) -> OtherWear:
    wear = bore["given"]["wear"]
    assert wear is not None  # only radii, which these bores do not have, tell it without a word
    return {
        "name": bore["name"],
        "wear": wear,
        "cleanup_mm": bore["sizes"]["cleanup_mm"],
        "deposit_mass_kg": bore["buildup"]["deposit_mass_kg"],
    }


def _as_gauged(job: Job, book: PriceBook) -> Job:
    """Return a job as if its bores had been cut to what their gauging asked for, about the axes of their lines."""
    uncut = tuple(bore.model_copy(update={"cleanup_diameter": None}) for bore in job.bores)
    _, surveys = surveyed(job.model_copy(update={"bores": uncut}), book.facts, thinnest_layer(book.facts))
    planned = tuple(
        bore if bore.cleanup_diameter is None else bore.model_copy(update={"cleanup_diameter": one.sizes.cleanup})
        for bore, one in zip(job.bores, surveys, strict=True)
    )
    return job.model_copy(update={"bores": planned})


def variation_of(job: Job, book: PriceBook, found: Whole, run: Run) -> Variation:
    """Return what the bores as really cut add to the bores as gauged: metal, hours and price, both after the cut."""
    minor = minor_of(book)
    try:
        planned = run(_as_gauged(job, book))
    except JobRefusedError as error:
        return {"bores": [], "on_site_more_min": None, "price_more": None, "refused": [str(f) for f in error.faults]}
    cut = {bore.name for bore in job.bores if bore.cleanup_diameter is not None}
    pairs = [(a, b) for a, b in zip(planned["bores"], found["bores"], strict=True) if a["name"] in cut]
    more = difference(found["totals"]["on_site_min"], planned["totals"]["on_site_min"])
    price = dearer(decimal_of(found["price"]["total"]), decimal_of(planned["price"]["total"]))
    return {
        "bores": [_cut(before, after) for before, after in pairs],
        "on_site_more_min": digits("on_site_more_min", more),
        "price_more": money(price, minor),
        "refused": [],
    }


def _cut(before: Bore, after: Bore) -> CutBore:
    laid = difference(after["buildup"]["deposit_mass_kg"], before["buildup"]["deposit_mass_kg"])
    return {
        "name": after["name"],
        "planned_cleanup_mm": before["sizes"]["cleanup_mm"],
        "cut_cleanup_mm": after["sizes"]["cleanup_mm"],
        "deposit_more_kg": digits("deposit_more_kg", laid),
    }
