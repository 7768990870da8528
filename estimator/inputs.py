"""What happens on the day and no plan decides: times, lives, losses, surroundings; one number each, or arrays of them.

`consequences` takes these besides the plan. Uncertainty and what-if hand in arrays of one length.
"""

from dataclasses import dataclass

from estimator.formula import formula, leaf
from estimator.job import Job
from estimator.pricebook import PriceBook
from estimator.tables.rows import Access, TimeStandard, Wire

__all__ = ["Inputs", "inputs_of"]


@dataclass(frozen=True)
class Inputs:
    """The day, in SI: `times` by code of the time standard (access included), `efficiency` by wire name."""

    times: dict[str, float]
    efficiency: dict[str, float]
    ambient: float
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
    surface_loss: float
    road_speed: float
    fire_watch: float


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
    "surface_loss",
)


@formula("hand_time", "time standard times the access factor of the table", "from memory", unit="s")
def at_access(duration: float, access_factor: float) -> float:
    """Return a time standard at the place's access. [s]"""
    return duration * access_factor


def inputs_of(job: Job, book: PriceBook) -> Inputs:
    """Return the day as the tables and the job say it: the middle of everything."""
    facts = book.facts
    access = facts.row("access", job.site.access, Access).factor
    times = {}
    for row in facts.every("times", TimeStandard):
        times[row.code] = at_access(row.duration, access) if row.hand == "yes" else row.duration
    wires = {name: facts.row("wires", name, Wire).efficiency for name in book.carried.wires}
    ambient = job.site.ambient
    if ambient is None:
        ambient = facts.constant("reference_temperature")
    else:
        ambient = leaf(float(ambient), "given", "site.ambient", "temperature at the site", unit="K")
    wind = leaf(
        float(job.site.wind or 0.0), "given", "site.wind", "wind at the site; none where none is said", unit="m/s"
    )
    rest = {name: facts.constant(name) for name in LIVES}
    return Inputs(
        times,
        wires,
        ambient,
        wind,
        road_speed=book.number("travel.road_speed"),
        fire_watch=facts.constant("fire_watch"),
        **rest,
    )
