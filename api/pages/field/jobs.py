"""Which jobs a field lead sees: today's and the next by the diary, then accepted ones on no day; and one whole."""

from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from api.store.diary import Placed, placed, placed_quote, waiting
from api.store.entries import last_record, told_of
from api.store.quotes import find_paper, find_quote, state_of
from api.store.week import moved, named

__all__ = ["Whole", "listed", "whole_of"]

BEFORE, AHEAD, MOST = 3, 21, 10  # days back and ahead, jobs of a list
REST = 5


@dataclass(frozen=True)
class Whole:
    """A quote for the field: its frozen estimate, and where it stands."""

    estimate: str
    content: dict[str, Any]


def listed(session: Session, today: str, name: str) -> dict[str, list[dict[str, Any]]]:
    """Return jobs by today and next, those of who asks first, and accepted ones on no day."""
    found = placed(session, moved(today, -BEFORE), moved(today, AHEAD))
    found = sorted(found, key=lambda one: (not _is_of(one, name), one.start))[:MOST]
    now = [one for one in found if today in one.dates or one.until < today <= moved(one.until, BEFORE)]
    return {
        "now": [_row(one) for one in now],
        "next": sorted((_row(one) for one in found if one not in now), key=lambda row: str(row["dates"])),
        "rest": [
            {"number": quote.number, "reference": plan["reference"], "title": plan["title"] or "",
             "customer": plan["customer"] or "", "site": plan["site"] or "", "dates": [], "said": "", "who": ""}
            for quote, plan in waiting(session)[:REST]
        ],
    }  # fmt: skip


def _is_of(one: Placed, name: str) -> bool:
    return name.casefold() in {technician.casefold() for technician in one.technicians}


def _row(one: Placed) -> dict[str, Any]:
    return {
        "number": one.number,
        "reference": one.plan["reference"],
        "title": one.plan["title"] or "",
        "customer": one.plan["customer"] or "",
        "site": one.plan["site"] or "",
        "dates": one.dates,
        "said": ", ".join(named(date) for date in one.dates),
        "who": ", ".join([*one.technicians, *one.rigs]),
    }


def whole_of(session: Session, number: int) -> Whole:
    """Return a quote for the field; raise `MissingError` where there is none."""
    quote, paper = find_quote(session, number), find_paper(session, number)
    stands = placed_quote(session, number)
    content = {
        "number": number,
        "job_id": quote.job_id,
        "state": state_of(quote),
        "seen": last_record(session, number),
        "records": told_of(session, number),
        "dates": stands.dates if stands else [],
        "who": ", ".join([*stands.technicians, *stands.rigs]) if stands else "",
        "quote": f"{number}, revision {quote.revision}" + (", a draft" if quote.state == "draft" else ""),
    }
    return Whole(paper.estimate, content)
