"""What may be found once work has begun, each with a plan of its own: as told, cut deeper, worn the other way."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from statistics import NormalDist

from estimator.beside.variants import worn_otherwise
from estimator.bore.survey import Survey
from estimator.days.calendar import Arrangement
from estimator.errors import JobRefusedError
from estimator.job.job import Job
from estimator.plans import Plan
from estimator.tables import Tables
from estimator.tables.rows import Event

__all__ = ["Branch", "Planned", "branches_of", "missed"]

Planned = tuple[Plan, Arrangement]


@dataclass(frozen=True)
class Branch:
    """One way it may turn out: the event (None: as told), its chance, the job planned for it (None where refused)."""

    event: Event | None
    chance: float
    planned: Planned | None


def _deeper(job: Job, surveys: list[Survey], extra: float) -> Job:
    """Return a job whose bores come clean only so much deeper a side; those that were cut stay as they are."""
    bores = tuple(
        bore if bore.cleanup_diameter is not None
        else bore.model_copy(update={"cleanup_diameter": survey.sizes.cleanup + 2 * extra})
        for bore, survey in zip(job.bores, surveys, strict=True)
    )  # fmt: skip
    return job.model_copy(update={"bores": bores})


def missed(survey: Survey, facts: Tables) -> float:
    """Return the chance that the wear lies deeper than the clean-up cut goes because the gauge is no better. [-]

    The wear is normal about what was read, by the gauge's uncertainty on one side (JCGM 100:2008, 4.3 and 6.2.1).
    """
    standard = survey.trust.radial_wear / facts.constant("coverage_factor")
    room = (survey.sizes.cleanup - survey.bore.nominal_diameter) / 2 - survey.wear.max_radial_wear
    return NormalDist().cdf(-room / standard) if standard > 0 else 0.0


def branches_of(told: Planned, facts: Tables, again: Callable[[Job], Planned]) -> list[Branch]:
    """Return the job as told and what else may be found, chances adding up to one; `again` plans a job.

    Of several bores the least known decides; where all are cut already nothing more is found.
    """
    plan = told[0]
    job, surveys = plan.job, [one.survey for one in plan.bores]
    uncut = [bore for bore in job.bores if bore.cleanup_diameter is None]
    when = "guessed" if any(bore.readings is None for bore in uncut) else "gauged"
    unseen = math.prod(1 - missed(one, facts) for one in surveys if one.bore.cleanup_diameter is None)
    found = []
    for event in facts.every("events", Event) if uncut else ():
        if event.when == when and event.chance > 0:
            chance = 1 - (1 - event.chance) * unseen if event.deeper else event.chance
            other = _deeper(job, surveys, event.deeper) if event.deeper else worn_otherwise(job)
            try:
                found.append(Branch(event, chance, again(other)))
            except JobRefusedError:
                found.append(Branch(event, chance, None))
    return [Branch(None, max(0.0, 1 - sum(one.chance for one in found)), told), *found]
