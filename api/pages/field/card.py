"""The page of one job for the field, as plain values in and text out, so that another process can make it."""

import base64
import datetime
import json
from typing import Any

from api.caller import Caller
from api.filled import filled
from api.pages.field.assets import VERSION
from estimator.after.happened import DoneBore, Happened
from exports.in_units import units_of
from exports.papers.pack import Packed, content_of

__all__ = ["job_card"]

KINDS = {  # task by its code, and which time of a record it is
    "rig": "setup", "to torch": "setup", "to bar": "setup", "clean-up": "machining", "finish": "machining",
    "weld": "weld", "prepare": "setup", "strip": "teardown", "inspect": "inspection",
}  # fmt: skip
METRIC = {"length": "mm", "mass": "kg", "pressure": "bar", "warmth": "degC"}
US = {"length": "in", "mass": "lb", "pressure": "psi", "warmth": "degF"}
CLOCKS = (0, 45, 90, 135)


def job_card(document: str, given: str) -> str:
    """Return the page of a quote for the field: what is in its work pack, and what is recorded on site."""
    said, found = json.loads(given), json.loads(document)
    try:
        whole = _whole(found, said)
    except (KeyError, TypeError, IndexError):  # of an engine too old
        whole = {"old": str(found.get("engine", "an earlier version"))}
    template = "field/old.html" if "old" in whole else "field/job.html"
    own: dict[str, Any] = {"version": VERSION, "made": said["made"], **whole, **said["content"]}
    return filled(template, Caller(**said["caller"]), said["csrf"], **own)


def _whole(found: dict[str, Any], said: dict[str, Any]) -> dict[str, Any]:
    """Return what the cards show of an estimate document."""
    content: dict[str, Any] = said["content"]
    packed = content_of([Packed(found, content["quote"])], datetime.date.fromisoformat(said["today"]))
    job = packed["jobs"][0]
    bores = [_bore(page, found["bores"][at]) for at, page in enumerate(job["bores"])]
    for at, day in enumerate(job["days"]):
        day["date"] = content["dates"][at] if at < len(content["dates"]) else ""
        day["lines"] = [line | _task(found, line["task"]) for line in day["lines"]]
    return {
        "packed": packed,
        "job": job,
        "bores": bores,
        "units": US if units_of(found) == "us" else METRIC,
        "takes": " ".join([*Happened.model_fields, *DoneBore.model_fields]),
    }


def _task(found: dict[str, Any], number: int | None) -> dict[str, Any]:
    """Return of which bore a line's task is, and which time of a record."""
    for task in (found.get("schedule") or {}).get("tasks", ()):
        if task["number"] == number:
            return {"bore": task["bore"] or "", "kind": KINDS.get(task["code"], "")}
    return {"bore": "", "kind": ""}


def _bore(page: dict[str, Any], bore: dict[str, Any]) -> dict[str, Any]:
    """Return a bore's page with its picture as an image, and the limits that its readings are held against. [mm]"""
    sizes, cut = bore["sizes"], bore["machining"]
    doubt = cut.get("gauge_uncertainty_mm", 0.0)
    held = {"low": sizes["finish_min_mm"], "high": sizes["finish_max_mm"], "doubt": doubt}
    return page | {"picture": _image(page["picture"]), "held": held, "planned": sizes["cleanup_mm"],
                   "clocks": CLOCKS}  # fmt: skip


def _image(svg: str) -> str:
    """Return a picture as the source of an image; its words stand beside it."""
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()
