"""Check a price book against itself: its currency, and the user's own constants."""

from collections.abc import Iterable
from typing import Any

from estimator.errors import Fault
from estimator.fields import Document, Price
from estimator.tables import Tables, builtin

__all__ = ["constant_faults", "prices_in"]

MAY_BE_ZERO = {
    "attendant",
    "cleanup_allowance",
    "crest_allowance",
    "fire_watch",
    "gas_loss",
    "gas_scatter",
    "hardness_odds_due",
    "hardness_odds_told",
    "interpass_above_preheat",
    "layer_saves",
    "least_weld",
    "machining_allowance",
    "overbuild_allowance",
    "run_over_turns",
    "skim_depth",
    "temper_hold_least",
    "test_bead_arc",
    "wire_loss",
}


def constant_faults(own: dict[str, Any], facts: Tables) -> list[Fault]:
    """Return which of the user's own constants cannot stand: zero or below where the built-in one is above."""
    faults = []
    for name in own:
        value, usual = facts.plain_constant(name), builtin("constants").get(name)
        least = -1.0 if name in MAY_BE_ZERO else 0.0
        if usual is not None and usual.value > 0 and not max(value, least) > least:  # type: ignore[attr-defined] # a constant's row
            faults.append(Fault(f"tables.constants.{name}.value", "must be above zero"))
    return faults


def prices_in(model: object, path: str) -> list[tuple[str, Price]]:
    """Return every price of the book with its path."""
    if isinstance(model, Price):
        return [(path, model)]
    inside: Iterable[tuple[str, Any]] = model.items() if isinstance(model, dict) else ()
    if isinstance(model, Document):
        inside = ((name, getattr(model, name)) for name in type(model).model_fields if name != "tables")
    return [found for name, value in inside for found in prices_in(value, f"{path}.{name}" if path else name)]
