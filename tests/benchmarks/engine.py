"""The engine against importing its two libraries: a bore, many bores, one bore changed."""

import functools
import json
from collections.abc import Iterator
from typing import Any

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.bore.form import fitted_once
from estimator.estimate import Detail, estimate
from estimator.steps import memo
from tests.benchmarks.ratio import ROOT, Ratio, changed, least, readings_job
from tests.golden.jobs import golden_case

__all__ = ["engine_ratios"]

RANDOM = 40
MANY, FEW = 200, 4
AIMS: dict[Detail, float] = {"plan": 0.06, "full": 0.12}  # imports a bore
Case = tuple[dict[str, Any], PriceBook]


def _fresh() -> None:
    """Let go of all that was worked out before."""
    memo.forget()
    fitted_once.cache_clear()


def _samples() -> list[Case]:
    book = read_pricebook()
    return [(json.loads(path.read_text("utf-8")), book) for path in sorted((ROOT / "sample_jobs").glob("*.json"))]


def _random() -> list[Case]:
    cases = (golden_case(number) for number in range(RANDOM))
    return [(document, read_pricebook(patch)) for document, patch in cases]


def _a_bore(cases: list[Case], detail: Detail) -> float:
    """Return what a bore takes, of jobs that are estimated anew. [s]"""
    spent = sum(least(functools.partial(estimate, *case, detail), before=_fresh) for case in cases)
    return spent / sum(len(document["bores"]) for document, _ in cases)


def _able(cases: list[Case]) -> list[Case]:
    """Return the cases that can be estimated: a refusal is quicker than a price."""
    found = []
    for case in cases:
        try:
            estimate(*case, "price")
        except Exception:  # whatever refuses it
            continue
        found.append(case)
    return found


def engine_ratios(unit: float) -> Iterator[Ratio]:
    """Yield the ratios of the engine; `unit`: what importing the libraries takes. [s]"""
    book, random = read_pricebook(), _able(_random())
    four = [(readings_job(FEW), book)]
    jobs = {"the samples": _samples(), "random jobs": random, "4 bores x 36 readings": four}
    for detail, aim in AIMS.items():
        for name, cases in jobs.items():
            took = _a_bore(cases, detail)
            yield Ratio(f"a bore at {detail}, {name}", took / unit, aim, f"{1e3 * took:.1f} ms; in imports")
    few, many = (least(functools.partial(estimate, readings_job(n), book), 3, _fresh) for n in (FEW, MANY))
    yield Ratio(f"{MANY} bores against {FEW}", many / few, 60, f"{many:.2f} s against {1e3 * few:.0f} ms")
    for detail in AIMS:
        yield _one_changed(book, detail)


def _one_changed(book: PriceBook, detail: Detail) -> Ratio:
    job, turn = readings_job(FEW), iter(range(1, 1000))
    whole = least(lambda: estimate(job, book, detail), before=_fresh)
    one = least(lambda: estimate(changed(job, 0.003 * next(turn), 2), book, detail))
    said = f"{1e3 * one:.0f} against {1e3 * whole:.0f} ms"
    return Ratio(f"one of {FEW} bores changed, at {detail}, against all anew", one / whole, 0.4, said)
