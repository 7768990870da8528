"""What may be found once work has begun, each with a plan of its own: as told, cut deeper, worn the other way."""

from collections.abc import Callable
from dataclasses import dataclass

from estimator.beside.variants import worn_otherwise
from estimator.bore.survey import Survey
from estimator.days.calendar import Arrangement
from estimator.errors import JobRefusedError
from estimator.job.job import Job
from estimator.plans import Plan
from estimator.tables import Tables
from estimator.tables.rows import Event

__all__ = ["Branch", "Planned", "branches_of"]

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


def branches_of(told: Planned, facts: Tables, again: Callable[[Job], Planned]) -> list[Branch]:
    """Return the job as told and what else may be found, chances adding up to one; `again` plans a job.

    Of several bores the least known decides; where all are cut already nothing more is found.
    """
    plan = told[0]
    job, surveys = plan.job, [one.survey for one in plan.bores]
    uncut = [bore for bore in job.bores if bore.cleanup_diameter is None]
    when = "guessed" if any(bore.readings is None for bore in uncut) else "gauged"
    found = []
    for event in facts.every("events", Event) if uncut else ():
        if event.when == when and event.chance > 0:
            other = _deeper(job, surveys, event.deeper) if event.deeper else worn_otherwise(job)
            try:
                found.append(Branch(event, event.chance, again(other)))
            except JobRefusedError:
                found.append(Branch(event, event.chance, None))
    return [Branch(None, max(0.0, 1 - sum(one.chance for one in found)), told), *found]
