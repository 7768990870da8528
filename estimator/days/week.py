"""Days without work among those of a job: how many there are, and how often the crew meets them."""

from collections.abc import Sequence
from typing import cast

import numpy as np

__all__ = ["days_off", "week_ends"]


def days_off(days: float, week: Sequence[bool]) -> float:
    """Return how many days without work lie before the last of so many working days; none where no date is known."""
    if not week:
        return 0 * days
    found, number = [0, 0], 0  # before the first working day and before the second to count
    while len(found) <= int(np.max(days)):
        number += 1
        found.append(found[-1])
        while not week[number % len(week)]:
            number += 1
            found[-1] += 1
    return cast(float, np.take(found, np.asarray(days, int)) if np.ndim(days) else found[int(days)])


def week_ends(days: float, week: Sequence[bool]) -> float:
    """Return how many times days without work lie between so many working days; none where no date is known."""
    if not week:
        return 0 * days
    found, number = [0, 0], 0
    while len(found) <= int(np.max(days)):
        number += 1
        found.append(found[-1] + (not week[number % len(week)]))
        while not week[number % len(week)]:
            number += 1
    return cast(float, np.take(found, np.asarray(days, int)) if np.ndim(days) else found[int(days)])
