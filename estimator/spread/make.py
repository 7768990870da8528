"""The spread of a job: what it may take and cost, drawn from what is in doubt, through the estimate's formulas."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import numpy.typing as npt
from typing_extensions import TypedDict

from estimator.express import digits, money, shown
from estimator.formula import unrecorded
from estimator.job.job import Job
from estimator.money.exact import exact_of
from estimator.money.lines import minor_of, to_minor
from estimator.plans import Figures, Plan
from estimator.road import compute, run
from estimator.spread.branches import Branch, Planned, branches_of
from estimator.spread.doubts import REWORK, Doubts, doubts_of
from estimator.spread.shares import shares_of
from estimator.spread.sobol import points
from estimator.tables.messages import say, text_of
from estimator.tables.rows import Event

__all__ = [
    "FEW",
    "FEWEST",
    "MOST",
    "Driver",
    "MoneyQuantiles",
    "Progress",
    "Quantiles",
    "Spread",
    "band_of",
    "spread_of",
]

Array = npt.NDArray[np.float64]
Progress = Callable[[int, int], object]
FEWEST, FEW, MOST = 2, 256, 1_000_000  # samples: at the least, for the band of a budget price, at the most
BLOCK = 4096  # samples reckoned at once
BASE = 48  # points for the shares of the drivers; it asks for that many times the doubts
SEED = 20_270_308
QUANTILES = (0.1, 0.5, 0.9)
CHANCES = (0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
DRIVERS = {  # what each doubt is called
    "found": "driver_found",
    "crew": "driver_crew",
    "wire": "driver_wire",
    "gas": "driver_gas",
    "parts": "driver_parts",
    "rework": "driver_rework",
    "heat": "driver_heat",
    "road": "driver_road",
    "times_job": "driver_times_job",
    "times_setup": "driver_times_setup",
    "times_precut": "driver_times_precut",
    "times_preheat": "driver_times_preheat",
    "times_weld": "driver_times_weld",
    "times_finish": "driver_times_finish",
    "times_inspection": "driver_times_inspection",
    "times_teardown": "driver_times_teardown",
}
TOLD = 0.005  # least share of a driver that is told


class Quantiles(TypedDict):
    """What a figure stays below in 10, 50 and 90 of 100 such jobs."""

    p10: float
    p50: float
    p90: float


class MoneyQuantiles(TypedDict):
    """The same of an amount."""

    p10: str
    p50: str
    p90: str


class Driver(TypedDict):
    """One doubt: the share of the price's variance that it has by itself, and with all that it takes part in."""

    code: str
    name: str
    share: float
    total_share: float
    source: str


class Spread(TypedDict):
    """How far a job may come out otherwise; the price is before tax, and the plan is held.

    `chance_of_loss`: where more work that is found is paid as a variation; `chance_of_loss_unpaid`: where it is not.
    """

    samples: int
    price: MoneyQuantiles
    cost: MoneyQuantiles
    on_site_h: Quantiles
    wire_kg: Quantiles
    gas_L: Quantiles
    chance_of_loss: float
    chance_of_loss_unpaid: float
    price_for: dict[str, str]
    drivers: list[Driver]
    not_planned: list[str]


@dataclass(frozen=True)
class Outcome:
    """What samples come to: price before tax and cost [the currency], time on site [s], wire [kg], gas [m³].

    `variation`: by how much the plan for what was found is dearer than the one that was quoted. [the currency]
    """

    price: Array
    cost: Array
    on_site: Array
    wire: Array
    gas: Array
    variation: Array


class _Road:
    """A job and its branches, ready to be run on many days: the first chance picks the branch, the others the day."""

    def __init__(self, branches: list[Branch]) -> None:
        self.branches = [one for one in branches if one.planned is not None]
        whole = sum(one.chance for one in self.branches)
        self.ends = np.cumsum([one.chance / whole for one in self.branches])[:-1]
        self.doubts = [doubts_of(plan, plan.book.facts) for plan, _ in self._planned()]
        planned = [_planned_price(one) for one in self._planned()]
        self.variations = [price - planned[0] for price in planned]

    def _planned(self) -> Iterator[Planned]:
        return (one.planned for one in self.branches if one.planned is not None)

    @property
    def sides(self) -> int:
        """How many chances a sample is drawn from."""
        return 1 + self.doubts[0].sides

    def outcome(self, chances: Array) -> Outcome:
        """Return what samples of chances come to, each on the road of its branch."""
        found = np.empty((6, len(chances)))
        branch = np.searchsorted(self.ends, chances[:, 0], side="right")
        for number, (planned, doubts) in enumerate(zip(self._planned(), self.doubts, strict=True)):
            mine = np.flatnonzero(branch == number)
            if mine.size:
                found[:-1, mine] = _outcome(planned, doubts, chances[mine, 1:])
                found[-1, mine] = self.variations[number]
        return Outcome(*found)

    def groups(self) -> dict[str, list[int]]:
        """Return the places of the chances of each doubt; what may be found is one of them."""
        own = {name: [1 + place for place in places] for name, places in self.doubts[0].groups().items()}
        if not any(_may_go_wrong(plan) for plan, _ in self._planned()):
            del own[REWORK]
        return {**({"found": [0]} if len(self.branches) > 1 else {}), **own}


def _may_go_wrong(plan: Plan) -> bool:
    """Return whether a plan has odds of work that is done twice."""
    return any(one.counts.odds > 0 or one.heat.risk.priced for one in plan.bores)


def _planned_price(planned: Planned) -> float:
    """Return the price before tax of a plan on the day that it was made for, not rounded. [the currency]"""
    plan, arrangement = planned
    return float(exact_of(run(plan, compute(plan, plan.day), arrangement, plan.day)).before_tax)


def _outcome(planned: Planned, doubts: Doubts, chances: Array) -> list[Array]:
    plan, arrangement = planned
    day = doubts.day(chances)
    figures = run(plan, compute(plan, day), arrangement, day)
    bill, size = exact_of(figures), len(chances)
    used = (sum((getattr(one.supplies, name) for one in figures.bores), np.zeros(size)) for name in ("wire", "gas"))
    return [
        np.broadcast_to(np.asarray(one, dtype=float), (size,))
        for one in (bill.before_tax, bill.cost, figures.schedule.on_site, *used)
    ]


def _sampled(road: _Road, count: int, told: Progress) -> Outcome:
    """Return what so many samples come to, a block at a time."""
    blocks = []
    for start in range(0, count, BLOCK):
        blocks.append(road.outcome(points(min(BLOCK, count - start), road.sides, SEED, start)))
        told(min(count, start + BLOCK), count)
    return Outcome(*(np.concatenate([getattr(one, name) for one in blocks]) for name in vars(blocks[0])))


def silent(_done: int, _whole: int) -> None:
    """Tell nobody how far it is."""


def spread_of(
    figures: Figures, before_tax: Decimal, again: Callable[[Job], Planned], count: int, told: Progress = silent
) -> Spread:
    """Return the spread of a job.

    Parameters
    ----------
    figures
        The job as it was estimated.
    before_tax
        The price that it is quoted at. [the currency]
    again
        Plans a job in which something else is found.
    count
        Samples, up to a million. [-]
    told
        Is told how many samples are done, and of how many.
    """
    facts, minor = figures.plan.book.facts, minor_of(figures.plan.book)
    with unrecorded():
        branches = branches_of((figures.plan, figures.schedule.arrangement), facts, again)
        road = _Road(branches)
        found = _sampled(road, count, told)
        drivers = _drivers(road, min(BASE, count))
    return {
        "samples": count,
        "price": _amounts(found.price, minor),
        "cost": _amounts(found.cost, minor),
        "on_site_h": _quantiles("on_site_h", found.on_site),
        "wire_kg": _quantiles("wire_kg", found.wire),
        "gas_L": _quantiles("gas_L", found.gas),
        "chance_of_loss": _chance(found.cost > float(before_tax) + found.variation),
        "chance_of_loss_unpaid": _chance(found.cost > float(before_tax)),
        "price_for": {f"{one:g}": _amount(float(np.quantile(found.cost, one)), minor) for one in CHANCES},
        "drivers": drivers,
        "not_planned": [one.event.meaning for one in branches if one.event is not None and one.planned is None],
    }


def band_of(figures: Figures, again: Callable[[Job], Planned]) -> MoneyQuantiles:
    """Return between which prices before tax a job may come out, from few samples; parameters as of `spread_of`."""
    with unrecorded():
        told = figures.plan, figures.schedule.arrangement
        road = _Road(branches_of(told, figures.plan.book.facts, again))
        return _amounts(_sampled(road, FEW, silent).price, minor_of(figures.plan.book))


def _chance(lost: npt.NDArray[np.bool_]) -> float:
    return digits("chance_of_loss", float(np.mean(lost)))


def _drivers(road: _Road, base: int) -> list[Driver]:
    """Return what the price hangs on, the largest share first."""
    groups = road.groups()
    shares = shares_of(lambda chances: road.outcome(chances).price, road.sides, list(groups.values()), base, SEED)
    sources = road.doubts[0].sources()
    events = [one.event.source for one in road.branches if isinstance(one.event, Event)]
    told: list[Driver] = [
        {
            "code": code,
            "name": text_of(say(DRIVERS[code])),
            "share": digits("share", own),
            "total_share": digits("total_share", whole),
            "source": sources.get(code, events[0] if code == "found" else "low, likely and high in the table of times"),
        }
        for code, own, whole in zip(groups, *shares, strict=True)
        if max(own, whole) >= TOLD
    ]
    return sorted(told, key=lambda one: (-one["total_share"], one["code"]))


def _quantiles(name: str, values: Array) -> Quantiles:
    low, middle, high = (shown(name, float(one)) for one in np.quantile(values, QUANTILES))
    return {"p10": low, "p50": middle, "p90": high}


def _amounts(values: Array, minor: str) -> MoneyQuantiles:
    low, middle, high = (_amount(float(one), minor) for one in np.quantile(values, QUANTILES))
    return {"p10": low, "p50": middle, "p90": high}


def _amount(value: float, minor: str) -> str:
    return money(to_minor(Decimal(repr(value)), minor), minor)
