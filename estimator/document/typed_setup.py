"""How a bore is set up, in the typed estimate document."""

from typing import Literal

from typing_extensions import TypedDict

__all__ = ["Setup"]


class Setup(TypedDict):
    """How the bar is held and from where the torch comes; places from the line's machine-side end, null: not said."""

    mounts: Literal["welded", "clamped"]
    blind: bool
    torch_side: Literal["machine", "far"]
    bar: Literal["between bearings", "overhung"]
    span_before_mm: float
    span_after_mm: float | None
    place_mm: float
    insert_mm: float
    reach_mm: float
    clear_machine_mm: float | None
    clear_far_mm: float | None
    notes: list[str]
