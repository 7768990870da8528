"""What a quote says and stands on, as it is kept."""

import json
import zlib
from dataclasses import dataclass
from typing import Any

from api.store.models import Paper

__all__ = ["Drawn", "explanations_of"]


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


def explanations_of(paper: Paper) -> dict[str, Any]:
    """Return the figures of a paper with the numbers of their steps, and the steps."""
    found: dict[str, Any] = json.loads(zlib.decompress(paper.explanations))
    return found
