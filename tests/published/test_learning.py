"""Learning from records, against outside sources: shrinkage, distributions, cumulative sums, scores, coverage."""

import math

import numpy as np
import pytest
from scipy import stats

from estimator.book.calibration import as_learnt, on_day, own_ratio
from estimator.learn.back_test import pinball
from estimator.learn.drift import cusum
from estimator.learn.pooled import between, shrunk, shrunk_groups
from estimator.learn.student import normal_quantile, t_below, t_quantile, to_normal
from estimator.shop.standards import learning
from estimator.spread.shapes import lognormal_quantiles
from tests.depth import deep
from tests.estimator.learn.shops import PRIORS

# Efron and Morris, Scientific American 236/5 (1977) 119, table: eighteen batters of 1970, hits in their first 45 times
# at bat and what they hit in the rest of the season, in thousandths; typed from memory.
HITS = (18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7)
REST = (346, 298, 276, 222, 273, 270, 263, 210, 269, 230, 264, 256, 303, 264, 226, 286, 316, 200)
AT_BAT = 45


def test_efron_and_morris_s_batters_shrink_to_a_fifth() -> None:
    """They print a grand mean of 0.265 and a shrinking factor of 0.212; their variance is the binomial of the mean."""
    means = np.array(HITS) / AT_BAT
    grand = float(np.mean(means))
    variance = grand * (1 - grand) / AT_BAT
    assert grand == pytest.approx(0.265, abs=0.0005)
    factor = 1 - (len(HITS) - 3) * variance / float(np.sum((means - grand) ** 2))
    assert factor == pytest.approx(0.212, abs=0.001)
    found = shrunk_groups(means.tolist(), [variance] * len(HITS))
    ours = np.array([mean for mean, _ in found]) / (means - grand)
    # ours shrinks by moments: a sum of squares over 17 degrees of freedom where they take 15, so as not to overshoot
    assert 1 - ours == pytest.approx(np.full(len(HITS), (1 - factor) * 17 / 15), rel=1e-9)


def test_shrunk_batters_lie_nearer_to_the_rest_of_their_season() -> None:
    """Efron and Morris: their total squared error is 3.5 times smaller than that of the plain means."""
    means, rest = np.array(HITS) / AT_BAT, np.array(REST) / 1000
    grand = float(np.mean(means))
    found = shrunk_groups(means.tolist(), [grand * (1 - grand) / AT_BAT] * len(HITS))
    after = float(np.sum((grand + np.array([mean for mean, _ in found]) - rest) ** 2))
    assert float(np.sum((means - rest) ** 2)) / after == pytest.approx(3.5, abs=0.3)  # by 15 degrees for 17: see above


# Rubin, J. Educational Statistics 6 (1981) 377: eight schools, effect and its standard error.
SCHOOLS = ((28, 15), (8, 10), (-3, 16), (7, 11), (-1, 9), (1, 11), (18, 10), (12, 18))


def test_eight_schools_show_no_scatter_between_them_by_moments() -> None:
    """Q is 4.7 on 7 degrees of freedom and the common mean 7.7 (Gelman et al., Bayesian Data Analysis, 5.5)."""
    effects, variances = [float(one) for one, _ in SCHOOLS], [float(se**2) for _, se in SCHOOLS]
    weights = [1 / one for one in variances]
    mean = sum(w * e for w, e in zip(weights, effects, strict=True)) / sum(weights)
    q = sum(w * (e - mean) ** 2 for w, e in zip(weights, effects, strict=True))
    assert (mean, q) == (pytest.approx(7.7, abs=0.05), pytest.approx(4.7, abs=0.1))
    assert between(effects, variances) == 0.0
    assert [one for one, _ in shrunk_groups(effects, variances)] == [0.0] * len(SCHOOLS)


def test_scatter_between_groups_is_what_made_them() -> None:
    """DerSimonian and Laird's estimate has the mean of what was drawn: 2000 draws of 12 groups."""
    rng = np.random.default_rng(4)
    wide, doubts = 0.3, rng.uniform(0.05, 0.3, 12)
    found = [
        between(rng.normal(0, np.hypot(wide, doubts)).tolist(), (doubts**2).tolist()) for _ in range(deep(2000, 500))
    ]
    assert np.mean(found) == pytest.approx(wide**2, rel=0.06)


def test_a_normal_mean_with_a_known_scatter_is_shrunk_as_bayes_has_it() -> None:
    """Conjugate normal prior: weight tau^2 / (tau^2 + s^2 / n). Very many jobs make the scatter known."""
    prior = PRIORS["setup"]
    rng = np.random.default_rng(1)
    logs = rng.normal(0.2, 0.25, 4000)
    found = shrunk(logs, prior)
    assert found.scatter == pytest.approx(0.25, abs=0.01)
    weight = prior.shops**2 / (prior.shops**2 + found.scatter**2 / 4000)
    assert found.mean == pytest.approx(weight * (logs.mean() + found.scatter**2 / 2), rel=1e-12)
    assert found.doubt == pytest.approx(1 / math.sqrt(1 / prior.shops**2 + 4000 / found.scatter**2), rel=1e-12)


def test_the_mean_of_a_lognormal_lies_half_its_variance_above_its_middle() -> None:
    """Ratios with the mean 1.25 are told as 1.25 (SciPy draws them)."""
    drawn = stats.lognorm(s=0.4, scale=1.25 * math.exp(-0.08)).rvs(20_000, random_state=3)
    assert math.exp(shrunk(np.log(drawn), PRIORS["setup"]).mean) == pytest.approx(1.25, rel=0.01)


def test_the_band_of_a_mean_covers_it_as_often_as_it_says() -> None:
    """Shops drawn from the prior, ten jobs each: 95 of 100 bands hold the truth."""
    rng, prior = np.random.default_rng(5), PRIORS["setup"]
    count, inside = deep(4000, 1000), 0
    for _ in range(count):
        truth = rng.normal(0, prior.shops)
        found = shrunk(rng.normal(truth - prior.scatter**2 / 2, prior.scatter, 10), prior)
        inside += abs(found.mean - truth) < t_quantile(0.975, found.degrees) * found.doubt
    assert inside / count == pytest.approx(0.95, abs=0.02)


@pytest.mark.parametrize("degrees", [4, 5, 9, 20, 60])
@pytest.mark.parametrize("chance", [0.6, 0.9, 0.975, 0.995])
def test_quantiles_of_student_s_distribution_are_those_of_the_library(degrees: int, chance: float) -> None:
    """Wallace's transformation: within a sixtieth at four degrees, better with more."""
    assert t_quantile(chance, degrees) == pytest.approx(stats.t.ppf(chance, degrees), rel=0.017)


@pytest.mark.parametrize("t", [-3.0, -0.5, 0.0, 1.2, 4.0])
def test_chances_of_student_s_distribution_are_those_of_the_library(t: float) -> None:
    assert t_below(t, 7) == pytest.approx(stats.t.cdf(t, 7), abs=0.0015)


def test_one_way_and_the_other_are_each_other_s_inverse() -> None:
    assert to_normal(t_quantile(0.98, 6), 6) == pytest.approx(normal_quantile(0.98), rel=1e-12)


# Montgomery, Introduction to Statistical Quality Control, table of the two-sided tabular CUSUM with k = 1/2, after
# Hawkins (1993): average run lengths by shift of the mean in standard deviations; from memory.
RUNS = ((4, 0.0, 168.0), (4, 1.0, 8.38), (5, 0.0, 465.0), (5, 1.0, 10.4), (5, 2.0, 4.01))


@pytest.mark.parametrize(("limit", "shift", "printed"), RUNS)
def test_run_lengths_of_the_cumulative_sum_are_those_printed(limit: float, shift: float, printed: float) -> None:
    rng, count = np.random.default_rng(8), deep(1200, 300) if shift == 0 else 1500
    length = 60 * int(printed) // 4
    found = [cusum(rng.normal(shift, 1, length), 0.5, limit) for _ in range(count)]
    runs = [length if one is None else one + 1 for one in found]
    assert np.mean(runs) == pytest.approx(printed, rel=0.02 + 3 / math.sqrt(count))  # three standard errors of a mean


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9])
def test_the_pinball_loss_is_least_at_the_quantile(chance: float) -> None:
    """Koenker and Bassett, Econometrica 46 (1978) 33: the quantile is what minimises it."""
    drawn = stats.norm.rvs(size=4001, random_state=2)
    tried = np.linspace(-2.5, 2.5, 501)
    losses = [np.mean([pinball(float(one), float(at), chance) for one in drawn[::8]]) for at in tried]
    assert tried[int(np.argmin(losses))] == pytest.approx(np.quantile(drawn[::8], chance), abs=0.03)


@pytest.mark.parametrize("deviation", [0.05, 0.25, 0.6])
def test_quantiles_of_a_factor_are_those_of_the_library_s_lognormal(deviation: float) -> None:
    chance = np.linspace(0.001, 0.999, 999)
    expected = stats.lognorm.ppf(chance, s=deviation, scale=math.exp(-(deviation**2) / 2))
    assert lognormal_quantiles(chance, deviation) == pytest.approx(expected, rel=1e-4)


def test_a_factor_that_was_taught_leaves_the_mean_where_it_is() -> None:
    chance = (np.arange(65536) + 0.5) / 65536
    assert np.mean(lognormal_quantiles(chance, 0.3)) == pytest.approx(1.0, abs=2e-4)


@pytest.mark.parametrize(("number", "percent"), [(2, 80.0), (4, 64.0), (8, 51.2), (10, 47.7), (16, 41.0)])
def test_a_learning_curve_of_eighty_percent(number: int, percent: float) -> None:
    """Unit times of Wright's curve at 80 %, as tables of operations management print them."""
    assert 100 * learning(number, 0.8) == pytest.approx(percent, abs=0.05)


def test_groups_and_days_multiply() -> None:
    """By hand: a shop at 1.2, its crew at 1.5 and its wire at 1.08 of the book take 1.2 * 1.25 * 0.9 = 1.35 times."""
    crew = own_ratio(shop_factor=1.2, group_ratio=1.5, all_ratio=1.2)
    both = own_ratio(shop_factor=crew, group_ratio=1.08, all_ratio=1.2)
    assert on_day(shop_factor=both, day_factor=2.0) == pytest.approx(2.7)
    assert as_learnt(amount=160.4, shop_factor=both) == pytest.approx(216.54)
