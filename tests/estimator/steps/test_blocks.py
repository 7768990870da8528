"""Very many days at once: in blocks, with rings through a few solved ones; each as it would be alone."""

from pathlib import Path

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.money.exact import exact_of
from estimator.road import compute
from estimator.steps import blocks
from estimator.weld import ring
from estimator.weld.around import HOT, _body
from tests.depth import deep, some
from tests.estimator.roads import SAMPLES, figures_on, sampled, varied

COUNT = 3 * ring.NODES + 2


@pytest.mark.parametrize("path", SAMPLES[::3], ids=lambda path: path.stem)
def test_each_of_many_days_costs_what_it_costs_alone(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Blocks of a few days, the last one shorter."""
    monkeypatch.setattr(blocks, "BLOCK", 20)
    plan, _, arrangement = sampled(path)
    many, each = varied(plan.day, COUNT, 5)
    prices = np.asarray(exact_of(figures_on(plan, arrangement, many)).before_tax)
    assert prices.shape == (COUNT,)
    for number in (0, 1, 19, 20, COUNT - 1):
        alone = exact_of(figures_on(plan, arrangement, each[number])).before_tax
        assert prices[number] == pytest.approx(alone, rel=1e-9)


def test_blocks_end_to_end_are_the_whole() -> None:
    plan, _, _ = sampled(SAMPLES[0])
    many, _ = varied(plan.day, COUNT, 6)
    assert blocks.blocks_of(many) == [many]
    parts = [compute(plan, many) for _ in range(2)]
    for one, other in zip(parts[0], blocks.joined(parts), strict=True):
        assert np.array_equal(np.tile(np.asarray(one.heat.cooldown), 2), np.asarray(other.heat.cooldown))
        assert other.plan is one.plan


@pytest.mark.parametrize("path", some(SAMPLES, 4), ids=lambda path: path.stem)
def test_rings_between_are_those_that_are_solved(path: Path) -> None:
    facts, loss = read_pricebook().facts, np.linspace(4.0, 60.0, deep(200, 40))
    for bore in sampled(path)[0].bores:
        density, specific, conductivity = (facts.constant(name) for name in HOT)
        shape = _body(bore.heat.boss, facts), density * specific, conductivity
        between, solved = ring._between(*shape, loss), ring._ring(*shape, loss)
        assert between.decay == pytest.approx(solved.decay, rel=1e-12)
        signs = np.sign(solved.bore)[..., None, :]
        assert between.modes == pytest.approx(solved.modes * signs, abs=1e-12 * np.abs(solved.modes).max())
