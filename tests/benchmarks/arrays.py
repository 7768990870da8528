"""100,000 days of a job on arrays against the same formulas written out in bare NumPy: what happens to the heat.

Nearly all of the road's time on arrays goes into heat, so that is what is written out: rings solved through a few
losses, Newton's steps without a look at the ends, blocks of the same size. Both answer the same times.
"""

import math
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

from estimator.book.pricebook import read_pricebook
from estimator.days.timetable import crew_of
from estimator.estimate import read_job
from estimator.inputs import Inputs
from estimator.money.exact import exact_of
from estimator.plans import BoreFigures, BorePlan
from estimator.road import arrange, compute, decide, run
from estimator.shop.time import finishing_time, layer_work
from estimator.steps.blocks import blocks_of
from estimator.tables import Tables
from estimator.weld.around import cooling_ring, welding_ring
from estimator.weld.cold import pass_rate
from estimator.weld.ring import WALL, Ring
from tests.benchmarks.ratio import Ratio, readings_job
from tests.estimator.roads import varied

__all__ = ["array_ratio"]

SAMPLES, BORES, STEPS = 100_000, 4, 10
TINY = 1e-30
NEAR = 2e-3  # [s] times are rounded to whole steps by the road alone
Array = npt.NDArray[np.float64]
Many = Any  # a number or an array


def _root(falling: Callable[[Many], tuple[Many, Many]], start: Many, least: Many, most: Many = np.inf) -> Many:
    """Return where a falling function crosses zero, or the end that is nearer."""
    at = start
    for _ in range(STEPS):
        value, slope = falling(at)
        at = np.clip(at - value / np.minimum(slope, -TINY), least, most)
    return at


def _sum(one: Array, other: Array) -> Many:
    return np.einsum("nm,nm->n", one, other)


def _fed(ring: Ring, parts: Array, by: Array, power: Many, time: Many) -> Array:
    gone = 1 - np.exp(-ring.decay * np.asarray(time)[..., None])
    return parts * (1 - gone) + by * np.asarray(power)[..., None] / ring.decay * gone


def _sinks(ring: Ring, own: Array, to: Many) -> Many:
    def over(at: Many) -> tuple[Many, Many]:
        left = own * np.exp(-ring.decay * np.asarray(at)[..., None])
        return left.sum(axis=-1) - to, -_sum(ring.decay, left)

    return _root(over, np.zeros(len(own)), 0.0)


def _laid(ring: Ring, parts: Array, power: Many, arc: Many, rise: float) -> tuple[Array, Many]:
    """Return the warmth after a layer, and how long it takes: free up to the limit, then held there."""
    steady = ring.bore * np.asarray(power)[..., None] / ring.decay
    last, going = rise - _sum(ring.bore, steady), ring.bore * (steady - parts)

    def room(at: Many) -> tuple[Many, Many]:
        left = going * np.exp(-ring.decay * np.asarray(at)[..., None])
        return last + left.sum(axis=-1), -_sum(ring.decay, left)

    free = np.minimum(_root(room, arc, 0.0, arc), arc)
    rest, full = arc - free, _fed(ring, parts, ring.bore, power, free)
    if not np.any(rest > 0):
        return full, arc
    heat, own, square = power * rest, ring.bore * full, ring.bore**2

    def over(at: Many) -> tuple[Many, Many]:
        left, some = np.exp(-ring.decay * np.asarray(at)[..., None]), at + (at == 0)
        mean = heat * _sum(square / ring.decay, 1 - left) / some
        return _sum(own, left) + mean - rise, (heat * _sum(square, left) - mean) / some - _sum(own * ring.decay, left)

    held = np.where(rest > 0, _root(over, rest, rest), 0.0)
    return _fed(ring, full, ring.bore, heat / (held + (held == 0)), held), free + held


def _course(bore: BorePlan, one: BoreFigures, facts: Tables, day: Inputs) -> tuple[Many, Many]:
    """Return how long the layers of a bore take, and how long it cools. [s]"""
    plan, built, length = bore.heat, one.build, bore.survey.bore.length
    gaps, after = layer_work(bore.cut, bore.counts, length, facts, day)
    ring = welding_ring(plan.boss, plan.interpass_max, facts, day)
    start, rise = plan.preheat - plan.ambient, plan.interpass_max - plan.ambient
    flame, speed = day.burner_power * plan.burners, ring.bore * ring.rim
    parts, lasting = 0 * ring.bore, np.zeros(len(ring.bore))
    if start > 0:

        def short(at: Many) -> tuple[Many, Many]:
            left = np.exp(-ring.decay * np.asarray(at)[..., None])
            return start - flame * _sum(speed / ring.decay, 1 - left), -flame * _sum(speed, left)

        parts = _fed(ring, parts, ring.rim, flame, _root(short, start * ring.capacity[: WALL + 1].sum() / flame, 0.0))
    for number, layer in enumerate(built.layers):
        if number:
            parts = _keep(ring, _fed(ring, parts, ring.bore, 0.0 * flame, gaps[number - 1]), gaps[number - 1], start)
        power = facts.constant("arc_heat_share") * layer.voltage * layer.current
        parts, took = _laid(ring, parts, power + 0.0 * flame, layer.arc_time + 0.0 * flame, rise)
        parts, lasting = _keep(ring, parts, took, start), lasting + took
    cold = plan.cold.temperature - plan.ambient
    other = cooling_ring(plan.boss, _sum(ring.bore, parts), cold, facts, day)
    nodes = np.einsum("nij,nj->ni", ring.modes, parts) * other.capacity
    own = other.bore * np.einsum("nij,ni->nj", other.modes, nodes)
    own = own * np.exp(-other.decay * np.asarray(after + 0.0 * flame)[..., None])
    cool, last = _sinks(other, own, cold), finishing_time(bore.cut, length, facts)
    if last is not None:
        cool = np.maximum(cool, _sinks(other, own * other.decay, pass_rate(plan.cold.fall, last)))
    return lasting, cool


def _keep(ring: Ring, parts: Array, time: Many, least: float) -> Array:
    reach = ring.bore * ring.rim / ring.decay * (1 - np.exp(-ring.decay * np.asarray(time)[..., None]))
    power = np.maximum(least - _sum(ring.bore, parts), 0.0) / reach.sum(axis=-1)
    return parts + power[..., None] * ring.rim / ring.decay * (1 - np.exp(-ring.decay * np.asarray(time)[..., None]))


def array_ratio() -> Ratio:
    """Return the time of the road on arrays over that of bare NumPy, for the same days."""
    book = read_pricebook()
    plan = decide(read_job(readings_job(BORES), book), book)
    order = arrange(plan, compute(plan, plan.day), crew_of(plan))
    day = varied(plan.day, SAMPLES, 1)[0]
    start = time.process_time()
    bores = compute(plan, day)
    assert math.isfinite(float(np.mean(exact_of(run(plan, bores, order, day)).before_tax)))
    ours = time.process_time() - start
    built = [compute(plan, block) for block in blocks_of(day)]
    start = time.process_time()
    found = [
        [_course(bore, one, book.facts, block) for bore, one in zip(plan.bores, figures, strict=True)]
        for figures, block in zip(built, blocks_of(day), strict=True)
    ]
    bare = time.process_time() - start
    for number, bore in enumerate(bores):
        cool = np.concatenate([block[number][1] for block in found])
        off = np.abs(cool - bore.heat.cooldown)
        assert off.max() < NEAR, (off.max(), int((off > NEAR).sum()))
    said = f"{SAMPLES} days of {BORES} bores: {ours:.0f} against {bare:.0f} s"
    return Ratio("the road on arrays against bare NumPy", ours / bare, 4, said)
