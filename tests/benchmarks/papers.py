"""The letter against the same program setting as many empty pages."""

import datetime
import json
import tempfile
from pathlib import Path

import typst

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.papers.letter import letter
from tests.benchmarks.ratio import Ratio, least
from tests.benchmarks.shell import SAMPLE

__all__ = ["letter_ratio"]

EMPTY = '#set page(paper: "a4")\n#set document(title: "empty")\n#set text(lang: "en")\n#pagebreak(weak: false)\n'


def letter_ratio() -> Ratio:
    """Return the time of a letter over that of two empty pages of the same kind of file, set from a file as well."""
    found = estimate(json.loads(SAMPLE.read_text("utf-8")), read_pricebook(), "full")
    day = datetime.date(2027, 2, 1)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "empty.typ"
        file.write_text(EMPTY, "utf-8")

        def bare() -> None:
            typst.compile(file, ignore_system_fonts=True, pdf_standards=["a-2a", "ua-1"])

        ours, theirs = least(lambda: letter(found, day)), least(bare)
    return Ratio(
        "letter against as many empty pages", ours / theirs, 2, f"{1e3 * ours:.0f} against {1e3 * theirs:.0f} ms"
    )
