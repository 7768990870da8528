"""What a bore costs at the least with a wire, before any search: no calm plan lays less metal, nor lays it quicker."""

import numpy as np

from estimator.either import whole_up
from estimator.formula import unrecorded
from estimator.weld.arc import deposit_rate, linear_density, wire_feed
from estimator.weld.cases import Case

__all__ = ["floor_of"]


def floor_of(case: Case) -> float:
    """Return what no comfortable plan of a case goes below, by its aim: cost [currency] or hours [s]; no heat."""
    if case.aim == "heat":
        return 0.0
    with unrecorded():
        return _floor(case)


def _floor(case: Case) -> float:
    ask, wire, worth, calm = case.ask, case.wire, case.worth, case.windows["comfort"]
    over = min(way.turns_over for way in ask.ways) * max(calm["step"].low, 0.0)
    volume = ask.share * np.pi * (ask.cleanup - ask.build) * ask.build * (ask.length + over)
    most = min(wire.current_high, calm["current"].high) if ask.current is None else ask.current
    feed = wire_feed(most, wire.feed_linear, wire.feed_squared)
    arc = volume / deposit_rate(feed, linear_density(wire), wire.efficiency, wire.deposit_density)
    layers = max(1.0, float(whole_up(ask.build / calm["layer_thickness"].high)))
    time = float(arc + ask.gap_time * (layers - 1) + ask.once)
    if case.aim == "hours":
        return time
    mass = volume * wire.deposit_density
    return float(worth.time * time + worth.arc * arc + worth.layer * layers + worth.mass * mass)
