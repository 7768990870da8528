"""What a quote's estimate expected of a bore, element by element, as it is kept beside every record of it.

A record is then compared with what was expected without the estimate, which is long, and which an old engine wrote.
"""

from typing import Any

from typing_extensions import TypedDict

from estimator.document.bore import Bore

__all__ = ["TIMES", "Planned", "planned_of"]

TIMES = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")
USED = {"wire": "wire_kg", "gas": "gas_L"}


class Planned(TypedDict):
    """What was expected: by element [min, kg, L], with which wire, in which position, and by which factors already."""

    elements: dict[str, float]
    wire: str
    position: str
    factors: dict[str, float]


def planned_of(bore: Bore) -> Planned:
    """Return what was expected of a bore."""
    told: dict[str, Any] = dict(bore)  # an older document has no factors
    times, used = told["time"], told["consumption"]
    return {
        "elements": {
            **{name: times[f"{name}_min"] for name in TIMES},
            **{name: used[key] for name, key in USED.items()},
        },
        "wire": told["buildup"]["wire"],
        "position": told.get("given", {}).get("axis", ""),
        "factors": {one["element"]: one["factor"] for one in told.get("calibrated", ())},
    }
