"""What the service's description says of more wear found on site."""

from typing import Any

from pydantic import TypeAdapter

from api.describe.answers import Answer, Schema, named, template
from api.work.found import FoundOnSite

__all__ = ["FOUND", "components_of_found"]


class BoreAnew(Answer):
    """A bore from the diameter that was found; `rows` are its layers as on the weld card, under `head`."""

    name: str
    cleanup_mm: float
    weld_mm: float
    layers: int
    deposit_more_kg: float | None
    wear_mm: float
    head: list[str]
    rows: list[list[str]]


class PlannedAnew(Answer):
    """A quote's plan from the diameters that were found; the differences are those after the cut."""

    said: str
    bores: list[BoreAnew]
    wire_kg: float
    on_site_more_min: float | None
    warnings: list[str]
    currency: str
    price_more: str | None = None


FOUND: dict[str, Any] = {
    "more wear": {"summary": "Clean further out than planned",
                  "value": {"bores": [{"name": "A", "cleanup_diameter": "96.5 mm"}]}},
}  # fmt: skip


def components_of_found() -> dict[str, Schema]:
    """Return the schemas of what is sent and answered."""
    said = TypeAdapter(PlannedAnew).json_schema(ref_template=template("PlannedAnew"), mode="serialization")
    sent = FoundOnSite.model_json_schema(ref_template=template("FoundOnSite"))
    return named(said, "PlannedAnew") | named(sent, "FoundOnSite")
