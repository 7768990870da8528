"""What saving a hard deposit takes: one more layer in any case, the rest only as often as that does not save it."""

import pytest

from estimator.shop.remedy import expected, of_one_layer, where_not_saved


@pytest.mark.parametrize(("saves", "in_all", "rest"), [(0.0, 110.0, 100.0), (0.75, 35.0, 25.0), (1.0, 10.0, 0.0)])
def test_a_layer_that_saves_more_leaves_less_to_do(saves: float, in_all: float, rest: float) -> None:
    assert expected(10.0, 100.0, saves) == pytest.approx(in_all)
    assert where_not_saved(100.0, saves) == pytest.approx(rest)


def test_one_layer_of_four_takes_a_quarter() -> None:
    assert of_one_layer(8.0, 4) == 2.0
