"""Two variants of a bore side by side, as kept and as typed now, with wear map and section of what is typed."""

import functools
import json
from typing import Any

from api.filled import filled
from api.pages.desk.grid import at_field
from api.pages.drawn import of_one
from api.work.tasks import book_of
from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError
from estimator.estimate import Estimate, estimate
from exports.format import Units, amount, clock_time, shown

__all__ = ["live_bore", "side_by_side"]

ERRORS = (DocumentError, JobRefusedError, OutOfRangeError)
OF_BORE = (
    ("Worn up to", "wear.largest_diameter_mm"),
    ("Wear a side", "wear.max_radial_wear_mm"),
    ("Bore to", "sizes.cleanup_mm"),
    ("Weld to", "sizes.weld_mm"),
    ("Weld metal", "buildup.deposit_mass_kg"),
    ("Arc", "buildup.arc_time_min"),
    ("Preheat", "heat.preheat_C"),
    ("Waits between layers", "heat.interpass_wait_min"),
    ("Cooling down", "heat.cooldown_min"),
    ("Boring", "machining.time_min"),
    ("This bore", "time.total_min"),
)
OF_JOB = (("On site", "totals.on_site_min"), ("Wire", "totals.wire_kg"))
Cells = dict[str, str]


def live_bore(kept: str, now: str, book: str | None) -> tuple[str, str]:
    """Return two variants of a bore side by side, and the pictures of the second, each as a piece of a page.

    Parameters
    ----------
    kept
        The job document as it is kept.
    now
        As it is typed: a JSON text with the job's number, its document, what is wrong with it, which of its bores it
        is, the form's fields and the page's units.
    book
        The price book's text.
    """
    said = json.loads(now)
    bore, units = said["bore"], said["units"]
    before = _cells(kept, bore, book, units)
    after, pictures, wrong = {}, [], list(said["faults"])
    if not wrong:
        try:
            found = estimate(said["document"], book_of(book), "plan")
            after, pictures = _told(found, bore, units), of_one(found["bores"][bore])
        except ERRORS as error:
            told = getattr(error, "faults", None)
            wrong = [[one.path, one.message] for one in told] if told else [["", str(error)]]
    wrong = [[at_field(path, bore, said["fields"]), message] for path, message in wrong]
    rows, at = side_by_side(before, after, bore), f"/jobs/{said['job']}/explain?key="
    beside = filled("beside.html", None, "", rows=rows, wrong=wrong, at=at)
    return beside, filled("pictures.html", None, "", pictures=pictures)


@functools.lru_cache(maxsize=8)
def _cells(document: str, bore: int, book: str | None, units: Units) -> Cells:
    """Return the figures of the job as it is kept; nothing where it cannot be estimated."""
    try:
        return _told(estimate(document, book_of(book), "plan"), bore, units)
    except ERRORS:
        return {}


def _told(found: Estimate, bore: int, units: Units) -> Cells:
    one: dict[str, Any] = {**found["bores"][bore]}
    whole: dict[str, Any] = {**found}
    built = one["buildup"]
    cells = {"price.before_tax": amount(found["price"]["before_tax"], found["price"]["currency"])}
    cells |= {key: _said(key, _at(whole, key), units) for _, key in OF_JOB}
    cells |= {key: _said(key, _at(one, key), units) for _, key in OF_BORE}
    layers = built["layers"]
    cells["layers"] = f"{len(layers)} at {layers[-1]['current_A']:.0f} A" if layers else "none"
    cells["wire"], cells["gas"] = built["wire"], built["gas"]
    cells["bearings"] = f"{one['setup']['bearings']}, bar {one['setup']['bar']}"
    return cells


def _said(key: str, value: float, units: Units) -> str:
    return clock_time(value) if key.endswith("_min") else shown(key.rpartition(".")[2], value, units)


def _at(document: dict[str, Any], path: str) -> Any:  # noqa: ANN401  # a figure of the document
    found: Any = document
    for part in path.split("."):
        found = found[part]
    return found


def side_by_side(before: Cells, after: Cells, bore: int) -> list[dict[str, str]]:
    """Return the rows of the two variants, each with the key of its figure where it can be explained."""
    words = (("Wire", "wire"), ("Gas", "gas"), ("Layers", "layers"), ("Bearings, chosen by cost", "bearings"))
    named = [("Price before tax", "price.before_tax"), *OF_JOB, *OF_BORE]
    rows = [(label, key, key if (label, key) not in OF_BORE else f"bores.{bore}.{key}") for label, key in named]
    rows += [(label, key, "") for label, key in words]
    return [
        {
            "label": label,
            "key": path,
            "kept": before.get(key, ""),
            "now": after.get(key, ""),
            "moved": "moved" if before.get(key, "") and after.get(key, "") not in {"", before.get(key, "")} else "",
        }
        for label, key, path in rows
    ]
