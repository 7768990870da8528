"""What happens on the day and no plan decides: times, lives, losses, wind; one number each, or arrays of them.

`compute` and `run` take these besides the plan. Uncertainty and what-if hand in arrays of one length.

The temperature at the site is none of them: preheat, burners, the temperature of the finish cut and with them every
wait are planned for it, so it is decided (`HeatPlan.ambient`). A colder day is another job document, decided anew.
"""

import functools
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from estimator.book.pricebook import PriceBook
from estimator.either import picked
from estimator.formula import formula, leaf
from estimator.job.job import Job
from estimator.tables import Tables
from estimator.tables.rows import Access, TimeStandard, Weather, Wire

__all__ = ["Inputs", "ambient_of", "as_it_falls", "expected_time", "inputs_of", "planned_time", "site_factor"]


SEVERAL = ("times", "efficiency", "shop", "luck")  # of a day, by name


@dataclass(frozen=True, eq=False)
class Inputs:
    """The day, in SI: `times` by code of the time standard (access and weather included), `efficiency` by wire name.

    `shop`: by element that recorded jobs have taught, what this day takes over what such days take on average.
    `luck`: by what may go wrong, a chance drawn between 0 and 1; empty on a day that is planned for, by its odds.
    """

    times: dict[str, float]
    efficiency: dict[str, float]
    wind: float
    wire_loss: float
    arc_between_stops: float
    purge_time: float
    leak_flow: float
    test_bead_arc: float
    tip_life: float
    nozzle_life: float
    edge_life: float
    burner_power: float
    emissivity: float
    road_speed: float
    fire_watch: float
    shop: dict[str, float] = field(default_factory=dict)
    luck: dict[str, float] = field(default_factory=dict)

    @functools.cached_property
    def mark(self) -> tuple[object, ...] | None:
        """What two days of one number each have in common only if they are alike; None of a day of arrays."""
        rest = {name: value for name, value in vars(self).items() if name not in SEVERAL}
        found = (*(one for name in SEVERAL for one in getattr(self, name).items()), *rest.items())
        return None if any(isinstance(value, np.ndarray) for _, value in found) else found


def as_it_falls(odds: float, name: str, inputs: Inputs) -> float:
    """Return the odds of what may go wrong; on a day that was drawn 1 where it does, 0 where it does not. [-]"""
    return odds if name not in inputs.luck else picked(inputs.luck[name] < odds, 1.0, 0.0)


LIVES = (
    "wire_loss",
    "arc_between_stops",
    "purge_time",
    "leak_flow",
    "test_bead_arc",
    "tip_life",
    "nozzle_life",
    "edge_life",
    "burner_power",
    "emissivity",
)


@formula(
    "expected_time",
    "Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959) 646-669: (a + 4 m + b) / 6",
    unit="s",
)
def expected_time(low_time: float, likely_time: float, high_time: float) -> float:
    """Expected time out of a low, a likely and a high one. [s]"""
    return (low_time + 4 * likely_time + high_time) / 6


def planned_time(row: TimeStandard) -> float:
    """Return the time of an element that is planned with and priced: the expected one, or the only one told. [s]

    Work that may run over runs over more often than under: the likely times of all elements together fall short.
    """
    if row.low is None or row.high is None:
        return row.duration
    return expected_time(row.low, row.duration, row.high)


@formula("hand_time", "time standard times the factor of the place", "from memory", unit="s")
def at_access(duration: float, site_factor: float) -> float:
    """Return a time standard at the place's access and in its weather. [s]"""
    return duration * site_factor


@formula("site_factor", "factors of the tables of access and weather, one on the other", "from memory")
def slowed(access_factor: float, cold_factor: float, wind_factor: float) -> float:
    """How many times as long work by hand takes at this place. [-]"""
    return access_factor * cold_factor * wind_factor


NEAR = 1e-9  # share of a bound, so that 0 degC is the same in every base unit


def _weather(quantity: str, value: float | None, facts: Tables) -> float:
    """Return the factor of the table of weather; one where nothing is said, the largest where rows overlap."""
    if value is None:
        return leaf(1.0, "fact", f"{quantity}_factor", f"nothing is said of {quantity} at the site")
    found = [
        row.factor
        for row in facts.every("weather", Weather)
        if row.quantity == quantity and row.above < value * (1 - NEAR) and value <= row.up_to * (1 + NEAR)
    ]
    return max(found, default=leaf(1.0, "fact", f"{quantity}_factor", "no row of the table of weather holds here"))


def site_factor(job: Job, facts: Tables) -> float:
    """Return how many times as long work by hand takes at the place of a job. [-]"""
    site = job.site
    cold, wind = _weather("temperature", site.ambient, facts), _weather("wind", site.wind, facts)
    return slowed(facts.row("access", site.access, Access).factor, cold, wind)


def ambient_of(job: Job, facts: Tables) -> float:
    """Return the temperature at the site that a job is planned for; that of the reference where none is said. [K]"""
    if job.site.ambient is None:
        return facts.constant("reference_temperature")
    return leaf(float(job.site.ambient), "given", "site.ambient", "temperature at the site", unit="K")


def _shop(book: PriceBook) -> dict[str, float]:
    """Return that the day that is planned for is as such days are, for each element that recorded jobs have taught."""
    known = dict.fromkeys(one.element for one in book.calibration.factors) if book.calibration else ()
    return {name: leaf(1.0, "fact", "day_factor", "the day that is planned for") for name in known}


def inputs_of(job: Job, book: PriceBook) -> Inputs:
    """Return the day as the tables and the job say it: the middle of everything."""
    facts = book.facts
    factor = site_factor(job, facts)
    times = {}
    for row in facts.every("times", TimeStandard):
        time = planned_time(row)
        times[row.code] = at_access(time, factor) if row.hand == "yes" else time
    wires = {name: facts.row("wires", name, Wire).efficiency for name in book.carried.wires}
    wind = leaf(
        float(job.site.wind or 0.0), "given", "site.wind", "wind at the site; none where none is said", unit="m/s"
    )
    rest: dict[str, Any] = {name: facts.constant(name) for name in LIVES}
    return Inputs(
        times=times,
        efficiency=wires,
        wind=wind,
        road_speed=book.number("travel.road_speed"),
        fire_watch=facts.constant("fire_watch"),
        shop=_shop(book),
        **rest,
    )
