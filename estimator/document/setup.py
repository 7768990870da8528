"""How a bore is set up, in the estimate document."""

from typing import Any

from estimator.express import all_shown, shown
from estimator.road import BoreFigures

__all__ = ["setup_of"]


def setup_of(one: BoreFigures) -> dict[str, Any]:
    """Return mounts, bearings, torch side, reach and clear room of a bore under the document's keys."""
    bore, setup = one.plan.survey.bore, one.plan.setup
    keys = {
        "span_before_mm": setup.span.before,
        "place_mm": setup.place,
        "insert_mm": setup.insert,
        "reach_mm": setup.reach,
    }
    perhaps = {
        "span_after_mm": setup.span.after,
        "clear_machine_mm": bore.clear_room.machine,
        "clear_far_mm": bore.clear_room.far,
    }
    return {
        "mounts": bore.mounts,
        "blind": bore.blind,
        "torch_side": setup.torch_side,
        "bar": "overhung" if setup.span.after is None else "between bearings",
        **all_shown(keys),
        **{key: None if value is None else shown(key, value) for key, value in perhaps.items()},
        "notes": list(setup.notes),
    }
