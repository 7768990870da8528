"""What the diary tells of a quote, from its frozen estimate: how many days, who goes, where to."""

import json
from typing import Any, NotRequired, cast

from sqlmodel import Session, select
from typing_extensions import TypedDict

from api.store.models import Paper
from estimator.book.pricebook import WEEK

__all__ = ["Hours", "Planned", "needed", "planned_of"]


class Hours(TypedDict):
    """From when until when one day is worked, by the clock; on which date, once it is placed."""

    day: int
    date: NotRequired[str]
    begins: str
    ends: str


class Planned(TypedDict):
    """A quote as its days are planned by; `people` are all who go, attendants too."""

    reference: str
    title: str | None
    customer: str | None
    machine: str | None
    site: str | None
    distance_km: float
    days: list[Hours]
    technicians: int
    rigs: int
    people: int
    work_days: list[str]


def planned_of(session: Session, number: int) -> Planned:
    """Return what the diary tells of a quote."""
    row = session.exec(select(Paper.estimate, Paper.pricebook).where(Paper.number == number)).one()
    return needed(json.loads(row[0]), json.loads(row[1]))


def needed(estimate: Any, book: dict[str, Any]) -> Planned:  # noqa: ANN401  # a document of any age
    """Return what the diary tells of an estimate document and the price book it stands on."""
    job, schedule = estimate.get("job", {}), estimate.get("schedule")
    site = job.get("site") or {}
    hours = [Hours(day=1, begins="", ends="")]  # a document of before the order of work stood in it
    if schedule:
        hours = [Hours(day=one["day"], begins=one["begins"], ends=one["ends"]) for one in schedule["days"]]
    technicians = int(schedule["technicians"]) if schedule else 1
    return Planned(
        reference=estimate["reference"],
        title=job.get("title"),
        customer=job.get("customer"),
        machine=(job.get("equipment") or {}).get("description"),
        site=site.get("address"),
        distance_km=float(site.get("distance_km") or 0.0),
        days=hours,
        technicians=technicians,
        rigs=int(schedule["machines"]) if schedule else 1,
        people=int(estimate.get("totals", {}).get("people", technicians)),
        work_days=cast(list[str], book.get("work_days") or list(WEEK[:5])),
    )
