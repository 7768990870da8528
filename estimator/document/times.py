"""The block `times` of the estimate document: which time standards were counted, how often, and what they come to."""

from dataclasses import dataclass
from typing import NotRequired

from typing_extensions import TypedDict

from estimator.book.calibration import by_shop
from estimator.express import all_shown
from estimator.formula import choice, difference, formula, leaf, summed
from estimator.inputs import planned_time, site_factor
from estimator.plans import BoreFigures, Figures
from estimator.shop.standards import learnt_of, spread_of
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.tables.work_rows import OF_A_LINE

__all__ = ["ElementCount", "TimesSum", "times_of"]


class ElementCount(TypedDict):
    """One element of work: times of one at an easy place, how often, and what it comes to in this job.

    `expected_min` is what is planned with and priced: (low + 4 likely + high) / 6, or the one time that the row tells.
    `total_min` is `expected_min` by `factor` by `count`, less `learned_min`, and `calibrated_min` more where recorded
    jobs have taught anything.
    """

    code: str
    phase: str
    per: str
    meaning: str
    hot: bool
    count: float
    low_min: float
    likely_min: float
    high_min: float
    expected_min: float
    factor: float
    learned_min: float
    calibrated_min: NotRequired[float]
    total_min: float
    source: str
    mark: str


class TimesSum(TypedDict):
    """All elements together: if each went as quickly, as likely, as expected on average, as slowly as it may."""

    low_min: float
    likely_min: float
    expected_min: float
    high_min: float


@dataclass(frozen=True)
class Counted:
    """How often an element is done in a job, and how often the first time it would be for the same time. [-]

    `as_learnt`: the latter by the book where recorded jobs have moved it; None where they have not.
    """

    count: float
    as_first: float
    as_learnt: float | None = None


@formula("as_first", "definition: how often, by what is learnt", "computed")
def as_first_time(count: float, learnt: float) -> float:
    """How often an element done again counts, in times of the first. [-]"""
    return count * learnt


@formula("element_time", "time standard times the factor of the place times how often it is done", "computed", unit="s")
def placed_time(duration: float, site_factor: float, count: float) -> float:
    """Time of an element at the place of a job. [s]"""
    return duration * site_factor * count


def _in_bore(row: TimeStandard, one: BoreFigures, facts: Tables) -> Counted | None:
    bore, factors = one.plan, one.time.factors
    count = bore.counts.of(row)
    if count <= 0:
        return None
    if row.basis != "metre":
        count = choice(count, "count", f"{row.meaning}: counted per {row.basis}")
    learnt = learnt_of(row, bore.counts, facts)
    as_first = count if learnt is None else as_first_time(count, learnt)
    return Counted(count, as_first, by_shop(as_first, row.phase, factors) if row.phase in factors else None)


def _in_features(row: TimeStandard, bore: BoreFigures) -> list[Counted]:
    counts = [count for one in bore.plan.features if (count := one.counts.get(row.basis, 0))]
    factors = bore.time.factors
    chosen = [choice(count, "count", f"{row.meaning}: counted per {row.basis}") for count in counts]
    return [
        Counted(count, count, by_shop(count, row.phase, factors) if row.phase in factors else None) for count in chosen
    ]


def _counted(row: TimeStandard, figures: Figures, days: int, facts: Tables) -> Counted | None:
    """Return how often an element is done in the whole job, or None where it is not."""
    if row.phase == "job":
        count = {"day": days, **figures.plan.changes}.get(row.basis, 0)
        number = choice(count, "count", f"{row.meaning}: counted per {row.basis}")
        return Counted(number, number) if count > 0 else None
    bores = _one_a_line(figures) if row.basis in OF_A_LINE else figures.bores
    found = [one for bore in bores if (one := _in_bore(row, bore, facts)) is not None]
    found += [one for bore in figures.bores for one in _in_features(row, bore)]
    if not found:
        return None
    moved = [x.as_first if x.as_learnt is None else x.as_learnt for x in found]
    return Counted(
        summed("count", "", *(x.count for x in found)),
        summed("as_first", "", *(x.as_first for x in found)),
        summed("as_learnt", "", *moved) if any(x.as_learnt is not None for x in found) else None,
    )


def _one_a_line(figures: Figures) -> list[BoreFigures]:
    """Return the first bore of each line."""
    return list({one.plan.line: one for one in reversed(figures.bores)}.values())[::-1]


def times_of(figures: Figures) -> tuple[list[ElementCount], TimesSum]:
    """Return the elements that were counted, and what they come to together, low to high."""
    plan, facts = figures.plan, figures.plan.book.facts
    slow = site_factor(plan.job, facts)
    even = leaf(1.0, "fact", "factor", "neither access nor weather slows this element")
    rows: list[ElementCount] = []
    sums: dict[str, list[float]] = {name: [] for name in ("low", "likely", "expected", "high")}
    for row in facts.every("times", TimeStandard):
        counted = _counted(row, figures, int(figures.schedule.calendar.site_days), facts)
        if counted is None:
            continue
        factor = slow if row.hand == "yes" else even
        spread = dict(zip(("low", "likely", "high"), spread_of(row, facts), strict=True))
        spread["expected"] = planned_time(row)
        often = counted.as_first if counted.as_learnt is None else counted.as_learnt
        whole = {name: placed_time(time, factor, often) for name, time in spread.items()}
        for name, time in whole.items():
            sums[name].append(time)
        rows.append(_element(row, counted, factor, spread, whole["expected"]))
    low, likely, expected, high = (summed(name, "s", *parts) for name, parts in sums.items())
    return rows, all_shown(TimesSum(low_min=low, likely_min=likely, expected_min=expected, high_min=high))


def _element(
    row: TimeStandard, counted: Counted, factor: float, spread: dict[str, float], whole: float
) -> ElementCount:
    """Return one element of work; `spread`: its times, `whole`: what it takes in the job. [s]"""
    by_book = placed_time(spread["expected"], factor, counted.as_first)
    found = ElementCount(
        code=row.code,
        phase=row.phase,
        meaning=row.meaning,
        source=row.source,
        mark=row.mark,
        per=row.basis,
        hot=row.hot == "yes",
        count=counted.count,
        low_min=spread["low"],
        likely_min=spread["likely"],
        high_min=spread["high"],
        expected_min=spread["expected"],
        factor=factor,
        learned_min=difference(placed_time(spread["expected"], factor, counted.count), by_book),
        total_min=whole,
    )
    if counted.as_learnt is not None:
        found["calibrated_min"] = difference(whole, by_book)
    return all_shown(found)
