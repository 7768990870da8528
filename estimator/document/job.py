"""What the job says of customer, machine and place, in the estimate document."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.express import all_shown
from estimator.formula import leaf
from estimator.job.job import Job
from estimator.job.order import Customer, Equipment

__all__ = ["JobSaid", "job_of"]


class Machine(TypedDict):
    """The machine the part belongs to."""

    description: str
    machine_hours: float | None


class Place(TypedDict):
    """Where the machine stands."""

    address: str | None
    access: str
    distance_km: float
    ambient_C: float | None
    wind_m_s: float | None


class Buyer(TypedDict):
    """How the customer is reached."""

    address: str | None
    contact: str | None
    phone: str | None
    email: str | None


class JobSaid(TypedDict):
    """What the job says of customer, machine and place."""

    title: str | None
    note: str | None
    customer: str | None
    buyer: Buyer | None
    purchase_order: str | None
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
        "buyer": None if job.customer is None else _buyer(job.customer),
        "purchase_order": job.purchase_order,
        "equipment": None if job.asset is None else _machine(job.asset),
        "site": all_shown(
            Place(
                address=site.address,
                access=site.access,
                distance_km=site.distance,
                ambient_C=site.ambient,
                wind_m_s=site.wind,
            )
        ),
        "typed_in": job.typed_in,
    }


def _buyer(customer: Customer) -> Buyer:
    return {
        "address": customer.address,
        "contact": customer.contact,
        "phone": customer.phone,
        "email": customer.email,
    }


def _machine(machine: Equipment) -> Machine:
    hours = None if machine.hours is None else leaf(machine.hours, "given", "hours", "as typed")
    return {"description": machine.description, "machine_hours": hours}
