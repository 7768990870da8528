"""The wall of the boss: concentric from its outside diameter, or as measured round the clock."""

from estimator.formula import formula
from estimator.job import Bore

__all__ = ["least_wall", "wall_at", "wall_left", "walls_left"]


@formula("wall", "geometry of a ring", "computed", unit="m")
def wall_left(outside_diameter: float, cleanup: float) -> float:
    """Wall left after the clean-up cut, taken as concentric. [m]"""
    return (outside_diameter - cleanup) / 2


@formula("wall", "geometry: what the cut takes beyond the nominal radius comes off the wall", "computed", unit="m")
def wall_at(wall: float, cleanup: float, nominal_diameter: float) -> float:
    """Wall left at one place of the clock, measured to the nominal bore. [m]"""
    return wall - (cleanup - nominal_diameter) / 2


def walls_left(bore: Bore, cleanup: float) -> tuple[float, ...]:
    """Return the wall left at each measured place of the clock. [m]"""
    if bore.walls is None:
        return ()
    return tuple(wall_at(wall, cleanup, bore.nominal_diameter) for wall in bore.walls.thickness)


def least_wall(bore: Bore, cleanup: float) -> float | None:
    """Return the least wall left after the clean-up cut, or None where it is not known. [m]"""
    own = walls_left(bore, cleanup)
    if own:
        return min(own)
    return None if bore.outside_diameter is None else wall_left(bore.outside_diameter, cleanup)
