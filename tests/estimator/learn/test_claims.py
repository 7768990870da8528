"""What is claimed of learning, held against invented shops whose truth is known."""

from typing import Any

import numpy as np

from estimator.learn.back_test import factor_of, judged, scored
from estimator.learn.drift import changes_of, since_of
from estimator.learn.pooled import Effect, effects_of
from estimator.learn.series import series_of
from tests.depth import deep
from tests.estimator.learn.shops import PRIORS, Shop, jobs_of

SHOPS, AT_A_PUSH = 500, 40
JOBS, SLOWER = 40, 1.25
BY_HAND = ("setup", "precut", "weld", "finish", "inspection", "teardown")


def taught(shop: Shop, jobs: int, seed: int) -> tuple[dict[tuple[str, str], Effect], Any]:
    """Return what stands out among the jobs of a shop, by element and group, and the changes that were noticed."""
    series = series_of(jobs_of(shop, jobs, seed))
    changes = changes_of(series)
    effects = effects_of(series, PRIORS, since_of(changes, jobs), jobs)
    return {(one.element, one.group): one for one in effects}, changes


def any_shop(seed: int) -> Shop:
    """Return a biased shop: steady and noisy, paced by its days, changing, or learning."""
    rng = np.random.default_rng([seed, 1])
    bias = {element: float(np.exp(rng.normal(0, 0.12))) for element in (*BY_HAND, "cooldown")}
    kinds = (
        Shop(bias, noise=float(rng.uniform(0.5, 1.1))),
        Shop(bias, noise=0.8, pace=0.1),
        Shop(bias, change=(25, {"setup": 1.35, "weld": 1.2})),
        Shop(bias, learns=0.8),
    )
    return kinds[seed % len(kinds)]


def covered(shops: int) -> float:
    """Return which share of the jobs of such shops lies inside the band that was foretold for them."""
    found = []
    for seed in range(shops):
        series = series_of(jobs_of(any_shop(seed), JOBS, seed))
        found.append(scored(judged(series, PRIORS, changes_of(series))).coverage_80 or 0.0)
    return float(np.mean(found))


def test_eight_in_ten_jobs_lie_inside_the_band() -> None:
    assert abs(covered(deep(SHOPS, AT_A_PUSH)) - 0.8) < 0.03


def off_by(shop: Shop, seed: int, jobs: int = 30) -> float:
    """Return how far hours of set-up lie off after so many jobs, over how far they lay off by the book."""
    effects, _ = taught(shop, jobs, seed)
    labels = {"crew": "north", "wire": "", "position": "horizontal"}
    return abs(factor_of(effects, "setup", labels) / SLOWER - 1) / (1 - 1 / SLOWER)


def test_after_thirty_jobs_of_a_slow_shop_the_error_of_its_hours_at_least_halves() -> None:
    left = [off_by(Shop({"setup": SLOWER}), seed) for seed in range(deep(SHOPS, AT_A_PUSH))]
    assert np.mean(left) < 0.5
    assert np.mean(np.array(left) < 0.5) > 0.95


def test_of_a_shop_that_is_as_the_book_says_nothing_is_told() -> None:
    """False alarms, of a factor or of a change, in under 5 of 100 shops of forty jobs."""
    shops = deep(SHOPS, 100)
    found = [taught(Shop(noise=0.9), JOBS, seed) for seed in range(shops)]
    assert sum(bool(effects) or any(changes.values()) for effects, changes in found) / shops < 0.05


def noticed(more: dict[str, float], shops: int, since: int = 30, within: int = 15) -> float:
    """Return in which share of shops a change is noticed within so many jobs."""
    count = 0
    for seed in range(shops):
        _, changes = taught(Shop(change=(since, more)), since + within, seed)
        count += any(since <= one.noticed < since + within for each in changes.values() for one in each)
    return count / shops


def test_a_shop_that_changes_is_noticed_within_fifteen_jobs() -> None:
    """All work by hand a quarter slower, or set-up alone two fifths: less stands out of the noise more slowly."""
    shops = deep(SHOPS, AT_A_PUSH)
    assert noticed(dict.fromkeys(BY_HAND, 1.25), shops) > 0.95
    assert noticed({"setup": 1.4}, shops) > 0.8


def test_after_a_change_only_what_came_since_counts() -> None:
    shop = Shop({"setup": 1.0}, change=(30, dict.fromkeys(BY_HAND, 1.4)))
    effects, changes = taught(shop, 70, 3)
    assert any(changes.values())
    assert abs(effects["setup", "all"].ratio / 1.4 - 1) < 0.12


def test_a_crew_that_is_slower_is_told_as_a_crew() -> None:
    shop = Shop({"setup south": 1.5})
    found = [taught(shop, 60, seed)[0] for seed in range(deep(40, 10))]
    told = [effects for effects in found if ("setup", "crew: south") in effects]
    assert len(told) > 0.8 * len(found)
    ratios = [factor_of(one, "setup", {"crew": "south"}) / factor_of(one, "setup", {"crew": "north"}) for one in told]
    assert abs(np.mean(ratios) / 1.5 - 1) < 0.1
    labels = {group for one in found for element, group in one if element != "setup"}
    assert labels == set()


def test_better_is_claimed_of_slow_shops_and_not_of_shops_as_the_book_says() -> None:
    def claims(shop: Shop, seed: int) -> bool:
        series = series_of(jobs_of(shop, JOBS, seed))
        return scored(judged(series, PRIORS, changes_of(series))).better

    shops = deep(100, 12)
    slow = Shop(dict.fromkeys(BY_HAND, 1.25))
    assert sum(claims(slow, seed) for seed in range(shops)) > 0.9 * shops
    assert sum(claims(Shop(noise=0.9), seed) for seed in range(shops)) < 0.05 * shops


def test_the_same_seed_gives_the_same() -> None:
    first, again = (taught(Shop({"setup": SLOWER}), 30, 5)[0] for _ in range(2))
    assert first == again
