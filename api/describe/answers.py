"""The service's description of itself: what goes in, as it is sent, and what comes out."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, TypeAdapter

from estimator.buying.make import Order
from estimator.compare import Comparison
from estimator.estimate import Estimate, Priced
from estimator.fleet import Fleet
from estimator.fleet.lines import COLUMNS, REQUIRED
from estimator.job.job import Job

__all__ = ["Answer", "Schema", "body_of", "components", "named", "reply", "template", "upload_of"]

Schema = dict[str, Any]
JSON = "application/json"


class Answer(BaseModel):
    """Base of the answers described here; later keys may be added."""

    model_config = ConfigDict(extra="allow")


class FaultItem(Answer):
    """One thing that is wrong."""

    path: str
    message: str


class Problem(Answer):
    """A problem document (RFC 9457)."""

    type: str
    title: str
    status: int
    detail: str
    errors: list[FaultItem]


class Health(Answer):
    """State of the service."""

    status: Literal["ok", "ready"]


class Intake(Answer):
    """What a filled sheet says: a job document; where the work is done, the record for its quote's actuals."""

    job: dict[str, Any]
    record: dict[str, Any] | None = None


class Input(Answer):
    """What a step was computed from; `step` is the number of the step that it came from."""

    name: str
    value: float | str | bool | None
    step: int | None = None
    unit: str | None = None


class Step(Answer):
    """One step of an explanation."""

    step: int
    kind: str
    name: str
    value: float | str | None
    unit: str
    text: str
    formula: str
    source: str
    mark: str
    inputs: list[Input]


class Explanation(Answer):
    """How one figure came about: its steps, those it stands on first."""

    key: str
    value: float | str | bool | None
    unit: str
    meaning: str
    steps: list[Step]


def named(schema: Schema, name: str) -> dict[str, Schema]:
    """Return a schema and its parts as components, the parts' names beginning with that of the whole."""
    parts = schema.pop("$defs", {})
    return {name: schema} | {f"{name}{part}": inside for part, inside in parts.items()}


def template(name: str) -> str:
    """Return how one part of a component refers to another."""
    return f"#/components/schemas/{name}{{model}}"


def _job() -> dict[str, Schema]:
    """Return the job as it is sent: quantities are texts; depths and values may be numbers where `unit` is said."""
    found = named(Job.model_json_schema(ref_template=template("Job")), "Job")
    table = found["JobReadings"]["properties"]
    rows = table["values"]["items"]
    for cells in (table["depth"], rows):
        cells["items"] = {"anyOf": [cells["items"], {"type": "number", "description": "in the unit said in `unit`"}]}
    return found


def _question() -> Schema:
    said = {"job": {"$ref": "#/components/schemas/Job"}, "key": {"type": "string"}}
    return {"type": "object", "properties": said, "required": ["job", "key"], "additionalProperties": False}


def _typed(document: Any) -> dict[str, Schema]:  # noqa: ANN401  # a typed document
    """Return the schema of a typed document and its parts."""
    name = document.__name__
    return named(TypeAdapter(document).json_schema(ref_template=template(name), mode="serialization"), name)


def _basket() -> Schema:
    """Return what an order is asked with."""
    item = {"item": {"type": "string"}, "on_hand": {"type": "number", "minimum": 0}}
    row = {"type": "object", "properties": {**item, "pack_size": {"type": "number", "exclusiveMinimum": 0}}}
    said = {
        "jobs": {"type": "array", "minItems": 1, "items": {"$ref": "#/components/schemas/Job"}},
        "stock": {"type": "array", "items": {**row, "required": ["item", "on_hand"]}},
        "service_level": {"type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1, "default": 0.95},
    }
    return {"type": "object", "properties": said, "required": ["jobs"], "additionalProperties": False}


def _listed() -> Schema:
    """Return what a fleet is asked with: a list as CSV text or as rows, one of the two."""
    cell = {"type": ["string", "number", "boolean", "null"]}
    unit = "a value with its unit, or its unit in brackets after the name of its column"
    row = {"type": "object", "properties": {name: {**cell, "description": unit} for name in COLUMNS}}
    wanted = f"Columns: {', '.join(COLUMNS)}; the first {len(REQUIRED)} are required of each row."
    said = {
        "csv": {"type": "string", "description": f"CSV text, a bore a line. {wanted}"},
        "rows": {"type": "array", "items": row, "description": f"The same as objects. {wanted}"},
        "budget": {"type": "string", "examples": ["20000 EUR"], "description": "of one shutdown"},
        "crew_hours": {"type": "string", "examples": ["80 h"], "description": "of one shutdown"},
    }
    one = [{"required": ["csv"]}, {"required": ["rows"]}]
    return {"type": "object", "properties": said, "oneOf": one, "additionalProperties": False}


def _estimated() -> Schema:
    """Return what a job's estimate is: with its plan, or what it comes to alone."""
    return {"anyOf": [{"$ref": f"#/components/schemas/{name}"} for name in ("Estimate", "Priced")]}


def components() -> dict[str, Schema]:
    """Return every schema that routes refer to."""
    found = _job() | _typed(Estimate) | _typed(Comparison) | _typed(Order) | _typed(Fleet)
    found |= {
        "Question": _question(),
        "Basket": _basket(),
        "Listed": _listed(),
        **_typed(Priced),
        "Estimated": _estimated(),
    }
    for model in (Problem, Health, Explanation, Intake):
        schema = TypeAdapter(model).json_schema(ref_template=template(model.__name__), mode="serialization")
        found |= named(schema, model.__name__)
    return found


def body_of(component: str, examples: Schema, *, required: bool = True) -> Schema:
    """Return the description of a JSON body."""
    content = {JSON: {"schema": {"$ref": f"#/components/schemas/{component}"}, "examples": examples}}
    return {"requestBody": {"required": required, "content": content}}


def upload_of(kind: str) -> Schema:
    """Return the description of a body that is a file of a media type."""
    return {"requestBody": {"required": True, "content": {kind: {"schema": {"type": "string", "format": "binary"}}}}}


def reply(component: str, description: str, *others: str) -> dict[int | str, dict[str, Any]]:
    """Return the description of a route's good answer, as JSON and in other media types."""
    content: dict[str, Any] = {JSON: {"schema": {"$ref": f"#/components/schemas/{component}"}}}
    content |= {other: {"schema": {"type": "string", "format": "binary"}} for other in others}
    return {200: {"description": description, "content": content}}
