"""The diameters a bore is worked to, and the wall they leave, in the estimate document."""

from typing import NotRequired

from typing_extensions import TypedDict

from estimator.bore.pocket import wall_of
from estimator.bore.survey import Placed, Survey
from estimator.bore.walls import walls_left
from estimator.document.readings import typed
from estimator.express import all_shown, shown
from estimator.formula import leaf

__all__ = ["Sizes", "sizes_of"]


class ClockWalls(TypedDict):
    """Wall left round the clock."""

    clock: list[float]
    wall_left_mm: list[float]


class ClockAxis(TypedDict):
    """Where the axis of the line lies from the zero of the readings: to 3 and to 12 o'clock."""

    x_mm: float
    y_mm: float


class Sizes(TypedDict):
    """Diameters to work to."""

    finish_min_mm: float
    finish_max_mm: float
    cleanup_mm: float
    weld_mm: float
    wall_left_mm: NotRequired[float]
    clock_walls: NotRequired[ClockWalls]
    clock_axis: NotRequired[ClockAxis]


def sizes_of(survey: Survey) -> Sizes:
    """Return the diameters to work to."""
    sizes = survey.sizes
    found = Sizes(
        finish_min_mm=sizes.finish_min, finish_max_mm=sizes.finish_max, cleanup_mm=sizes.cleanup, weld_mm=sizes.weld
    )
    if (wall := wall_of(survey)) is not None:
        found["wall_left_mm"] = wall
    found = all_shown(found)
    if (walls := _walls(survey)) is not None:
        found["clock_walls"] = walls
    if survey.placed is not None:
        found["clock_axis"] = _axis(survey.placed)
    return found


def _axis(placed: Placed) -> ClockAxis:
    """Return where the line's axis lies from the readings' zero, where the line moved it."""
    said = "place of the line's axis at mid-length, from the readings' zero"
    x, y = (leaf(at, "choice", name, said, unit="m") for name, at in zip("xy", placed.beside, strict=True))
    return all_shown(ClockAxis(x_mm=x, y_mm=y))


def _walls(survey: Survey) -> ClockWalls | None:
    """Return the wall left round the clock, where it was measured."""
    walls = survey.bore.walls
    if walls is None:
        return None
    moved = survey.placed.moved if survey.placed else ()
    left = [shown("wall_left_mm", wall) for wall in walls_left(survey.bore, survey.sizes.cleanup, moved)]
    return {"clock": [typed(at, "clock") for at in walls.clock], "wall_left_mm": left}
