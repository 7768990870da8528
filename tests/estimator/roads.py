"""The road of a job up to its arrangement, and days that differ in every number; shared by tests."""

import dataclasses
import json
from pathlib import Path
from typing import Any

import numpy as np

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.days.calendar import Arrangement
from estimator.days.timetable import crew_of
from estimator.errors import EstimatorError
from estimator.estimate import read_job
from estimator.inputs import Inputs
from estimator.plans import BoreFigures, Figures, Plan
from estimator.road import arrange, compute, decide, run
from tests.golden.jobs import golden_case

__all__ = ["SAMPLES", "Arranged", "arranged", "figures_on", "golden_arranged", "sampled", "varied"]

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
Arranged = tuple[Plan, tuple[BoreFigures, ...], Arrangement]


def arranged(document: dict[str, Any], book: PriceBook) -> Arranged:
    """Return a job after three steps of the road."""
    plan = decide(read_job(document, book), book)
    bores = compute(plan, plan.day)
    return plan, bores, arrange(plan, bores, crew_of(plan))


def sampled(path: Path) -> Arranged:
    """Return a sample after three steps of the road."""
    return arranged(json.loads(path.read_text("utf-8")), read_pricebook())


def golden_arranged(number: int, **rates: Any) -> Arranged | None:
    """Return a random job after three steps of the road; None where it is refused. `rates`: of the price book."""
    document, patch = golden_case(number)
    try:
        return arranged(document, read_pricebook({**patch, **({"rates": rates} if rates else {})}))
    except EstimatorError:
        return None


def figures_on(plan: Plan, arrangement: Arrangement, day: Inputs) -> Figures:
    """Return a job as it is arranged, on a day."""
    return run(plan, compute(plan, day), arrangement, day)


def varied(day: Inputs, count: int, seed: int) -> tuple[Inputs, list[Inputs]]:
    """Return days that differ in every number, as one of arrays and one by one; the first is the day itself.

    Where no wind is said there is a little.
    """
    rng = np.random.default_rng(seed)
    changes: dict[str, Any] = {}
    for field in dataclasses.fields(day):
        value = getattr(day, field.name)
        if isinstance(value, dict):
            changes[field.name] = {key: one * _factors(rng, count) for key, one in value.items()}
        else:
            changes[field.name] = (value or 0.1) * _factors(rng, count)

    def at(item: Any, n: int) -> Any:
        return {key: float(one[n]) for key, one in item.items()} if isinstance(item, dict) else float(item[n])

    each = [dataclasses.replace(day, **{name: at(item, n) for name, item in changes.items()}) for n in range(count)]
    return dataclasses.replace(day, **changes), each


def _factors(rng: np.random.Generator, count: int) -> Any:
    return np.array([1.0, *rng.uniform(0.8, 1.2, count - 1)])
