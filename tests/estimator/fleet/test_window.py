"""One shutdown: the choice is the best of all there are, by trying every one; what is told where those are too many."""

import itertools
import random

import pytest

from estimator.fleet import window as room
from estimator.fleet.window import Item, choose
from tests.depth import seeds


def best_of_all(items: list[Item], budget: float, hours: float) -> float:
    """Return the most that any choice brings within both limits, by trying every one."""
    return max(
        sum(item.value for item in some)
        for count in range(len(items) + 1)
        for some in itertools.combinations(items, count)
        if sum(item.price for item in some) <= budget and sum(item.hours for item in some) <= hours
    )


@pytest.mark.parametrize("seed", seeds(200, 20))
def test_it_is_the_best_of_all_choices(seed: int) -> None:
    draw = random.Random(seed)
    items = [Item(draw.randint(0, 90), draw.randint(0, 60), draw.randint(0, 40)) for _ in range(draw.randint(0, 11))]
    budget, hours = draw.randint(0, 200), draw.randint(0, 120)
    found = choose(items, budget, hours)
    taken = [items[place] for place in found.places]
    assert sum(item.price for item in taken) <= budget
    assert sum(item.hours for item in taken) <= hours
    assert sum(item.value for item in taken) == best_of_all(items, budget, hours)
    assert found.gap == 0


def test_a_published_knapsack() -> None:
    """Burkardt, KNAPSACK_01 data sets, P01: ten items, capacity 165, best value 309 (items 1 to 4 and 6)."""
    weights, values = [23, 31, 29, 44, 53, 38, 63, 85, 89, 82], [92, 57, 49, 68, 60, 43, 67, 84, 87, 72]
    found = choose([Item(value, weight, 0) for value, weight in zip(values, weights, strict=True)], 165, None)
    assert found.places == (0, 1, 2, 3, 5)
    assert sum(values[place] for place in found.places) == 309


def test_another_published_knapsack() -> None:
    """The same data sets, P08: 24 items, capacity 6,404,180, best value 13,549,094."""
    weights = [382745, 799601, 909247, 729069, 467902, 44328, 34610, 698150, 823460, 903959, 853665, 551830]
    weights += [610856, 670702, 488960, 951111, 323046, 446298, 931161, 31385, 496951, 264724, 224916, 169684]
    values = [825594, 1677009, 1676628, 1523970, 943972, 97426, 69666, 1296457, 1679693, 1902996, 1844992, 1049289]
    values += [1252836, 1319836, 953277, 2067538, 675367, 853655, 1826027, 65731, 901489, 577243, 466257, 369261]
    found = choose([Item(value, weight, 0) for value, weight in zip(values, weights, strict=True)], 6404180, None)
    assert sum(values[place] for place in found.places) == 13549094
    assert found.gap == 0


def test_without_a_limit_all_that_avoids_a_loss_is_taken() -> None:
    items = [Item(5, 10, 1), Item(0, 1, 1), Item(7, 20, 3)]
    assert choose(items, None, 100).places == (0, 2)
    assert choose([], 10, 10).places == ()
    assert choose(items, 0, 100).places == ()


def test_where_the_search_is_cut_short_the_gap_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    draw = random.Random(1)
    items = [Item(draw.randint(50, 99), draw.randint(50, 99), draw.randint(50, 99)) for _ in range(40)]
    whole = choose(items, 900, 900)
    monkeypatch.setattr(room, "MOST_NODES", 50)
    cut = choose(items, 900, 900)
    values = [sum(items[place].value for place in found.places) for found in (whole, cut)]
    assert cut.gap > 0
    assert values[0] <= values[1] * (1 + cut.gap) * (1 + 1e-9)
