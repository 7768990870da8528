"""The intake sheet to print and fill in by hand, blank or from a job: the questions of the workbook, on paper.

Bores stand side by side, one line of pins a page; what a job says already stands in the boxes.
"""

import datetime
import itertools
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from exports.intake.fields import BORES, DONE, JOB, RECORD, Field, Group, units_of
from exports.intake.filled import Filled, Grid, filled
from exports.intake.guide import told
from exports.papers.set import set_paper

__all__ = ["intake_content", "intake_paper"]

ACROSS, LINES, BLANK_GRIDS, DEPTHS = 6, 3, 8, 5
POSITIONS = tuple(range(0, 360, 45))
PARTS = ("how", "care", "clock", "depth", "plate")


def intake_paper(document: Mapping[str, Any] | None, day: datetime.date, us: bool | None = None) -> bytes:
    """Return the sheet as PDF; parameters as those of `exports.intake.form.intake_sheets`, `day`: its file's date."""
    return set_paper("intake", intake_content(document, us), day)


def intake_content(document: Mapping[str, Any] | None, us: bool | None = None) -> dict[str, Any]:
    """Return all that the sheet prints, as its template takes it."""
    said = Filled(us=bool(us)) if document is None else filled(document, us)
    reference = _cell(said.job.get("reference"))
    return {
        "title": f"Intake {reference}".strip(),
        "job": [_asked(group, said.job, said.job_units, us=said.us) for group in JOB],
        "bores": [_table(BORES, part, said.units, us=said.us) for part in _pages(said.bores)],
        "grids": [_grid(one) for one in said.grids] or [_grid(Grid("", unit=_length(said.us)))] * BLANK_GRIDS,
        "record": [_asked(group, {}, {}, us=said.us) for group in RECORD],
        "done": [_table(DONE, part, {}, us=said.us) for part in _pages(_named(said.bores))],
        "guide": [{"name": part, "lines": [_guided(*one) for one in told(part)]} for part in PARTS],
        "more": [[f"{one.bore}: {one.key}" if one.bore else one.key, one.value] for one in said.more],
    }


def _length(us: bool) -> str:
    return "in" if us else "mm"


def _guided(name: str, text: str) -> str:
    return f"Plate ends, {name}: {text}" if name else text


def _cell(value: object) -> str:
    """Return what stands in a box; a number as it was typed."""
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _named(bores: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return the bores with nothing but their marks."""
    return [{"name": bore.get("name")} for bore in bores]


def _pages(bores: Sequence[Mapping[str, Any]]) -> list[list[Mapping[str, Any]]]:
    """Return bores as they stand side by side, those of one line together; on a blank sheet one page of empty ones."""
    found = list[list[Mapping[str, Any]]]()
    for _, held in itertools.groupby(bores, key=lambda bore: bore.get("line")):
        for part in _batched(list(held)):
            if found and len(found[-1]) + len(part) <= ACROSS:
                found[-1] += part
            else:
                found.append([*part])
    return found or [[]] * LINES


def _batched(held: list[Mapping[str, Any]]) -> Iterator[list[Mapping[str, Any]]]:
    return (held[start : start + ACROSS] for start in range(0, len(held), ACROSS))


def _asked(group: Group, said: Mapping[str, Any], units: Mapping[str, str], *, us: bool) -> dict[str, Any]:
    """Return the questions of a group: label, answer, unit, hint, whether it takes several lines."""
    rows = [
        {
            "label": one.label,
            "said": _cell(said.get(one.key)),
            "unit": units.get(one.key, units_of(one, us)),
            "hint": one.hint,
            "tall": one.kind == "note",
        }
        for one in group.fields
    ]
    return {"name": group.name, "rows": rows}


def _table(
    groups: Sequence[Group], bores: Sequence[Mapping[str, Any]], units: Mapping[str, str], *, us: bool
) -> list[dict[str, Any]]:
    """Return questions as rows and bores as columns."""
    full = [*bores, *({} for _ in range(ACROSS - len(bores)))]
    return [
        {
            "name": group.name,
            "rows": [
                {
                    "label": one.label,
                    "unit": units.get(one.key, units_of(one, us)) or _words(one),
                    "cells": [_cell(bore.get(one.key)) for bore in full],
                }
                for one in group.fields
            ],
        }
        for group in groups
    ]


def _words(one: Field) -> str:
    """Return the few words that a question is answered by."""
    return ", ".join(one.words) if one.strict else ""


def _grid(one: Grid) -> dict[str, Any]:
    """Return a block of readings: its head, places on the clock, a row a depth."""
    across = one.clock or POSITIONS
    rows = [[_cell(depth), *map(_cell, values)] for depth, values in zip(one.depth, one.values, strict=True)]
    return {
        "bore": one.bore,
        "kind": one.kind if one.bore else "",
        "unit": one.unit,
        "warm": f"{_cell(one.temperature)} {one.warmth}".strip(),
        "clock": [_cell(place) for place in across],
        "rows": rows or [[""] * (1 + len(across)) for _ in range(DEPTHS)],
    }
