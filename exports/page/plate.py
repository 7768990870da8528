"""On the page: where the plate round a boss ends, and what waits and cooling may be where nobody said."""

from estimator.document.bore import Bore
from estimator.document.plate import MayBe
from exports.format import Units, clock_time, has, shown
from exports.page.parts import named

__all__ = ["plate", "plate_said"]


def plate(bore: Bore, units: Units) -> list[str]:
    """Return where the plate ends and, where that was assumed, what it may be; nothing for an older document."""
    if not has(bore, "plate"):
        return []
    may = zip(("at best", "at worst"), bore["plate"].get("may_be", []), strict=False)
    lines = named("plate", plate_said(bore, units))
    return lines + [line for case, other in may for line in named("", f"{case}, {_may_be(other)}")]


def plate_said(bore: Bore, units: Units) -> str:
    """Return where the plate of a bore's boss ends, and whether that was assumed."""
    one = bore["plate"]
    reach = shown("plate_reach_mm", one["plate_reach_mm"], units) if one["plate_reach_mm"] is not None else ""
    sized = f"{shown('plate_thickness_mm', one['plate_thickness_mm'], units)}{' twice' if one['plates'] > 1 else ''}"
    near = f", nearest edge {reach} from the bore's centre" if reach else ""
    neck = one["plate_neck_mm"]
    neck_said = "" if neck is None else f", neck {shown('plate_neck_mm', neck, units)}"
    told = " (assumed: nobody said where the plate ends)" if one["assumed"] else ""
    return f"{sized}; {one['plainly']}{near}{neck_said}{told}"


def _may_be(other: MayBe) -> str:
    wait, cool = (clock_time(other[key]) for key in ("interpass_wait_min", "cooldown_min"))
    return f"{other['plainly']}: waiting {wait}, cool down {cool}"
