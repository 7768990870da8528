"""Whether points lie about the bore they are given for: the check that a job document is read with."""

import numpy as np

from estimator.bore.point_faults import faults_of
from estimator.bore.profile import points_of
from estimator.errors import AtError
from estimator.job.readings import Readings

__all__ = ["check_points"]


def check_points(readings: Readings, length: float, nominal: float) -> None:
    """Raise `AtError` at the first row of points that cannot belong to the bore, with what would be right."""
    try:
        points, place = points_of(readings)
    except ValueError as error:
        raise AtError("readings.frame", str(error)) from None
    faults = faults_of(points, place, length, nominal, np.arange(len(points)))
    if faults:
        more = f" (and {len(faults) - 1} more rows)" if len(faults) > 1 else ""
        raise AtError(f"readings.values.{faults[0].row}", f"{faults[0]}{more}")
