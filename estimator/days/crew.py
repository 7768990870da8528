"""How a crew goes about a job: its shortest order of work, and the ways there are to spend days and nights with it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.book.pricebook import PriceBook
from estimator.days.calendar import COOL, Arrangement, Calendar, Mode, Road, calendar_of
from estimator.days.sequence import LARGE, ordered, shorter
from estimator.days.tasks import Task
from estimator.days.week import week_ends
from estimator.days.yard import Yard

__all__ = ["Crew", "in_order", "put_off", "ways_of"]

GAIN = 1 - 5e-10  # relative: an order that is shorter by less than that is as long
EVENING = 3  # of the tasks last begun in a day, any may be put off to the morning
STEPS = 4  # of the overtime that is allowed: no more of it is planned than pays
NIGHTS = 3  # of the longest waits: so many at the most are left to the night one more each time, then all of them


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


def in_order(tasks: Sequence[Task], durations: Sequence[float], crew: Crew) -> Arrangement:
    """Return the shortest order of work, the crew staying near the site and working no overtime; with fewest machines.

    Durations are one number each: an order is chosen for the day that is planned for. [s]
    """
    machines = min(crew.machines, len({task.line for task in tasks if task.line}))
    whole, numbers = [float(one) for one in durations], range(1 if len(tasks) <= LARGE else machines, machines + 1)
    order = ordered(Yard(tasks, whole, crew.technicians, numbers[0]))
    for number in numbers[1:]:  # the fewest machines, where more gain nothing
        order = shorter(Yard(tasks, whole, crew.technicians, number), order.length * GAIN) or order
    return Arrangement(
        tasks=tuple(tasks),
        turns=order.turns,
        mode=Mode(stays=True, overtime=0.0),
        technicians=crew.technicians,
        people=crew.people,
        machines=len({turn.machine for turn in order.turns if turn.machine is not None}),
        length=order.length,
        bound=order.bound,
    )


def ways_of(one: Arrangement, durations: Sequence[float], road: Road, book: PriceBook) -> list[Arrangement]:
    """Return an order of work with each way to spend days and nights that can be had: staying first, no overtime first.

    Which of them comes out cheapest is for the bill to say. Stopping early to let a boss cool overnight is one of them,
    so that a shorter wait can always be spent like a longer one.
    """
    late = list[float]()
    if book.overtime and book.rates.labour_overtime:
        late = [book.overtime * part / STEPS for part in range(1, STEPS + 1)]
    kinds = [Mode(stays=True, overtime=0.0)]
    if 2 * road.way + road.opening + road.leaving <= road.shift / 2:  # at least half of the shift is left to work in
        kinds.append(Mode(stays=False, overtime=0.0))
    found = []
    for kind in kinds:
        days = calendar_of(replace(one, mode=kind), durations, road).days
        found += [kind, *(replace(kind, overtime=more) for more in late if days > 1)]  # a day alone is not shortened
        if kind.stays and week_ends(days, road.week):
            found.append(replace(kind, weekends=True))
    found += [replace(mode, overnight=left) for mode in found if not mode.overtime for left in _left(one, durations)]
    return [replace(one, mode=mode) for mode in found]


def put_off(one: Arrangement, calendar: Calendar, day: float) -> list[Arrangement]:
    """Return ways like one that was found in which some work of an evening is put off to the next morning.

    Work that runs over the night, and the last that is begun in a day: one task more at a time.
    """
    late: dict[int, list[tuple[float, int]]] = {}
    for number, (task, (start, end)) in enumerate(zip(one.tasks, calendar.spans, strict=True)):
        if task.hands and end > start > calendar.arrives:
            late.setdefault(int(start / day), []).append((start, number))
    found = list[Arrangement]()
    for at in sorted(late)[: int(calendar.days)]:
        for start, number in sorted(late[at])[-EVENING:]:
            fresh = start > at * day + calendar.opens * (1 + 1e-9)
            if fresh and (at + 1 < calendar.days or calendar.spans[number][1] > (at + 1) * day):
                mornings = (*one.mode.mornings, one.tasks[number])
                found.append(replace(one, mode=replace(one.mode, mornings=mornings)))
    return found


def _left(one: Arrangement, durations: Sequence[float]) -> list[frozenset[Task]]:
    """Return which waits may be left to the night: the longest, the two longest, and so on."""
    waits = [(task, float(time)) for task, time in zip(one.tasks, durations, strict=True) if task.code == COOL]
    tasks = [task for task, time in sorted(waits, key=lambda wait: -wait[1]) if time]
    counts = sorted({*range(1, min(NIGHTS, len(tasks)) + 1), len(tasks)} - {0})
    return [frozenset(tasks[:count]) for count in counts]
