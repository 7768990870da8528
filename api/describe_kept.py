"""What the service's description says of all that is kept: jobs, quotes, price books, what happened."""

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from pydantic import TypeAdapter, WithJsonSchema

from api.describe import Answer, Schema, named, template
from api.problems import declared
from estimator.happened import Happened

__all__ = [
    "DONE",
    "IF_MATCH",
    "KEY",
    "LIMIT_AND_AFTER",
    "MADE",
    "NO_CONTENT",
    "components_kept",
    "kept",
    "parameter",
    "said_of_list",
]

JSON = "application/json"
DONE, MADE = 200, 201
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
    """One bore as recorded."""

    name: str
    taken: dict[str, Taken]
    finished: list[SizeRead]


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
    record: dict[str, Any]


class RecordList(Answer):
    """A page of records."""

    items: list[KeptRecord]
    next: str | None


class InvoiceLine(Answer):
    """A line of an invoice; `record` is the number of the record it comes from."""

    code: Literal["quoted", "variation", "standing"]
    description: str
    quantity: float
    unit: str
    unit_price: str
    price: str
    approved_by: str | None
    record: int | None


class Invoice(Answer):
    """The lines of an invoice; what nobody approved is left out, and what is missing stands under `open`."""

    quote: str
    reference: str
    customer: str | None
    purchase_order: str | None
    signature: str | None
    currency: str
    lines: list[InvoiceLine]
    before_tax: str
    tax: str
    total: str
    left_out: list[InvoiceLine]
    open: list[str]


class Ratio(Answer):
    """Recorded against estimated, summed over the bores that have both."""

    kind: str
    count: int
    recorded: float
    estimated: float
    ratio: float | None


class Calibration(Answer):
    """How what was recorded compares with what was estimated."""

    method: str
    ratios: list[Ratio]


WRITTEN = (
    KeptJob, JobList, KeptQuote, QuoteList, KeptBook, BookList, KeptRecord, RecordList, Invoice, Calibration,
)  # fmt: skip


def components_kept() -> dict[str, Schema]:
    """Return every schema that the routes of the store refer to."""
    found: dict[str, Schema] = {"Nothing": {"type": "object", "maxProperties": 0}}
    found["PriceBook"] = {"type": "object", "description": "A price book, whole or the part that differs."}
    for model in WRITTEN:
        name = model.__name__
        found |= named(TypeAdapter(model).json_schema(ref_template=template(name), mode="serialization"), name)
    found |= named(Happened.model_json_schema(ref_template=template("Happened")), "Happened")
    found["KeptJob"]["properties"]["job"] = {"$ref": "#/components/schemas/Job"}
    return found


def parameter(name: str, description: str, place: str = "query", **schema: object) -> Schema:
    """Return the description of one parameter, which may be left out."""
    shape = {"type": "string"} | schema
    return {"name": name, "in": place, "description": description, "required": False, "schema": shape}


KEY = parameter(
    "Idempotency-Key", "Of a request that may be sent again: within 24 hours it is done once.", "header",
    minLength=1, maxLength=200, pattern="^[!-~]([ -~]*[!-~])?$",
)  # fmt: skip
IF_MATCH = parameter("If-Match", "The ETag of what was read.", "header") | {"required": True}
NO_CONTENT: dict[int | str, dict[str, Any]] = {204: {"description": "It is gone."}}


LIMIT_AND_AFTER = [
    parameter("limit", "How many; 50 if not said.", type="integer", minimum=1, maximum=500),
    parameter("after", "The cursor that stood under `next`.", pattern="^[1-9][0-9]{0,17}$"),
]


def said_of_list(states: Sequence[str]) -> list[Schema]:
    """Return the parameters of a list."""
    return [
        *LIMIT_AND_AFTER,
        parameter("q", "Words to look for in reference, title, customer and equipment.", maxLength=200),
        parameter("state", "Only this state.", enum=list(states)),
        parameter("since", "Made at this date or moment, or after it."),
        parameter("until", "Made by the end of this date, or before this moment."),
    ]


def kept(
    component: str, description: str, status: int = 200, *faults: int, other: str = ""
) -> dict[int | str, dict[str, Any]]:
    """Return the answers of a route of the store: a good one, unless that has no name, and its problems."""
    content: dict[str, Any] = {JSON: {"schema": {"$ref": f"#/components/schemas/{component}"}}}
    if other:
        content = {other: {"schema": {"type": "string", "format": "binary"}}}
    good: dict[int | str, dict[str, Any]] = {status: {"description": description, "content": content}}
    return (good if component or other else {}) | declared(*sorted({400, 401, 413, 421, 422, 429, 500, 503, *faults}))
