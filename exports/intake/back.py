"""A filled intake sheet back into a job document; what is wrong is told at its cell, all of it at once."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from estimator.errors import DocumentError, Fault
from estimator.strict import LARGEST_DOCUMENT, canonical
from exports.intake import grids, more, record
from exports.intake.asked import labelled, tabled
from exports.intake.faults import Places
from exports.intake.fields import BORES, JOB
from exports.intake.pages import Page, pages_of
from exports.intake.slips import slips_in

__all__ = ["document_of", "job_of_pages", "job_of_sheet"]

SHEETS = ("Job", "Bores", grids.NAME, record.NAME, more.NAME)
NEEDED = SHEETS[:2]


def _bores(page: Page, places: Places) -> list[dict[str, Any]]:
    """Return the bores, a row each; a row in which only a line stands is not filled in."""
    found = tabled(page, BORES, places, "line")
    for number in range(len(found)):
        for key, at in (("plate", "plate.ends"), ("readings", "worn_diameter")):
            places.cells[f"bores.{number}.{key}"] = places.cells[f"bores.{number}.{at}"]
    return found


def document_of(pages: Mapping[str, Page]) -> tuple[dict[str, Any], Places]:
    """Return the job document that the sheets say, and where each key stands; nothing is checked across cells."""
    places = Places()
    document, bores = labelled(pages["Job"], JOB, places), _bores(pages["Bores"], places)
    if bores:
        document["bores"] = bores
    number_of = {str(one.get("name")): number for number, one in reversed(list(enumerate(bores)))}
    if places.faults and not bores:
        return document, places  # whatever else is said is of no bore
    if grids.NAME in pages:
        for number, readings in grids.grids_of(pages[grids.NAME], places, number_of):
            bores[number]["readings"] = readings
    if more.NAME in pages:
        more.put_more(pages[more.NAME], document, number_of, places)
    return document, places


def _raised(faults: Iterable[Fault]) -> None:
    if found := list(dict.fromkeys(faults)):
        raise DocumentError(found)


def job_of_sheet(
    data: bytes, check: Callable[[dict[str, Any]], object]
) -> tuple[dict[str, Any], dict[str, Any] | None]:
    """Return the job document of a filled intake workbook, and the record of what happened where one is filled in.

    Parameters
    ----------
    data
        The bytes of the workbook.
    check
        Raises `DocumentError` where the document is wrong, each fault with its key.

    Raises
    ------
    DocumentError
        If the file is none that is to be opened, or an answer is wrong: each fault with its cell, "Readings!D7".
    """
    pages, faults = pages_of(data, SHEETS), list[Fault]()
    job, happened = dict[str, Any](), None
    try:
        job = job_of_pages(pages, check)
    except DocumentError as error:
        faults += error.faults
    try:
        happened = record.record_of(pages[record.NAME]) if record.NAME in pages else None
    except DocumentError as error:
        faults += error.faults
    _raised(faults)
    return job, happened


def job_of_pages(pages: Mapping[str, Page], check: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    """Return the job document of the sheets of a filled workbook; `job_of_sheet` says how it is checked."""
    _raised(
        Fault(name, "the workbook has no such sheet; fill in an intake sheet as it was made")
        for name in NEEDED
        if name not in pages
    )
    document, places = document_of(pages)
    _raised([*places.faults, *slips_in(document, places.cells)])
    if len(canonical(document)) > LARGEST_DOCUMENT:
        raise DocumentError([Fault("", f"the job would be larger than {LARGEST_DOCUMENT >> 20} MB")])
    try:
        check(document)
    except DocumentError as error:
        raise DocumentError([places.at(fault) for fault in error.faults]) from None
    return document
