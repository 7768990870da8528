"""How a bore is set up, in words: mounts, bearings, the side that the torch comes from, clear room."""

from estimator.document.setup import Setup
from exports.format import Units, by_key, has, shown

__all__ = ["bar_held", "room_said", "torch_from"]


def bar_held(setup: Setup, units: Units = "metric") -> str:
    """Return how the bar is held: mounts, bearings on the line, how far the insert stands from them."""
    counted = f" ({setup['bearings']} on the line)" if has(setup, "bearings") else ""  # not in documents of before
    before = shown("span_before_mm", setup["span_before_mm"], units)
    if setup["span_after_mm"] is None:
        held = f"bar overhung, up to {before} from its bearing on the drive side{counted}"
    else:
        after = shown("span_after_mm", setup["span_after_mm"], units)
        held = (
            f"bar between bearings{counted}, longest insert-to-bearing distance {before} drive side, {after} far side"
        )
    return f"mounts {setup['mounts']}; {held}"


def torch_from(setup: Setup, units: Units = "metric") -> str:
    """Return from which side the torch comes, and how far it reaches in."""
    side = "the drive side" if setup["torch_side"] == "machine" else "the far side"
    closed = "; the bore is blind" if setup["blind"] else ""
    return f"torch from {side}, {shown('reach_mm', setup['reach_mm'], units)} into the line{closed}"


def room_said(setup: Setup, units: Units = "metric") -> str:
    """Return the clear room in front of each face; empty where none was said."""
    sides = (("clear_machine_mm", "on the drive side"), ("clear_far_mm", "on the far side"))
    said = [f"{shown(key, room, units)} {side}" for key, side in sides if (room := by_key(setup)[key]) is not None]
    return f"clear room: {', '.join(said)}" if said else ""
