"""One bore of the estimate document: its parts together, and where its time goes."""

from typing import Any, NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.document.calibration import Moved, moved_of
from estimator.document.card import Card, card_of
from estimator.document.cut import Machining, machining_of
from estimator.document.features import Feature, features_of
from estimator.document.given import Given, given_of
from estimator.document.heat import Heat, heat_of
from estimator.document.plate import Plate, plate_of
from estimator.document.setup import Setup, setup_of
from estimator.document.sizes import Sizes, sizes_of
from estimator.document.supplies import Consumption, supplies_shown
from estimator.document.wear import Wear, wear_of
from estimator.document.weld import Buildup, buildup_of
from estimator.express import all_shown
from estimator.inputs import Inputs
from estimator.plans import BoreFigures
from estimator.shop.supplies import SHOWN
from estimator.steps.memo import Same, remembered

__all__ = ["Bore", "bore_of"]


class Time(TypedDict):
    """Where the time of a bore goes."""

    setup_min: float
    precut_min: float
    preheat_min: float
    weld_min: float
    cooldown_min: float
    finish_min: float
    inspection_min: float
    teardown_min: float
    total_min: float


class Bore(TypedDict):
    """One bore of the estimate."""

    name: str
    given: Given
    budget: bool
    wear: Wear
    sizes: Sizes
    buildup: Buildup
    heat: Heat
    plate: Plate
    machining: Machining
    consumption: Consumption
    time: Time
    features: list[Feature]
    card: Card
    setup: Setup
    calibrated: NotRequired[list[Moved]]


def _time(one: BoreFigures) -> Time:
    time = one.time
    return all_shown(
        Time(
            setup_min=time.setup,
            precut_min=time.precut,
            preheat_min=time.preheat,
            weld_min=time.weld,
            cooldown_min=time.cooldown,
            finish_min=time.finish,
            inspection_min=time.inspection,
            teardown_min=time.teardown,
            total_min=time.total,
        )
    )


def bore_of(one: BoreFigures, book: PriceBook, inputs: Inputs) -> Bore:
    """Return one bore of the estimate document."""
    edges, remedy = one.supplies.edges, None if one.remedy is None else one.remedy.time
    rest = (tuple(edges.lives), tuple(edges.edges), one.supplies.flow, one.wait_saving, remedy)
    key = (book.mark, inputs.mark, Same(one.plan), Same(one.build), Same(one.heat), *rest)
    found: Bore = _copied(remembered("written", key, lambda: _written(one, book, inputs)))
    found["consumption"] = _used(one)  # some of it is shared with other bores
    return found


def _used(one: BoreFigures) -> Consumption:
    return supplies_shown({name: getattr(one.supplies, name) for name in SHOWN})


def _copied(part: Any) -> Any:  # noqa: ANN401  # of the document
    """Return a part of the document whose objects and lists are nobody else's."""
    if isinstance(part, dict):
        return {key: _copied(value) for key, value in part.items()}
    return [_copied(one) for one in part] if isinstance(part, list) else part


def _written(one: BoreFigures, book: PriceBook, inputs: Inputs) -> Bore:
    """Return one bore of the estimate document, as it is written once for a plan and what follows from it."""
    found: Bore = {
        "name": one.plan.survey.bore.name,
        "given": given_of(one),
        "budget": one.plan.survey.budget,
        "wear": wear_of(one.plan.survey),
        "sizes": sizes_of(one.plan.survey),
        "buildup": buildup_of(one, book, inputs),
        "heat": heat_of(one),
        "plate": plate_of(one, book.facts, inputs),
        "machining": machining_of(one, book),
        "consumption": _used(one),
        "time": _time(one),
        "features": features_of(one),
        "card": card_of(one, book.facts),
        "setup": setup_of(one),
    }
    if one.time.factors:
        found["calibrated"] = moved_of(one)
    return found
