"""Burn-off laws refitted from the printed points of the table of charts; the residuals are printed (pytest -s)."""

import csv
import math
from importlib import resources

import numpy as np
import pytest
from scipy.optimize import nnls

from estimator.book.pricebook import read_pricebook
from estimator.tables.charts import gaps_of, points_of
from estimator.tables.rows import Wire
from estimator.units import factor
from estimator.weld import arc

FACTS = read_pricebook().facts
WIRES = sorted(FACTS.rows("wires"))
INCH = ("ER70S-6 0.030 in", "ER70S-6 0.035 in", "ER70S-6 0.045 in")
METRIC = ("G3Si1 0.8 mm", "G3Si1 0.9 mm", "G3Si1 1.0 mm", "G3Si1 1.2 mm")
LEAST, TWO = FACTS.constant("chart_scatter_least"), 2


def wire_of(name: str) -> Wire:
    return FACTS.row("wires", name, Wire)


def used(name: str) -> tuple[np.ndarray, np.ndarray]:
    """Return current [A] and feed [ipm] of the points short of spray that a wire's range of current meets."""
    wire = wire_of(name)
    points = points_of(name, wire.current_low, wire.current_high)
    return np.array([p.current for p in points]), np.array([p.feed / factor("ipm") for p in points])


# What the sources print, typed once more from them: [A, in/min]
PRINTED = [
    ("ER70S-6 0.035 in", "handbook", 140, 210),  # Machinery's Handbook 31st ed. p. 1583 Table 5
    ("ER70S-6 0.045 in", "handbook", 190, 210),
    ("ER70S-6 0.030 in", "rule", 70, 140),  # 2.0 in/min per ampere
    ("ER70S-6 0.035 in", "rule", 80, 128),  # 1.6
    ("ER70S-6 0.045 in", "rule", 225, 225),  # 1.0
    ("ER70S-6 0.035 in", "plate chart", 137.5, 230),  # 1/8 in of plate: 125 to 150 A
    ("ER70S-6 0.030 in", "plate chart", 105, 200),  # 14 gauge: 90 to 120 A
    ("E70C-6M 0.045 in", "maker's sheet", 150, 185),
]


@pytest.mark.parametrize(("name", "chart", "current", "feed"), PRINTED)
def test_the_table_holds_what_is_printed(name: str, chart: str, current: float, feed: float) -> None:
    found = [(p.current, p.feed / factor("ipm")) for p in points_of(name) if p.chart == chart]
    assert any(one == pytest.approx((current, feed)) for one in found), found


@pytest.mark.parametrize("name", [*INCH, "E70C-6M 0.045 in"])
def test_a_law_is_the_least_squares_fit_through_its_charts(name: str) -> None:
    """Feed = a I + b I^2, neither below zero, least squares of the shares by scipy's own solver."""
    current, feed = used(name)
    (linear, squared), _ = nnls(np.column_stack((current, current**2)) / feed[:, None], np.ones(len(feed)))
    off = (linear * current + squared * current**2) / feed - 1
    print(f"\n{name}: {linear:.5f} ipm/A {squared:.3e} ipm/A2; off by", *(f"{one:+.1%}" for one in off))  # noqa: T201  # residuals to be seen with -s
    wire = wire_of(name)
    assert wire.feed_linear / factor("ipm/A") == pytest.approx(linear, rel=1e-5)  # six digits in the table
    assert wire.feed_squared / factor("ipm/A/A") == pytest.approx(squared, rel=1e-4, abs=1e-12)


def test_metric_wires_follow_a_power_of_the_diameter() -> None:
    """Log of feed per ampere over log of diameter through all points of the three sizes, by numpy."""
    size, ratio = list[float](), list[float]()
    for name in INCH:
        current, feed = used(name)
        size += [math.log(wire_of(name).diameter / factor("mm"))] * len(current)
        ratio += list(np.log(feed / current))
    power, scale = np.polyfit(size, ratio, 1)
    assert FACTS.constant("feed_size_power") == pytest.approx(power, rel=1e-5)
    for name in METRIC:
        wire = wire_of(name)
        expected = math.exp(scale) * (wire.diameter / factor("mm")) ** power
        assert wire.feed_linear / factor("ipm/A") == pytest.approx(expected, rel=1e-5)
        assert wire.feed_squared == 0


@pytest.mark.parametrize("name", WIRES)
def test_the_scatter_is_the_band_of_the_charts(name: str) -> None:
    """The worst residual, up to a whole percent; 15 % at the least where fewer than two charts print the size."""
    wire = wire_of(name)
    gaps = gaps_of(wire, FACTS)
    assert gaps is not None
    worst = math.ceil(100 * max(-gaps.low, gaps.high) - 1e-9) / 100
    own_size = len(wire.charts.split("; ")) == 1
    lone = len(gaps.charts) < TWO or not own_size or not gaps.printed
    print(f"\n{name}: {gaps.points} points of {', '.join(gaps.charts)}: {gaps.low:+.1%} to {gaps.high:+.1%}")  # noqa: T201  # to be seen
    assert wire.feed_scatter == pytest.approx(max(worst, LEAST) if lone else worst, abs=1e-12)


@pytest.mark.parametrize("name", [*INCH, "E70C-6M 0.045 in", "E71T-1 0.045 in"])
def test_every_point_lies_within_the_scatter(name: str) -> None:
    wire = wire_of(name)
    for current, feed in zip(*used(name), strict=True):
        computed = arc.wire_feed(float(current), wire.feed_linear, wire.feed_squared) / factor("ipm")
        assert computed == pytest.approx(feed, rel=wire.feed_scatter), (current, feed)


def test_spray_is_kept_in_the_table_and_out_of_the_fits() -> None:
    text = resources.files("estimator.tables").joinpath("charts.csv").read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    sprayed = {(row["wire"], float(row["current_low [A]"])) for row in rows if row["mode"] == "spray"}
    assert ("ER70S-6 0.045 in", 380.0) in sprayed
    assert not any((p.wire, p.current) in sprayed for name in WIRES for p in points_of(name))
    assert len({row["name"] for row in rows}) == len(rows)
