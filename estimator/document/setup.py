"""How a bore is set up, in the estimate document."""

from typing import Literal

from typing_extensions import TypedDict

from estimator.express import all_shown
from estimator.plans import BoreFigures
from estimator.tables.messages import texts_of

__all__ = ["Setup", "setup_of"]


class Setup(TypedDict):
    """How the bar is held and from where the torch comes; places from the line's machine-side end, null: not said.

    `bearings`: how many hold the bar of the line.
    """

    mounts: Literal["welded", "clamped"]
    blind: bool
    torch_side: Literal["machine", "far"]
    bar: Literal["between bearings", "overhung"]
    bearings: int
    span_before_mm: float
    span_after_mm: float | None
    place_mm: float
    insert_mm: float
    reach_mm: float
    clear_machine_mm: float | None
    clear_far_mm: float | None
    notes: list[str]


def setup_of(one: BoreFigures) -> Setup:
    """Return mounts, bearings, torch side, reach and clear room of a bore under the document's keys."""
    bore, setup = one.plan.survey.bore, one.plan.setup
    return all_shown(
        Setup(
            mounts=bore.mounts,
            blind=bore.blind,
            torch_side=setup.torch_side,
            bar="overhung" if setup.span.after is None else "between bearings",
            bearings=setup.bearings,
            span_before_mm=setup.span.before,
            place_mm=setup.place,
            insert_mm=setup.insert,
            reach_mm=setup.reach,
            span_after_mm=setup.span.after,
            clear_machine_mm=bore.clear_room.machine,
            clear_far_mm=bore.clear_room.far,
            notes=texts_of(setup.notes),
        )
    )
