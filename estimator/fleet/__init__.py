"""A whole fleet: a list of bores, a row each, to what is to be done with every one of them and when."""

from estimator.fleet.lines import rows_of_csv, rows_of_objects
from estimator.fleet.make import Fleet, fleet
from estimator.fleet.window import Window

__all__ = ["Fleet", "Window", "fleet", "rows_of_csv", "rows_of_objects"]
