"""What recorded jobs teach, worked out for a caller: plain values in, plain values out, as in `tasks`."""

import json
from typing import Any

from pydantic import BaseModel, ConfigDict
from pydantic_core import to_json

from estimator.after.record import read_happened
from estimator.after.variance import variance
from estimator.book.pricebook import read_pricebook
from estimator.document.redact import Role, redact
from estimator.errors import DocumentError, Fault
from estimator.learn import calibrated
from estimator.learn.records import done_of
from estimator.strict import canonical, parse, sha256, validated

__all__ = ["acceptance", "learnt", "to_accept", "varied"]

MOST_VERSION = 2**53


class Acceptance(BaseModel):
    """Which calibration is accepted: what records teach now, as it was read, an earlier version, or the book alone."""

    model_config = ConfigDict(extra="forbid", strict=True, hide_input_in_errors=True)

    sha256: str | None = None
    version: int | None = None
    book_alone: bool = False


def _learnt(records: str) -> dict[str, Any]:
    """Return what records teach, each a list: quote, reference, when it was recorded, as set beside its estimate."""
    rows: list[tuple[int, str, str, dict[str, Any]]] = json.loads(records)
    return {**calibrated(done_of(rows), read_pricebook())}


def learnt(records: str, accepted: int | None) -> bytes:
    """Return what records teach as it stands; `accepted`: the version in force."""
    found = _learnt(records)
    return to_json({**found, "sha256": sha256(found), "accepted": accepted})


def to_accept(records: str) -> tuple[str, str]:
    """Return hash and text of what records teach."""
    found = _learnt(records)
    return sha256(found), canonical(found).decode()


def acceptance(body: bytes) -> tuple[str, int | None, str | None, bool]:
    """Return the hash of what is asked, and which calibration shall be accepted: its version, its hash, or none."""
    document = parse(body)
    found = validated(Acceptance, document, {})
    if sum((found.version is not None, found.sha256 is not None, found.book_alone)) > 1:
        raise DocumentError([Fault("", "give one of sha256, version and book_alone, or nothing")])
    if found.version is not None and not 0 < found.version < MOST_VERSION:
        raise DocumentError([Fault("version", "must be the number of a calibration that was accepted")])
    return sha256(document), found.version, found.sha256, found.book_alone


def varied(number: int, estimated: str, records: str, variations: str, role: Role) -> bytes:
    """Return what a quote's work cost otherwise than planned; `records` is a list of numbers and records."""
    estimate_of = json.loads(estimated)
    found = [(row, read_happened(record, estimate_of)) for row, record in json.loads(records)]
    return to_json(
        redact(variance(str(number), estimate_of, found, read_pricebook().facts, json.loads(variations)), role)
    )
