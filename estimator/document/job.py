"""What the job says of customer, machine and place, in the estimate document."""

from typing import Any

from typing_extensions import TypedDict

from estimator.express import shown
from estimator.formula import leaf
from estimator.job.job import Job

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


def job_of(job: Job) -> dict[str, Any]:
    """Return what the job says of customer, machine and place."""
    machine, site = job.equipment, job.site
    hours = None if machine is None or machine.hours is None else leaf(machine.hours, "given", "hours", "as typed")
    return {
        "title": job.title,
        "note": job.note,
        "customer": None if job.customer is None else job.customer.name,
        "equipment": None if machine is None else {"description": machine.description, "machine_hours": hours},
        "site": {
            "access": site.access,
            "distance_km": shown("distance_km", site.distance),
            "ambient_C": None if site.ambient is None else shown("ambient_C", site.ambient),
            "wind_m_s": None if site.wind is None else shown("wind_m_s", site.wind),
        },
    }
