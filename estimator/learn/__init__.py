"""What recorded jobs teach: how far this shop lies from the book, element by element, and whether that is any good."""

from estimator.learn.make import Calibrated, calibrated, learn, read_records
from estimator.learn.records import Done

__all__ = ["Calibrated", "Done", "calibrated", "learn", "read_records"]
