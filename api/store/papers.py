"""What a quote says and stands on, drawn up once and whole."""

import functools
import hashlib
import json
import zlib
from dataclasses import dataclass
from importlib import resources
from typing import Any

from pydantic_core import to_json

from api.store.models import Paper
from estimator.book.pricebook import PriceBook
from estimator.document.redact import redact
from estimator.estimate import estimate
from estimator.strict import sha256
from estimator.trust.explain import explain_whole

__all__ = ["Drawn", "draw", "explanations_of", "tables_digest", "workbooks_of"]


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


def draw(job: str, book: PriceBook) -> Drawn:
    """Return the paper of a job text and a price book; raise as `estimator.estimate.estimate` does."""
    found = estimate(job, book, "full")
    return Drawn(
        engine=found["engine"],
        tables_sha256=tables_digest(),
        job=job,
        pricebook=json.dumps(book.document, ensure_ascii=False, separators=(",", ":")),
        estimate=to_json(found).decode(),
        explanations=zlib.compress(to_json(explain_whole(job, book))),
        currency=found["price"]["currency"],
        total=found["price"]["total"],
    )


@functools.cache
def tables_digest() -> str:
    """Return the hash of the built-in tables: of the names and hashes of their files, in order."""
    files = sorted(resources.files("estimator.tables").iterdir(), key=lambda file: file.name)
    return sha256({file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in files if _is_table(file.name)})


def _is_table(name: str) -> bool:
    return name.endswith(".csv")


def explanations_of(paper: Paper) -> dict[str, Any]:
    """Return the figures of a paper with the numbers of their steps, and the steps."""
    found: dict[str, Any] = json.loads(zlib.decompress(paper.explanations))
    return found


def workbooks_of(estimate_text: str) -> tuple[bytes, bytes]:
    """Return the quote workbook of an estimate, and the one for those who do not see what it costs us."""
    from exports.sheets import quote_sheets  # noqa: PLC0415  # the workbook library is only loaded by who asks for one
    from exports.workbook import quote_workbook  # noqa: PLC0415  # the same

    found = json.loads(estimate_text)
    shown = redact(found, "field")
    return quote_workbook(found, quote_sheets(found)), quote_workbook(shown, quote_sheets(shown))
