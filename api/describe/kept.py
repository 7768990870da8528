"""What the service's description says of all that is kept: jobs, quotes, price books, what happened."""

from typing import Annotated, Any, Literal

from pydantic import TypeAdapter, WithJsonSchema

from api.describe.answers import Answer, Schema, named, template
from api.describe.bills import ASKED, BILLS
from api.describe.taught import Calibration, CalibrationList, KeptCalibration, Question, Variance
from estimator.after.happened import Happened
from estimator.after.planned import Planned

__all__ = ["components_kept"]

OfItsTime = Annotated[
    dict[str, Any],
    WithJsonSchema(
        {"type": "object", "minProperties": 1, "description": "an Estimate, as the engine of its time wrote it"}
    ),
]
State = Literal["draft", "issued", "accepted", "declined", "superseded", "expired"]


class KeptHead(Answer):
    """What is said of a job beside its document; its state is that of its newest quote."""

    id: int
    revision: int
    state: Literal["new"] | State
    pricebook: str | None
    created_at: str
    changed_at: str


class KeptJob(KeptHead):
    """A job that is kept."""

    job: dict[str, Any]


class JobRow(KeptHead):
    """A job in a list."""

    reference: str
    title: str | None
    customer: str | None
    equipment: str | None


class QuoteHead(Answer):
    """A quote without what it says; `revision` counts the quotes that revise one another."""

    number: str
    state: State
    revision: int
    job_id: int
    job_revision: int
    revises: str | None
    pricebook: str | None
    currency: str
    total: str
    created_at: str
    issued_at: str | None
    valid_until: str | None
    settled_at: str | None
    sha256: str | None


class KeptQuote(QuoteHead):
    """A quote; once it is issued its estimate never changes, and `sha256` is of that."""

    estimate: OfItsTime


class QuoteRow(QuoteHead):
    """A quote in a list."""

    reference: str
    customer: str | None
    equipment: str | None


class KeptBook(Answer):
    """A price book that is kept, as it was sent."""

    name: str
    revision: int
    changed_at: str
    pricebook: dict[str, Any]


class BookRow(Answer):
    """A price book in a list."""

    name: str
    revision: int
    changed_at: str


class JobList(Answer):
    """A page of jobs; `next` is the cursor of the page after it."""

    items: list[JobRow]
    next: str | None


class QuoteList(Answer):
    """A page of quotes."""

    items: list[QuoteRow]
    next: str | None


class BookList(Answer):
    """A page of price books."""

    items: list[BookRow]
    next: str | None


class Taken(Answer):
    """What was recorded and what was estimated, in the unit of the key."""

    recorded: float
    estimated: float


class SizeRead(Answer):
    """A finished size and whether it lies within its limits, for all the gauge can tell."""

    depth_mm: float
    clock: float | None
    diameter_mm: float
    uncertainty_mm: float
    verdict: Literal["conforms", "does not conform", "not proven"]


class BoreTaken(Answer):
    """One bore as recorded, and what its estimate expected, element by element."""

    name: str
    taken: dict[str, Taken]
    finished: list[SizeRead]
    planned: Planned | None = None
    sure: list[str] | None = None


class KeptRecord(Answer):
    """A record of what happened, set beside the estimate."""

    id: int
    job_id: int
    quote: str
    replaces: int | None
    created_at: str
    created_by: str
    bores: list[BoreTaken]
    remarks: list[str]
    asked_about: list[Question] | None = None
    record: dict[str, Any]


class RecordList(Answer):
    """A page of records."""

    items: list[KeptRecord]
    next: str | None


class Deed(Answer):
    """Something that was done; `request` is the number that its answer carried."""

    id: int
    at: str
    actor: str
    role: str
    action: str
    subject: str
    request: str
    detail: dict[str, Any]


class AuditList(Answer):
    """A page of the audit."""

    items: list[Deed]
    next: str | None


WRITTEN = (
    KeptJob, JobList, KeptQuote, QuoteList, KeptBook, BookList, KeptRecord, RecordList, Variance, Calibration,
    CalibrationList, KeptCalibration, AuditList, *BILLS,
)  # fmt: skip


def components_kept() -> dict[str, Schema]:
    """Return every schema that the routes of the store refer to."""
    found: dict[str, Schema] = {"Nothing": {"type": "object", "maxProperties": 0}}
    found["Accepted"] = {
        "type": "object",
        "properties": {
            "sha256": {"type": "string", "description": "of the calibration as it was read"},
            "version": {"type": "integer", "minimum": 1, "description": "an earlier one, once more"},
            "book_alone": {"type": "boolean", "description": "nothing that was learnt"},
        },
        "additionalProperties": False,
        "description": "One of these, or nothing: what the records teach now.",
    }
    found["PriceBook"] = {"type": "object", "description": "A price book, whole or the part that differs."}
    for model in WRITTEN:
        name = model.__name__
        found |= named(TypeAdapter(model).json_schema(ref_template=template(name), mode="serialization"), name)
    for name, asked in (("Happened", Happened), *ASKED.items()):
        found |= named(asked.model_json_schema(ref_template=template(name)), name)
    found["KeptJob"]["properties"]["job"] = {"$ref": "#/components/schemas/Job"}
    return found
