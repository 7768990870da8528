"""What a quote says and stands on, and its papers, as they are kept."""

import base64
import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from api.store.models import Paper

__all__ = ["Drawn", "Frozen", "explanations_of", "kept_letters", "letters_in"]


@dataclass(frozen=True)
class Drawn:
    """All that goes into a paper, and what a list of quotes shows of it."""

    engine: str
    tables_sha256: str
    job: str
    pricebook: str
    estimate: str
    explanations: bytes
    currency: str
    total: str

    def paper(self, number: int) -> Paper:
        """Return the paper of a draft."""
        return Paper(
            number=number, engine=self.engine, tables_sha256=self.tables_sha256, job=self.job,
            pricebook=self.pricebook, estimate=self.estimate, explanations=self.explanations,
        )  # fmt: skip


@dataclass(frozen=True)
class Frozen:
    """What is frozen as a quote is issued: when that was, until when it is valid, its papers."""

    at: str
    valid_until: str
    workbook: bytes
    workbook_without_cost: bytes
    letters: bytes
    pack: bytes
    workbooks: bytes


def kept_letters(letters: Mapping[str, bytes]) -> bytes:
    """Return letters by language as they are kept."""
    return json.dumps({name: base64.b64encode(data).decode() for name, data in letters.items()}).encode()


def letters_in(kept: bytes | None) -> dict[str, bytes]:
    """Return letters by language out of what was kept; none where nothing was.

    A file that came from anywhere may hold what is no language: that is left out, since languages name files.
    """
    found: dict[str, str] = {} if kept is None else json.loads(kept)
    return {name: base64.b64decode(data) for name, data in found.items() if name.isascii() and name.isalpha()}


def explanations_of(paper: Paper) -> dict[str, Any]:
    """Return the figures of a paper with the numbers of their steps, and the steps."""
    found: dict[str, Any] = json.loads(zlib.decompress(paper.explanations))
    return found
