"""A table of points to a job document: each bore's facts, its place among the points, and the points thinned."""

import copy
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from estimator.bore.point_faults import LEAST_POINTS, PointFault, faults_of, fits
from estimator.errors import AtError, DocumentError, Fault, nearest
from estimator.geometry.frame import Array, Frame, Whole, merged
from estimator.job.job import Job
from estimator.scan.place import Found, Placed, Wanted, placed_bores
from estimator.scan.table import PointTable
from estimator.scan.thin import MOST_KEPT, shares_of, thinned
from estimator.strict import LARGEST_DOCUMENT
from estimator.units import deci, factor

__all__ = ["Asked", "JobOfPoints", "bore_names", "job_of_points", "json_of_job", "stand_in"]

PLAIN = Wanted()
PLACES = 4  # of a millimetre
TOLD, LONGEST_NOTE = 8, 2000  # bores told one by one in the note, characters of a note


@dataclass(frozen=True)
class Asked:
    """What was said beside the points: the name of their file, which axes they are in, the places in the arm's axes."""

    source: str
    frame: str = "auto"
    wanted: Wanted = PLAIN


@dataclass(frozen=True)
class JobOfPoints:
    """The job document with its points, and what was done to the points of each bore, a line each."""

    document: dict[str, Any]
    said: tuple[str, ...]


class _Bore(NamedTuple):
    name: str
    points: Array
    rows: Whole
    repeated: int
    length: float
    nominal: float
    line: str


# ---------------------------------------------------------------- whose points


def bore_names(table: PointTable, template: Mapping[str, Any] | None) -> dict[str, str]:
    """Return the label of each bore's points by the bore's name; raise `DocumentError` where they do not match."""
    if template is None:
        return {label or "A": label for label in table.points}
    bores = template.get("bores")
    names = [bore.get("name") for bore in bores if isinstance(bore, dict)] if isinstance(bores, list) else []
    known = [name for name in names if isinstance(name, str)]
    if not table.labelled:
        if len(known) == 1:
            return {known[0]: ""}
        said = f"the job has {len(known)} bores and the points no label; add a column label with the bore's name"
        raise DocumentError([Fault("row 1", said)])
    faults = []
    for label in table.points:
        if label not in known:
            near = ", ".join(nearest(label, known) or known[:8]) or "none"
            row = int(table.rows[label].min())
            faults.append(Fault(f"row {row}", f"label {label[:40]!r} is no bore of the job; near: {near}"))
    if faults:
        raise DocumentError(faults)
    return {label: label for label in table.points}


def stand_in(template: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    """Return the job with a plain diameter in place of the readings that the points bring, to check all the rest."""
    document: dict[str, Any] = copy.deepcopy(dict(template))
    for bore in document["bores"]:
        if isinstance(bore, dict) and bore.get("name") in names:
            bore.pop("readings", None)
            bore["worn_diameter"] = bore.get("nominal_diameter")
    return document


def _bores(table: PointTable, job: Job, names: Mapping[str, str]) -> list[_Bore]:
    found = []
    for bore in job.bores:
        if bore.name in names:
            label = names[bore.name]
            points, rows = merged(table.points[label], table.rows[label])
            repeated = len(table.points[label]) - len(points)
            found.append(
                _Bore(
                    name=bore.name,
                    points=points,
                    rows=rows,
                    repeated=repeated,
                    length=bore.length,
                    nominal=bore.nominal_diameter,
                    line=bore.line or "",
                )
            )
    return found


# ---------------------------------------------------------------- where they lie


def _frames(bores: list[_Bore], asked: Asked) -> dict[str, Placed | None]:
    """Return the place of each bore: None where its points are in the bore's own axes."""
    own = all(fits(one.points, one.length, one.nominal).all() for one in bores)
    if asked.frame == "bore" or (asked.frame == "auto" and own):
        return {one.name: None for one in bores}
    found = {one.name: Found(one.points, one.length, one.nominal, one.line) for one in bores}
    try:
        return dict(placed_bores(found, asked.wanted))
    except AtError as error:
        row = next(int(one.rows.min()) for one in bores if one.name == error.path)
        raise DocumentError([Fault(f"row {row}", f"bore {error.path}: {error}")]) from None
    except ValueError as error:
        raise DocumentError([Fault("--up", str(error))]) from None


def _checked(bores: list[_Bore], asked: Asked) -> dict[str, Placed | None]:
    """Return the frames; raise `DocumentError` with what is wrong with the points, by row."""
    few = [one for one in bores if len(one.points) < LEAST_POINTS]
    faults = [_fault(one, fault) for one in few for fault in faults_of(one.points, None, 1.0, 1.0, one.rows)]
    if faults:
        raise DocumentError(faults)
    frames = _frames(bores, asked)
    for one in bores:
        found = faults_of(one.points, _frame(frames[one.name]), one.length, one.nominal, one.rows)
        faults += [_fault(one, fault) for fault in found]
    if faults:
        raise DocumentError(faults)
    return frames


def _frame(placed: Placed | None) -> Frame | None:
    return None if placed is None else placed.frame


def _fault(bore: _Bore, fault: PointFault) -> Fault:
    return Fault(f"row {fault.row}", f"bore {bore.name}: {fault}")


# ---------------------------------------------------------------- what is written


def _numbers(places: Array) -> Any:  # noqa: ANN401  # lists as deep as the array
    return (np.round(places / factor("mm"), PLACES) + 0.0).tolist()


def _readings(points: Array, frame: Frame | None) -> dict[str, Any]:
    """Return the readings of a bore as a document has them."""
    placed: str | dict[str, Any] = "bore"
    if frame is not None:
        directions = {key: [float(f"{part:.12g}") for part in getattr(frame, key)] for key in ("along", "up")}
        placed = {"origin": _numbers(frame.origin), **directions}
    return {"kind": "points", "unit": "mm", "frame": placed, "values": _numbers(points)}


def _thinned(bore: _Bore, placed: Placed | None, most: int) -> tuple[dict[str, Any], str]:
    """Return a bore's readings and what was done to its points."""
    frame = _frame(placed)
    done = thinned(bore.points, frame, bore.length, bore.nominal, most)
    kept, total = len(done.kept), len(bore.points)
    largest = float(np.nanmax(done.after.largest_radius))
    parts = [f"{kept} of {total} points kept" if kept < total else f"{total} points"]
    if bore.repeated:
        parts.append(f"{bore.repeated} repeated ones merged")
    if kept < total:
        change = abs(done.volume_change) * 100
        parts.append(f"volume changed by {np.ceil(change * 1e4) / 1e4 + 0.0:g} %, largest radius kept")
    rms, most_off = (deci(value, "mm") for value in (done.after.residual_rms, done.after.residual_max))
    parts.append(f"largest radius {deci(largest, 'mm'):.4f} mm")
    parts.append(f"points off the grid by {rms:.4f} mm rms, {most_off:.4f} mm at most")
    parts.append(f"{done.after.coverage_deg:.0f} degrees of the clock seen")
    parts += [placed.said] if placed is not None else []
    return _readings(bore.points[done.kept], frame), f"bore {bore.name}: " + ", ".join(parts)


def job_of_points(table: PointTable, template: Mapping[str, Any], job: Job, asked: Asked) -> JobOfPoints:
    """Return the job document with the points of a table as readings.

    Parameters
    ----------
    table
        The points by label.
    template
        The document whose bores get them; everything else of it is kept.
    job
        The same document as read, with whatever stands in for the readings.
    asked
        What was said beside the points.

    Raises
    ------
    DocumentError
        If points are wrong, each fault with its row.
    """
    labels = bore_names(table, template)
    bores = _bores(table, job, labels)
    frames = _checked(bores, asked)
    shares = shares_of([len(one.points) for one in bores], MOST_KEPT)
    document: dict[str, Any] = copy.deepcopy(dict(template))
    said, readings = [], {}
    for one, most in zip(bores, shares, strict=True):
        readings[one.name], line = _thinned(one, frames[one.name], most)
        said.append(line)
    for bore in document["bores"]:
        if bore["name"] in readings:
            bore.pop("worn_diameter", None)
            bore["readings"] = readings[bore["name"]]
    document["note"] = _note(document.get("note"), asked.source, said)
    return JobOfPoints(document, tuple(said))


def _note(before: str | None, source: str, said: list[str]) -> str:
    """Return the note of the job with what was done to the points, as far as a note reaches."""
    more = [f"and {len(said) - TOLD} bores more"] if len(said) > TOLD else []
    ours = f"points of {source[:120]}: " + "; ".join([*said[:TOLD], *more])
    whole = f"{before}\n{ours}" if before else ours
    return whole if len(whole) <= LONGEST_NOTE else (before or ours[:LONGEST_NOTE])


def json_of_job(document: dict[str, Any]) -> bytes:
    """Return a job document as JSON for people, a point a line; raise `DocumentError` if it is too large for one."""
    text = json.dumps(document, indent=2, ensure_ascii=False)
    mark = "points"
    while mark in text:
        mark += "_"
    rows, bores = list[str](), []
    for bore in document["bores"]:
        readings = bore.get("readings")
        if isinstance(readings, dict) and readings.get("kind") == "points":
            rows.append(",\n".join(f"          {json.dumps(point)}" for point in readings["values"]))
            bores.append({**bore, "readings": {**readings, "values": mark}})
        else:
            bores.append(bore)
    first, *rest = json.dumps({**document, "bores": bores}, indent=2, ensure_ascii=False).split(f'"{mark}"')
    parts = [f"[\n{held}\n        ]{after}" for held, after in zip(rows, rest, strict=True)]
    data = ("".join([first, *parts]) + "\n").encode("utf-8")
    if len(data) > LARGEST_DOCUMENT:
        raise DocumentError([Fault("", f"the job would be larger than {LARGEST_DOCUMENT // 2**20} MB")])
    return data
