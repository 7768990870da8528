"""What the service's description says of the routes of the store: parameters, good answers, problems."""

from collections.abc import Sequence
from typing import Any

from api.describe.answers import Schema
from api.problems import declared

__all__ = [
    "DONE", "EMPTY", "IF_MATCH", "ISSUING", "KEY", "LIMIT_AND_AFTER", "MADE", "NO_CONTENT", "kept", "parameter",
    "said_of_list",
]  # fmt: skip

JSON = "application/json"
DONE, MADE = 200, 201


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


EMPTY: dict[str, Any] = {
    "requestBody": {
        "required": False,
        "content": {
            "application/json": {
                "schema": {"$ref": "#/components/schemas/Nothing"},
                "examples": {"nothing": {"summary": "Nothing more is to be said", "value": {}}},
            }
        },
    }
}
ISSUING: dict[str, Any] = {
    "requestBody": {
        "required": False,
        "content": {
            "application/json": {
                "schema": {
                    "type": "object",
                    "additionalProperties": False,
                    "properties": {"budget": {"type": "boolean", "description": "a budget price, and meant as one"}},
                },
                "examples": {"nothing": {"summary": "A quote that binds", "value": {}}},
            }
        },
    }
}
