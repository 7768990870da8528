"""A paper as bytes: a template of this folder, set with content that goes in as data and never as markup.

The same content of the same date gives the same bytes: fonts of the wheel alone, one time stamp, no clock.
"""

import datetime
import json
from collections.abc import Mapping
from importlib import resources
from typing import TYPE_CHECKING

import typst

if TYPE_CHECKING:
    from typst import PDFStandard

__all__ = ["set_paper"]

STANDARDS: "list[PDFStandard]" = ["a-2a", "ua-1"]  # kept for years, and read out to who cannot see
UNSHOWN = "could not be displayed"


def set_paper(template: str, content: Mapping[str, object], day: datetime.date) -> bytes:
    """Return a paper as PDF.

    Parameters
    ----------
    template
        Name of a template of this folder, without its ending.
    content
        What it prints: texts, and lists and objects of texts.
    day
        The paper's date, which is its file's as well.

    Returns
    -------
    bytes
        A tagged file for archives; one of plain PDF where a text holds signs that the fonts lack, and shows as boxes.
    """
    try:
        return _set(template, content, day, STANDARDS)
    except typst.TypstError as error:
        if UNSHOWN not in error.message:
            raise
        return _set(template, content, day, [])


def _set(template: str, content: Mapping[str, object], day: datetime.date, standards: "list[PDFStandard]") -> bytes:
    moment = datetime.datetime(day.year, day.month, day.day, 12, tzinfo=datetime.UTC)
    with resources.as_file(resources.files("exports.papers")) as folder:
        return typst.compile(
            folder / f"{template}.typ",
            root=folder,
            ignore_system_fonts=True,
            sys_inputs={"content": json.dumps(content, ensure_ascii=False)},
            pdf_standards=standards,
            timestamp=moment,
        )
