"""What a paper holds beside its estimate: hashes of it when it is issued, and whether they still hold."""

import hashlib
import io
import re
import zipfile
from collections.abc import Mapping
from typing import Any

__all__ = ["COSTED", "HELD", "hash_of", "hashes_held", "paper_fault", "shows_cost"]

PAPERS = ("workbook", "workbook_without_cost", "letters", "pack", "workbooks")
HELD = ("engine", "tables_sha256", "job", "pricebook", "explanations", *PAPERS)
SHEETS = "xl/workbook.xml"
LARGEST_LIST = 1_000_000  # [bytes] of a workbook's list of sheets, unpacked
NAMED = re.compile(rb"<(?:\w+:)?sheet\s[^>]*?\bname=[\"']([^\"']*)[\"']")
COSTED = {b"price", b"inputs"}  # the titles of `exports.sheets.COSTED`


def hashes_held(paper: Mapping[str, Any]) -> dict[str, str]:
    """Return a hash of each thing that a paper holds beside its estimate, by its name."""
    found = {name: paper[name] for name in HELD}
    return {name: hash_of(value) for name, value in found.items() if value is not None}


def hash_of(value: str | bytes) -> str:
    """Return the hash of a text or of the bytes of a paper."""
    return hashlib.sha256(value.encode() if isinstance(value, str) else value).hexdigest()


def shows_cost(workbook: bytes) -> bool:
    """Return whether a workbook has a sheet of what a job costs us; so has one that cannot be read."""
    try:
        with zipfile.ZipFile(io.BytesIO(workbook)) as file, file.open(SHEETS) as sheets:
            names = NAMED.findall(sheets.read(LARGEST_LIST))
    except (zipfile.BadZipFile, KeyError, OSError, ValueError, EOFError, RuntimeError):
        return True
    return not names or any(name.strip().lower() in COSTED for name in names)


def paper_fault(paper: Mapping[str, Any], *, issued: bool, noted: object) -> str:
    """Return what is wrong with what a paper holds beside its estimate, empty where nothing is.

    Parameters
    ----------
    paper
        Its columns.
    issued
        Whether its quote was issued.
    noted
        The hashes that the audit noted then; None of a quote that was issued before hashes were noted.
    """
    if not issued:
        held = [name for name in PAPERS if paper[name] is not None]
        return f"is a draft with the {held[0].partition('_')[0]} of an issued quote" if held else ""
    if noted is not None:
        now = hashes_held(paper)
        known = noted if isinstance(noted, dict) else {}
        odd = [name for name in HELD if now.get(name) != known.get(name)]
        return f"holds something else than was issued: {', '.join(odd)}" if odd else ""
    shown = paper["workbook_without_cost"]
    costed = shown is not None and shows_cost(shown)
    return "has a workbook for the field that shows what it costs" if costed else ""
