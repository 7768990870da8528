"""What the job says of customer, machine and place, in the estimate document."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.express import all_shown
from estimator.formula import leaf
from estimator.job.job import Equipment, Job

__all__ = ["JobSaid", "job_of"]


class Machine(TypedDict):
    """The machine the part belongs to."""

    description: str
    machine_hours: float | None


class Place(TypedDict):
    """Where the machine stands."""

    access: str
    distance_km: float
    ambient_C: float | None
    wind_m_s: float | None


class JobSaid(TypedDict):
    """What the job says of customer, machine and place."""

    title: str | None
    note: str | None
    customer: str | None
    equipment: Machine | None
    site: Place
    typed_in: NotRequired[Literal["metric", "us"]]


def job_of(job: Job) -> JobSaid:
    """Return what the job says of customer, machine and place."""
    site = job.site
    return {
        "title": job.title,
        "note": job.note,
        "customer": None if job.customer is None else job.customer.name,
        "equipment": None if job.equipment is None else _machine(job.equipment),
        "site": all_shown(
            Place(access=site.access, distance_km=site.distance, ambient_C=site.ambient, wind_m_s=site.wind)
        ),
        "typed_in": job.typed_in,
    }


def _machine(machine: Equipment) -> Machine:
    hours = None if machine.hours is None else leaf(machine.hours, "given", "hours", "as typed")
    return {"description": machine.description, "machine_hours": hours}
