"""Choose how a crew goes about a job: in which order, staying or driving home, with overtime or without."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.book.pricebook import PriceBook
from estimator.days.calendar import Arrangement, Mode, Road, calendar_of, days_off
from estimator.days.sequence import LARGE, ordered
from estimator.days.tasks import Task
from estimator.days.yard import Yard
from estimator.units import factor

__all__ = ["Crew", "arranged"]

TIE = 1e-9  # relative: as dear as another
STEPS = 4  # of the overtime that is allowed: no more of it is planned than pays


@dataclass(frozen=True)
class Crew:
    """Who goes, and with how many machines."""

    technicians: int
    attendants: int
    machines: int

    @property
    def people(self) -> int:
        """All who go."""
        return self.technicians + self.attendants


def arranged(
    tasks: Sequence[Task], durations: Sequence[float], crew: Crew, distance: float, road: Road, book: PriceBook
) -> Arrangement:
    """Return the shortest order of work, and the way to spend the days that costs least with it."""
    machines = min(crew.machines, len({task.line for task in tasks if task.line}))
    tried = [
        ordered(Yard(tasks, [float(one) for one in durations], crew.technicians, number))
        for number in range(1 if len(tasks) <= LARGE else machines, machines + 1)
    ]
    order = min(tried, key=lambda one: round(one.length / tried[0].length, 9))  # the fewest where more gain nothing
    used = len({turn.machine for turn in order.turns if turn.machine is not None})
    first = Arrangement(
        tuple(tasks),
        order.turns,
        Mode(stays=True, overtime=0.0),
        crew.technicians,
        crew.people,
        used,
        order.length,
        order.bound,
    )
    able = [replace(first, mode=mode) for mode in _modes(road, book)]
    costs = [_cost(one, durations, distance, road, book) for one in able]
    least = min(cost for cost, _ in costs)
    near = [n for n, (cost, _) in enumerate(costs) if cost <= least * (1 + TIE) + TIE]
    return able[min(near, key=lambda n: (costs[n][1], n))]


def _modes(road: Road, book: PriceBook) -> list[Mode]:
    """Return the ways to spend the days that can be had: staying first, no overtime first."""
    late = [0.0]
    if book.overtime and book.rates.labour_overtime:
        late += [book.overtime * part / STEPS for part in range(1, STEPS + 1)]
    found = [Mode(stays=True, overtime=one) for one in late]
    if 2 * road.way + road.opening + road.closing <= road.shift / 2:  # at least half of the shift is left to work in
        found += [Mode(stays=False, overtime=one) for one in late]
    return found


def _cost(
    one: Arrangement, durations: Sequence[float], distance: float, road: Road, book: PriceBook
) -> tuple[float, float]:
    """Return what hangs on the days: road, nights, overtime, and the work of each day; and the time it takes. [s]"""
    found = calendar_of(one, durations, road)
    days, people = int(found.days), one.people
    trips, nights = (1, days - 1 + int(days_off(days, road.week))) if one.mode.stays else (days, 0)
    hour, kilometre = factor("h"), factor("km")
    cost = 2 * road.way * trips / hour * people * float(book.rates.labour_travel.amount)
    cost += 2 * distance * trips * float(book.travel.distance.amount) / kilometre
    cost += nights * people * float(book.travel.night.amount)
    daily = (road.opening + road.closing) * int(found.site_days) / hour
    cost += daily * (people * float(book.rates.labour_on_site.amount) + float(book.rates.equipment.amount))
    if book.rates.labour_overtime is not None:
        cost += found.overtime / hour * people * float(book.rates.labour_overtime.amount)
    return cost, float(found.home)
