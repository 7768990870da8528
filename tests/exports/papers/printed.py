"""What a paper says, as another program reads it."""

import re
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

__all__ = ["pages_of", "said"]


def pages_of(paper: bytes) -> list[str]:
    """Return the text of each page, in the order in which it was set."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "paper.pdf"
        file.write_bytes(paper)
        done = subprocess.run(
            ["pdftotext", "-raw", "-enc", "UTF-8", str(file), "-"], check=True, capture_output=True, encoding="utf-8"
        )
    return done.stdout.split("\f")[:-1]


def said(paper: bytes) -> str:
    """Return the text of all pages, every run of blanks as one."""
    return re.sub(r"\s+", " ", " ".join(pages_of(paper)))
