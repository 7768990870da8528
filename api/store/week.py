"""Days of work: which dates are worked, and which ones a job of several days takes."""

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from estimator.book.pricebook import WEEK

__all__ = ["Week", "monday_of", "moved", "named"]


def moved(date: str, days: int) -> str:
    """Return a date moved by some days; a text, 2027-03-08, as all dates here are."""
    return (datetime.date.fromisoformat(date) + datetime.timedelta(days=days)).isoformat()


def named(date: str) -> str:
    """Return a date as people say it.

    Examples
    --------
    >>> named("2027-03-08")
    'Mon 2027-03-08'
    """
    return f"{WEEK[datetime.date.fromisoformat(date).weekday()]} {date}"


def monday_of(date: str) -> str:
    """Return the Monday of a date's week."""
    return moved(date, -datetime.date.fromisoformat(date).weekday())


@dataclass(frozen=True)
class Week:
    """Which days of a week are worked ("Mon"), and which dates are days off all the same, by name."""

    work_days: tuple[str, ...]
    holidays: Mapping[str, str]

    def off(self, date: str) -> str:
        """Return why nobody works on a date; empty where somebody does."""
        if date in self.holidays:
            return f"{named(date)} is a day off: {self.holidays[date]}"
        name = WEEK[datetime.date.fromisoformat(date).weekday()]
        return "" if name in self.work_days else f"{named(date)} is no day of work ({', '.join(self.work_days)} are)"

    def worked(self, start: str, until: str) -> Iterator[str]:
        """Yield the days of work from a date to another, both counted."""
        date = start
        while date <= until:
            if not self.off(date):
                yield date
            date = moved(date, 1)

    def taken_by(self, start: str, days: int) -> list[str]:
        """Return the dates that a job takes of so many days of work, the first of them at or after `start`.

        Examples
        --------
        >>> Week(("Mon", "Tue", "Wed", "Thu", "Fri"), {"2027-03-08": "fair"}).taken_by("2027-03-05", 2)
        ['2027-03-05', '2027-03-09']
        """
        found: list[str] = []
        date = start
        while len(found) < days:
            if not self.off(date):
                found.append(date)
            date = moved(date, 1)
        return found
