"""Days and shifts: when work can be done, and how tasks fall into it. No choices; scalars or arrays.

Times count from the moment the van leaves; a day is a day and a night long, and every shift begins at the same hour.
"""

from dataclasses import dataclass

from estimator.either import larger, picked, whole_down, whole_up
from estimator.formula import formula

__all__ = ["Shifts", "Span", "ended", "hot_until", "morning_after", "next_opening", "placed"]

CRUMB = 1e-9  # of a shift; what runs over by less than that has not run over


@dataclass(frozen=True)
class Shifts:
    """The hours of a day, from its start: work from, work until, and fire until. [s]"""

    day: float
    opens: float
    closes: float
    hot_closes: float


Span = tuple[float, float]


@formula(
    "hot_closes",
    "the fire watch lies within the shift, but half of each shift at least can be hot",
    "computed",
    unit="s",
)
def hot_until(opens: float, closes: float, fire_watch: float) -> float:
    """Hour of a day until which hot work may go on. [s]"""
    return larger(closes - fire_watch, (opens + closes) / 2)


def morning_after(time: float, shifts: Shifts) -> float:
    """Return when work begins on the day after a moment. [s]"""
    return (whole_down(time / shifts.day) + 1) * shifts.day + shifts.opens


def next_opening(time: float, shifts: Shifts) -> float:
    """Return when a day's work begins, at a moment or after it."""
    begins = whole_down(time / shifts.day) * shifts.day + shifts.opens
    return picked(time <= begins * (1 + 1e-12), begins, begins + shifts.day)


def _opened(time: float, opens: float, until: float, day: float) -> float:
    """Return the first moment from a time on at which a day's hours allow work to begin. [s]"""
    number = whole_down(time / day)
    early = larger(time, number * day + opens)
    return picked(early <= (number * day + until) * (1 + 1e-12), early, (number + 1) * day + opens)


def placed(ready: float, duration: float, shifts: Shifts, hot: bool, whole: bool) -> Span:
    """Return when a task starts and ends that is ready at some time.

    A task that is not broken off starts so that it ends within the day's hours; if it is longer than they are, it
    starts in the morning and goes on for as many days as it takes. Other work starts when there is time left and goes
    on the next day. A later ready time or a longer task never makes an earlier end.
    """
    closes = shifts.hot_closes if hot else shifts.closes
    room = closes - shifts.opens
    if whole:
        latest = larger(closes - duration, shifts.opens)
        start = _opened(ready, shifts.opens, latest, shifts.day)
    else:
        start = _opened(ready, shifts.opens, closes - 1e-6 * room, shifts.day)
    return start, ended(start, duration, shifts, closes)


def ended(start: float, duration: float, shifts: Shifts, closes: float) -> float:
    """Return when work ends that starts within a day's hours and goes on over as many days as it takes. [s]"""
    left = whole_down(start / shifts.day) * shifts.day + closes - start
    more = larger(whole_up((duration - left) / (closes - shifts.opens) - CRUMB), 0)
    return start + duration + more * (shifts.day - (closes - shifts.opens))
