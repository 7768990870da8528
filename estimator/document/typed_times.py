"""The time standards that an estimate counted, typed."""

from typing_extensions import TypedDict

__all__ = ["ElementCount", "TimesSum"]


class ElementCount(TypedDict):
    """One element of work: times of one at an easy place, how often, and what it comes to in this job.

    `total_min` is `likely_min` by `factor` by `count`, less `learned_min`.
    """

    code: str
    phase: str
    per: str
    meaning: str
    hot: bool
    count: float
    low_min: float
    likely_min: float
    high_min: float
    factor: float
    learned_min: float
    total_min: float
    source: str
    mark: str


class TimesSum(TypedDict):
    """All elements together: if each went as quickly, as likely, as expected on average, as slowly as it may."""

    low_min: float
    likely_min: float
    expected_min: float
    high_min: float
