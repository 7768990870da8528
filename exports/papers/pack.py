"""The field lead's work pack: parts to take, day pages, readings, weld and cutting cards, cautions, sign-off.

All that is printed is put together from an allow-list of keys of documents without what the field may not see. No
money is in it: no key of a price is read.
"""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, cast

from estimator.document.old import tools_in
from estimator.document.redact import redact
from estimator.estimate import Estimate
from estimator.van.take import Taken
from exports.card_words import pointer
from exports.format import Grade, Units, by_grade, clock_time, counted, field, headed, is_demo, perhaps, shown
from exports.in_units import in_units, units_of
from exports.papers.packed_bore import bore_pages
from exports.papers.packed_day import day_pages
from exports.papers.set import set_paper
from exports.pictures.setup import setup_of_line
from exports.pictures.setup_parts import set_ups
from exports.used import ENOUGH, things, uncounted

__all__ = ["Packed", "content_of", "pack"]

DEMO = "DEMO: planned with an invented book, not for use"
SETTLED: tuple[tuple[str, Grade], ...] = (("STOP until this is settled", "stop"), ("APPROVAL REQUIRED", "approve"))
OF_RIG = ("bar",)  # a tool of the day that the rig is told with
SEE = "see the first page"
DONE = {"refuse": "Refused", "approve": "Approval required", "warn": "Take care"}


@dataclass(frozen=True)
class Packed:
    """A job to pack for: its estimate document in full, and number and revision of its quote where it has one."""

    estimate: Any
    quote: str = ""


def pack(jobs: Sequence[Packed], day: datetime.date, take: Sequence[Taken] | None = None) -> bytes:
    """Return the work pack of jobs as PDF.

    Parameters
    ----------
    jobs
        What it is for, in the order of work.
    day
        The date that it bears.
    take
        What to take for all of them together; where there is one job, None: its document says so.
    """
    return set_paper("pack", content_of(jobs, day, take), day)


def content_of(jobs: Sequence[Packed], day: datetime.date, take: Sequence[Taken] | None = None) -> dict[str, Any]:
    """Return all that a pack prints, as its template takes it."""
    seen = [(_seen(job.estimate), job.quote) for job in jobs]
    references = [found["reference"] for found, _ in seen]
    found, units = seen[0][0], units_of(seen[0][0])
    taken = cast(Estimate, {"take": list(take), "totals": {}}) if take is not None else found
    return {
        "title": f"Work pack {', '.join(references)}",
        "company": field(found, "letter", "company", "name") or "",
        "day": f"{day.isoformat()}",
        "banner": DEMO if any(is_demo(one) for one, _ in seen) else "",
        "take": _taken(taken, units),
        "take_said": ENOUGH,
        "besides": _each(item for one, _ in seen for item in uncounted(one)),
        "tools": _each(item for one, _ in seen for item in _tools(one)),
        "rig": _each(item for one, _ in seen for item in _rig(one)),
        "jobs": [_job(one, quote) for one, quote in seen],
    }


def _seen(estimate: Any) -> Estimate:  # noqa: ANN401  # a document of any age
    """Return a document as the field sees it, its texts in its job's units."""
    return cast(Estimate, in_units(redact(estimate, "field"), units_of(estimate)))


def _taken(taken: Estimate, units: Units) -> list[list[str]]:
    """Return what to take, how much, in which packs, and what use is expected; of an old document that use alone."""
    each = things(taken, units)
    some = [one for one in each if one.take not in ("", "none")] or each
    return [[f"{one.words} {one.name}".strip(), one.take, one.packs, one.expected] for one in some]


def _each(items: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(items))


def _tools(found: Estimate) -> list[str]:
    """Return the tools of all tasks, without what stands among parts and rig already."""
    tasks, told = field(found, "schedule", "tasks") or [], {*uncounted(found), *(OF_RIG if _rig(found) else ())}
    return [item for task in tasks for item in tools_in(task) if item not in told]


def _rig(found: Estimate) -> list[str]:
    """Return rig, bars and mounts that the bores are bored with."""
    cuts = [bore["machining"] for bore in found["bores"] if "bar" in bore["machining"]]
    named = [item for cut in cuts for item in (cut["machine"], cut["bar"])]
    setups = [setup for bore in found["bores"] if (setup := field(bore, "setup"))]
    return named + [f"{setup['mounts']} mounts for {counted(setup.get('bearings', 2), 'bearing')}" for setup in setups]


def _job(found: Estimate, quote: str) -> dict[str, Any]:
    units, job = units_of(found), found["job"]
    return {
        "name": ", ".join(one for one in (found["reference"], job["title"]) if one),
        "reference": found["reference"],
        "facts": [[name, said] for name, said in _facts(found, quote, units) if said],
        "settle": [[name, said] for name, said in headed(found, *SETTLED)],
        "pointer": pointer(found, SEE),
        "checks": by_grade(found, "check"),
        "provide": list(found["scope"]["customer"]),
        "days": day_pages(found, units),
        "bores": [bore_pages(bore, found, units) for bore in found["bores"]],
        "set_ups": [[f"Set-up of line {one.name}", setup_of_line(one, found)] for one in set_ups(found)],
        "cautions": list(found["cautions"]),
        "shades": [f"{one['range']}: shade {one['minimum_shade']:g}" for one in found["shades"]],
        "procedures": _procedures(found),
        "watch": _watched(found),
    }


def _facts(found: Estimate, quote: str, units: Units) -> list[tuple[str, str]]:
    """Return which job it is, where, and for how long."""
    job, totals = found["job"], found["totals"]
    site, schedule = job["site"], perhaps(found.get("schedule"))
    contact = (field(job, "buyer", key) for key in ("contact", "phone"))
    away = f"{shown('distance_km', site['distance_km'], units)} away, {site['access']} access"
    days = "" if schedule is None else f"{counted(len(schedule['days']), 'day')}; ends {schedule['ends']}"
    return [
        ("Quote", quote),
        ("Customer", job["customer"] or ""),
        ("Contact on site", ", ".join(one for one in contact if one)),
        ("Machine", field(job, "equipment", "description") or ""),
        ("Site", ", ".join([*(field(job, "site", "address") or "").split("\n"), away]).removeprefix(", ")),
        ("Crew", f"{counted(totals['people'], 'person', 'people')}; {clock_time(totals['on_site_min'])} on site"),
        ("Days", days),
    ]


def _watched(found: Estimate) -> list[list[str]]:
    """Return what to watch while welding and what to do about it, each once."""
    each = ((one["see"], one["do"]) for bore in found["bores"] for one in field(bore, "card", "watch") or [])
    return [list(one) for one in dict.fromkeys(each)]


def _procedures(found: Estimate) -> list[str]:
    """Return what here is not welded without a qualified procedure, and who decides."""
    return [
        f"{DONE[one['action']]}: {one['case']}, bores {', '.join(one['bores'])}. Decision: {one['who_decides']}."
        for one in found.get("procedures", [])
        if one["bores"]
    ]
