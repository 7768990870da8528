"""The wall of the boss: concentric from its outside diameter, or as measured round the clock."""

from estimator.formula import formula
from estimator.job import Bore

__all__ = ["least_wall", "wall_at", "wall_beside", "wall_left", "walls_left"]


@formula("wall", "geometry of a ring", "computed", unit="m")
def wall_left(outside_diameter: float, cleanup: float) -> float:
    """Wall left after the clean-up cut, taken as concentric. [m]"""
    return (outside_diameter - cleanup) / 2


@formula("wall", "geometry: what the cut takes beyond the nominal radius comes off the wall", "computed", unit="m")
def wall_at(wall: float, cleanup: float, nominal_diameter: float) -> float:
    """Wall left at one place of the clock, measured to the nominal bore. [m]"""
    return wall - (cleanup - nominal_diameter) / 2


@formula("wall", "geometry: where the axis moves to, the wall loses what it moves", "computed", unit="m")
def wall_beside(wall: float, shift: float) -> float:
    """Least wall once the axis lies beside the original centre. [m]"""
    return wall - shift


def walls_left(bore: Bore, cleanup: float, shift: float) -> tuple[float, ...]:
    """Return the wall left at each measured place of the clock, wherever the axis moves to. [m]"""
    walls = () if bore.walls is None else bore.walls.thickness
    return tuple(_moved(wall_at(wall, cleanup, bore.nominal_diameter), shift) for wall in walls)


def _moved(wall: float, shift: float) -> float:
    return wall_beside(wall, shift) if shift else wall


def least_wall(bore: Bore, cleanup: float, shift: float) -> float | None:
    """Return the least wall left after the clean-up cut, or None where it is not known. [m]"""
    own = walls_left(bore, cleanup, shift)
    if own:
        return min(own)
    return None if bore.outside_diameter is None else _moved(wall_left(bore.outside_diameter, cleanup), shift)
