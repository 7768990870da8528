"""A simulated month: 1,000 jobs a sample, drawn from the stated distributions, with what the order says to take.

Drawn here afresh: parts wear out at random (Poisson) beside those changed by rule, a wire's chart is off by the same
share all month (rectangular), and each job scatters on its own (normal).
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import PriceBook, read_pricebook
from estimator.buying import order
from tests.depth import THOROUGH, some

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
IDS = [path.stem for path in SAMPLES]
BOOK = read_pricebook({"tables": {"changes": {"tip_at_a_bore": {"count": 1.0}}}})
LEVELS = (0.8, 0.95, 0.99)
JOBS, MONTHS = 1000, 60
PROMISE = 0.01  # the share that the promise may be off


def used(line: Any, shape: tuple[int, ...], book: PriceBook, draw: np.random.Generator) -> Any:
    """Return drawn uses of a line's item."""
    expected = line["expected"]
    if line["kind"] == "part":
        return line["planned"] + draw.poisson(expected, shape)
    rows = book.facts.rows("wires")
    bound = rows[line["item"]].feed_scatter if line["kind"] == "wire" else 0.0  # pyrefly: ignore[missing-attribute] # a wire
    scatter = {"wire": 0.06, "gas": 0.2, "bulk": 0.25}[line["kind"]]
    return expected * (1 + draw.uniform(-bound, bound, shape) + draw.normal(0.0, scatter, shape))


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("path", some(SAMPLES, 4), ids=lambda path: path.stem)
def test_the_stock_for_a_sample_serves_as_many_of_its_jobs_as_promised(path: Path, level: float) -> None:
    """Each job of the month starts with the order's stock; sixty such months, so that chance is a tenth of the 1 %."""
    draw = np.random.default_rng(20261125)
    for line in order([path.read_bytes()], BOOK, None, level)["lines"]:
        served = used(line, (MONTHS, JOBS), BOOK, draw) <= line["to_cover"] + 1e-9
        share = float(np.mean(served))
        assert share == pytest.approx(line["service"], abs=PROMISE), line["item"]
        assert share >= level - PROMISE, line["item"]
        if line["kind"] != "part":  # what is not counted in pieces is met, not passed
            assert share == pytest.approx(level, abs=PROMISE), line["item"]


@pytest.mark.parametrize("path", some(SAMPLES, 3), ids=lambda path: path.stem)
def test_the_stock_for_a_month_of_a_sample_lasts_as_many_months_as_promised(path: Path) -> None:
    """One order for a thousand jobs: errors of the jobs even out, that of the chart does not.

    At a push the jobs of one sample are drawn one by one, and of the others their sum, which is as normal.
    """
    draw, level, months = np.random.default_rng(7), 0.95, 20_000
    document = json.loads(path.read_text("utf-8"))
    for line in order([document] * JOBS, BOOK, None, level)["lines"]:
        each = line["expected"] / JOBS
        if line["kind"] == "part":
            use = line["planned"] + draw.poisson(line["expected"], months)
        else:
            rows = BOOK.facts.rows("wires")
            bound = rows[line["item"]].feed_scatter if line["kind"] == "wire" else 0.0  # pyrefly: ignore[missing-attribute] # a wire
            scatter = {"wire": 0.06, "gas": 0.2, "bulk": 0.25}[line["kind"]]
            if THOROUGH or path == SAMPLES[0]:
                own = sum(draw.normal(0.0, scatter * each, (JOBS // 10, months)).sum(axis=0) for _ in range(10))
            else:
                own = draw.normal(0.0, scatter * each * np.sqrt(JOBS), months)
            use = line["expected"] * (1 + draw.uniform(-bound, bound, months)) + own
        share = float(np.mean(use <= line["to_cover"] + 1e-9))
        assert share == pytest.approx(line["service"], abs=PROMISE), line["item"]
        assert share >= level - PROMISE, line["item"]


def test_the_order_of_all_samples_covers_their_sum_as_often_as_promised() -> None:
    draw = np.random.default_rng(11)
    texts = [path.read_bytes() for path in SAMPLES]
    single = [{line["item"]: line for line in order([text], BOOK)["lines"]} for text in texts]
    for line in order(texts, BOOK)["lines"]:
        parts = [one[line["item"]] for one in single if line["item"] in one]
        rows, draws = BOOK.facts.rows("wires"), 100_000
        if line["kind"] == "part":
            use = sum(one["planned"] + draw.poisson(one["expected"], draws) for one in parts)
        else:
            bound = rows[line["item"]].feed_scatter if line["kind"] == "wire" else 0.0  # pyrefly: ignore[missing-attribute] # a wire
            scatter = {"wire": 0.06, "gas": 0.2, "bulk": 0.25}[line["kind"]]
            common = draw.uniform(-bound, bound, draws)
            use = sum(one["expected"] * (1 + common + draw.normal(0, scatter, draws)) for one in parts)
        assert float(np.mean(use <= line["to_cover"] + 1e-9)) == pytest.approx(line["service"], abs=PROMISE)
