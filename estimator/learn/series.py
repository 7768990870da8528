"""What jobs took of one element beside what was estimated, in the order of time."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

__all__ = ["ELEMENTS", "HOURS", "KINDS", "Array", "Cell", "Codes", "Series", "series_of"]

Array = npt.NDArray[np.float64]
Codes = npt.NDArray[np.int64]
HOURS = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")
ELEMENTS = (*HOURS, "wire", "gas")
KINDS = ("wire", "position", "crew", "rig")  # by what jobs may differ beside their sizes


@dataclass(frozen=True)
class Cell:
    """What one job took of an element where all circumstances are alike; `job`: its place in time.

    `labels`: by kind which wire, position, crew and rig; a kind that is not known is left out.
    """

    job: int
    element: str
    recorded: float
    estimated: float
    labels: Mapping[str, str]


@dataclass(frozen=True, eq=False)
class Series:
    """The cells of one element as arrays, in the order of time.

    `labels`: by kind the labels that there are, and the number of each cell's among them, from 1; 0 where unknown.
    """

    job: Codes
    recorded: Array
    estimated: Array
    labels: Mapping[str, tuple[tuple[str, ...], Codes]]

    @functools.cached_property
    def jobs(self) -> Codes:
        """The jobs that have a record, in the order of time."""
        return np.unique(self.job)

    @functools.cached_property
    def by_job(self) -> tuple[Array, Array]:
        """What each of these jobs took in all, and what was estimated for it."""
        place = np.searchsorted(self.jobs, self.job)
        return (
            np.bincount(place, self.recorded).astype(np.float64),
            np.bincount(place, self.estimated).astype(np.float64),
        )

    @functools.cached_property
    def logs(self) -> Array:
        """The logarithm of recorded over estimated, job by job."""
        recorded, estimated = self.by_job
        return np.log(recorded / estimated)

    @functools.cached_property
    def cell_logs(self) -> Array:
        """The same, cell by cell."""
        return np.log(self.recorded / self.estimated)


def series_of(cells: Sequence[Cell]) -> dict[str, Series]:
    """Return the cells of each element that has any, in the order of the elements."""
    found: dict[str, list[Cell]] = {}
    for cell in sorted(cells, key=lambda one: one.job):
        found.setdefault(cell.element, []).append(cell)
    return {name: _series(found[name]) for name in ELEMENTS if name in found}


def _series(cells: list[Cell]) -> Series:
    labels: dict[str, tuple[tuple[str, ...], Codes]] = {}
    for kind in KINDS:
        known = sorted({cell.labels[kind] for cell in cells if kind in cell.labels})
        if len(known) > 1:
            number = {one: place for place, one in enumerate(known, 1)}
            labels[kind] = tuple(known), np.array([number.get(cell.labels.get(kind, ""), 0) for cell in cells])
    return Series(
        np.array([cell.job for cell in cells], dtype=np.int64),
        np.array([cell.recorded for cell in cells]),
        np.array([cell.estimated for cell in cells]),
        labels,
    )
