"""The worked examples of the GUM's Supplement 1 by our own points; what is printed there is typed from memory."""

import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from estimator.spread.sobol import points

DRAWS, SEED = 2**16, 20_270_308


def drawn(*inputs: Any) -> list[Any]:
    """Return draws of independent quantities, each by the quantile function of its distribution."""
    chances = points(DRAWS, len(inputs), SEED)
    return [one(chances[:, place]) for place, one in enumerate(inputs)]


def rectangle(low: float, high: float) -> Any:
    return stats.uniform(low, high - low).ppf


def shortest(values: Any, chance: float) -> tuple[float, float]:
    """Return the shortest interval that holds such a share of the values."""
    ordered = np.sort(values)
    held = round(chance * len(ordered))
    wide = ordered[held:] - ordered[:-held]
    at = int(np.argmin(wide))
    return float(ordered[at]), float(ordered[at + held])


def test_four_normal_quantities() -> None:
    """JCGM 101:2008, 9.2.2: standard uncertainty 2.00, 95 % within -3.92 and 3.92."""
    total = sum(drawn(*[stats.norm.ppf] * 4))
    assert np.std(total) == pytest.approx(2.00, abs=0.005)
    assert np.quantile(total, [0.025, 0.975]) == pytest.approx([-3.92, 3.92], abs=0.02)


def test_four_rectangles_one_of_them_ten_times_as_wide() -> None:
    """JCGM 101:2008, 9.2.4: standard uncertainty 10.1; 95 % within -17.0 and 17.0, where normal theory has 19.9."""
    reach = math.sqrt(3)
    total = sum(drawn(*[rectangle(-reach, reach)] * 3, rectangle(-10 * reach, 10 * reach)))
    assert np.std(total) == pytest.approx(10.1, abs=0.05)
    assert np.quantile(total, [0.025, 0.975]) == pytest.approx([-17.0, 17.0], abs=0.1)


def test_calibration_of_a_weight_in_air() -> None:
    """JCGM 101:2008, 9.3: 1.234 mg, standard uncertainty 0.075 mg, shortest 95 % interval 1.083 to 1.383 mg."""
    reference, difference, air, weight, standard = drawn(
        stats.norm(100_000.0, 0.050).ppf,
        stats.norm(1.234, 0.020).ppf,
        rectangle(1.10, 1.30),
        rectangle(7000.0, 9000.0),
        rectangle(7950.0, 8050.0),
    )
    found = (reference + difference) * (1 + (air - 1.2) * (1 / weight - 1 / standard)) - 100_000.0
    assert (np.mean(found), np.std(found)) == (pytest.approx(1.234, abs=0.001), pytest.approx(0.0754, abs=0.0005))
    assert shortest(found, 0.95) == pytest.approx((1.083, 1.383), abs=0.006)


def curved_trapezoid(low: float, high: float, doubt: float) -> Any:
    """Return draws of a rectangle whose ends are known within a doubt (JCGM 101:2008, 6.4.3)."""

    def made(chance: Any) -> Any:
        other = (chance * 7919.0) % 1.0  # a second chance out of the first one's later digits
        start = low - doubt + 2 * doubt * other
        return start + (low + high - 2 * start) * chance

    return made


def test_calibration_of_a_gauge_block() -> None:
    """JCGM 101:2008, 9.5: deviation 838 nm, standard uncertainty 36 nm, 99 % within 745 and 931 nm by quantiles."""

    def student(mean: float, scale: float, degrees: int) -> Any:
        return stats.t(degrees, mean, scale).ppf

    standard, difference, random, systematic, expansion, mean_off, cycle, off_expansion, off_warmth = drawn(
        student(50_000_623.0, 25.0, 18),
        student(215.0, 6.0, 24),
        student(0.0, 4.0, 5),
        student(0.0, 7.0, 8),
        rectangle(9.5e-6, 13.5e-6),
        stats.norm(-0.1, 0.2).ppf,
        stats.arcsine(-0.5, 1.0).ppf,
        curved_trapezoid(-1.0e-6, 1.0e-6, 0.1e-6),
        curved_trapezoid(-0.050, 0.050, 0.025),
    )
    warmth = mean_off + cycle
    found = standard + difference + random + systematic
    found = found - standard * (off_expansion * warmth + expansion * off_warmth) - 50_000_000.0
    assert np.mean(found) == pytest.approx(838, abs=0.5)
    assert np.std(found) == pytest.approx(36, abs=0.5)
    assert np.quantile(found, [0.005, 0.995]) == pytest.approx([745, 931], abs=1)
