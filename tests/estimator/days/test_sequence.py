"""The order in which tasks are taken: what leaves the longest wait behind it goes first."""

from estimator.days.sequence import ordered
from estimator.days.tasks import Task
from estimator.days.yard import Yard


def test_the_longest_wait_is_begun_first() -> None:
    """One person, each task with a wait after it that needs nobody: the largest wait first is the best there is.

    Jackson, J. R.: Scheduling a production line to minimize maximum tardiness. Research Report 43, University of
    California, Los Angeles, 1955 (largest delivery time first; from memory). Here every order ends at 13 or later, and
    that one at 13; the smallest first would end at 24.
    """
    count = 12
    work = [Task("work", f"work {n}") for n in range(count)]
    waits = [Task("cool", f"cool {n}", after=(n,), hands=0) for n in range(count)]
    durations = [1.0] * count + [float(n + 1) for n in range(count)]
    found = ordered(Yard([*work, *waits], durations, 1, 1))
    assert found.length == 13.0
    assert [turn.task for turn in found.turns if turn.task < count] == list(reversed(range(count)))
