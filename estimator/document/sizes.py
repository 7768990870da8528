"""The diameters a bore is worked to, and the wall they leave, in the estimate document."""

from typing import Any, NotRequired

from typing_extensions import TypedDict

from estimator.bore.pocket import wall_of
from estimator.bore.survey import Survey
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


def sizes_of(survey: Survey) -> dict[str, Any]:
    """Return the diameters to work to."""
    sizes = survey.sizes
    keys = {"finish_min_mm": sizes.finish_min, "finish_max_mm": sizes.finish_max}
    keys |= {"cleanup_mm": sizes.cleanup, "weld_mm": sizes.weld}
    wall = wall_of(survey)
    if wall is not None:
        keys["wall_left_mm"] = wall
    return {**all_shown(keys), **_walls(survey), **_axis(survey)}


def _axis(survey: Survey) -> dict[str, Any]:
    """Return where the line's axis lies from the readings' zero, where the line moved it."""
    if survey.placed is None:
        return {}
    said = "place of the line's axis at mid-length, from the readings' zero"
    x, y = (leaf(at, "choice", name, said, unit="m") for name, at in zip("xy", survey.placed.beside, strict=True))
    return {"clock_axis": all_shown({"x_mm": x, "y_mm": y})}


def _walls(survey: Survey) -> dict[str, Any]:
    """Return the wall left round the clock, where it was measured."""
    walls = survey.bore.walls
    if walls is None:
        return {}
    left = [
        shown("wall_left_mm", wall)
        for wall in walls_left(survey.bore, survey.sizes.cleanup, survey.placed.moved if survey.placed else ())
    ]
    return {"clock_walls": {"clock": [typed(at, "clock") for at in walls.clock], "wall_left_mm": left}}
