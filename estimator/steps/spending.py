"""How a crew spends days and nights on a job: the shortest order of work, in the way that the bill says is cheapest."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.days.calendar import Arrangement, Calendar
from estimator.days.crew import Crew, put_off
from estimator.days.tasks import Task
from estimator.days.timetable import durations_in, scheduled_each, shortest, ways_to_spend
from estimator.formula import unrecorded
from estimator.money.bill import bill_of, lines_of_bores
from estimator.money.lines import Line
from estimator.plans import BoreFigures, Figures, Plan

__all__ = ["cheapest_days"]

PLACES = 9  # of a day: two ways that bring the crew home nearer together than that bring it home together
PUT_OFF = 3  # tasks at the most that are put off to a morning, one after the other as each pays
NEAR = Decimal("1.05")  # how much dearer than the best a way may be from which that is tried
MOST_TASKS = 300  # of a job in which work is put off: beyond, each try takes long and moves the price by little
IDLE = 5e-3  # of the time on site: where nobody watches or waits for longer, putting work off saves nothing


@dataclass(frozen=True)
class _Weighed:
    """A way to spend the days: its price, its cost, when the crew is home; how tasks fall into days; anybody idle."""

    dearness: tuple[Decimal, Decimal, float]
    way: Arrangement
    calendar: Calendar
    idle: bool


@dataclass(frozen=True)
class _Job:
    """What all ways of a job have in common: the plan, what tasks take, the lines that no way moves."""

    plan: Plan
    bores: tuple[BoreFigures, ...]
    taken: Sequence[float]
    own: list[Line]

    def weighed(self, ways: Sequence[Arrangement]) -> Iterator[_Weighed]:
        """Yield what each of some ways comes to."""
        each = scheduled_each(self.plan, ways, self.bores, self.taken) if ways else iter(())
        for way, whole in zip(ways, each, strict=True):
            figures = Figures(self.plan, self.bores, whole, self.plan.day)
            price, idle = bill_of(figures, self.own).price, whole.standing + whole.calendar.watches
            home = round(float(whole.calendar.home) / self.day, PLACES)
            yield _Weighed((price.before_tax, price.cost, home), way, whole.calendar, idle > IDLE * whole.on_site)

    @property
    def day(self) -> float:
        """How long a day is. [s]"""
        return self.plan.book.facts.plain_constant("day")

    def climbed(self, start: _Weighed) -> _Weighed:
        """Return a way like one, with work put off to mornings as long as that pays; what did not pay is left alone."""
        best, left = start, set[int]()
        for _ in range(PUT_OFF if best.idle else 0):
            ways = [way for way in put_off(best.way, best.calendar, self.day) if id(_last(way)) not in left]
            tried = list(self.weighed(ways))
            left |= {id(_last(one.way)) for one in tried if one.dearness >= best.dearness}
            found = min([best, *tried], key=_dearness)
            if found is best:
                break
            best = found
        return best


def _last(way: Arrangement) -> Task:
    """Return the task that was put off last."""
    return way.mode.mornings[-1]


def _dearness(one: _Weighed) -> tuple[Decimal, Decimal, float]:
    """Return by what ways are weighed: price before tax, then cost, then when the crew is home."""
    return one.dearness


def cheapest_days(plan: Plan, bores: tuple[BoreFigures, ...], crew: Crew) -> Arrangement:
    """Return the order of work of a crew, with days and nights spent as the bill comes out least."""
    first = shortest(plan, bores, crew)
    with unrecorded():
        taken = durations_in(plan, first, bores, plan.day)
        ways = ways_to_spend(plan, first, taken)
        if len(ways) == 1:
            return ways[0]
        job = _Job(plan, bores, taken, lines_of_bores(plan, bores))
        weighed = sorted(job.weighed(ways), key=_dearness)
        starts = _starts(weighed) if len(first.tasks) <= MOST_TASKS else []
        found = [*weighed, *map(job.climbed, starts)]
        best = min(found, key=_dearness)
        within = min((one.dearness[0] for one in found if not one.way.mode.overtime), default=best.dearness[0])
        return replace(best.way, spared=within - best.dearness[0]) if best.way.mode.overtime else best.way


def _starts(weighed: Sequence[_Weighed]) -> list[_Weighed]:
    """Return the ways from which more is tried: staying and driving home, with each overtime, where near the best.

    The best without overtime always, so that overtime that is allowed never makes a job dearer.
    """
    kinds = dict[tuple[bool, float], _Weighed]()
    for one in weighed:
        kinds.setdefault((one.way.mode.stays, one.way.mode.overtime), one)
    within = next((one for one in weighed if not one.way.mode.overtime), weighed[0])
    return [one for one in kinds.values() if one is within or one.dearness[0] <= NEAR * weighed[0].dearness[0]]
