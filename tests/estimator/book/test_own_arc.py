"""The shop's own arc: pairs and a test bead move a wire's row, and the plan says by how much."""

from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from estimator.trust.explain import explain
from estimator.units import rescaled
from tests.jobs import job

NAME = "G3Si1 1.0 mm"
LAW = read_pricebook().facts.rows("wires")[NAME].feed_linear * 60  # pyrefly: ignore[missing-attribute] # a wire's row; m/min a A


def pairs(*feeds: float, at: tuple[float, ...] = (100, 125, 150)) -> list[dict[str, str]]:
    return [{"current": f"{amps} A", "feed": f"{feed} m/min"} for amps, feed in zip(at, feeds, strict=True)]


def bead(**changes: str) -> dict[str, str]:
    return {"current": "130 A", "travel": "360 mm/min", "width": "7.4 mm", "height": "2 mm", **changes}


def book(own: Any, name: str = NAME) -> Any:  # a price book
    return read_pricebook({"own_arc": {name: own}})


def built(own: Any) -> Any:
    found: Any = estimate(job(), book(own))["bores"][0]["buildup"]
    return found


def test_pairs_on_the_row_itself_move_nothing_but_the_scatter() -> None:
    plain = estimate(job(), read_pricebook())["bores"][0]["buildup"]
    own = built({"pairs": pairs(100 * LAW, 125 * LAW, 150 * LAW)})
    assert plain["own_arc"] is None
    assert own["own_arc"]["feed_moved"] == pytest.approx(0, abs=1e-9)
    assert own["own_arc"]["aspect_moved"] == 0
    assert own["arc_time_min"] == pytest.approx(plain["arc_time_min"], rel=1e-7)
    assert (plain["feed_scatter"], own["feed_scatter"]) == (0.15, 0.03)


def test_a_hungrier_arc_takes_less_time_for_the_same_metal() -> None:
    plain = estimate(job(), read_pricebook())["bores"][0]["buildup"]
    own = built({"pairs": pairs(110 * LAW, 137.5 * LAW, 165 * LAW)})
    assert own["own_arc"]["feed_moved"] == pytest.approx(0.1, abs=1e-9)
    assert own["layers"][-1]["wire_feed_m_min"] == pytest.approx(1.1 * plain["layers"][-1]["wire_feed_m_min"])
    assert own["arc_time_min"] < plain["arc_time_min"]
    assert "wire feed +10 % at 140 A by 3 pairs" in own["own_arc"]["text"]


def test_pairs_that_waver_leave_more_scatter() -> None:
    own = built({"pairs": pairs(100 * LAW * 1.05, 125 * LAW * 0.95, 150 * LAW * 1.02)})
    assert 0.05 < own["feed_scatter"] < 0.15


def test_the_test_bead_sets_width_over_height() -> None:
    own = built({"pairs": pairs(100 * LAW, 125 * LAW, 150 * LAW), "bead": bead()})
    assert own["own_arc"]["aspect_moved"] == pytest.approx(3.7 / 3 - 1)
    for layer in own["layers"]:
        assert layer["bead_width_mm"] / layer["bead_height_mm"] == pytest.approx(3.7)


def test_a_plan_beyond_the_pairs_says_so() -> None:
    own = built({"pairs": pairs(90 * LAW, 105 * LAW, 120 * LAW, at=(90, 105, 120))})
    assert "outside these pairs" in own["own_arc"]["text"]


def test_another_wire_is_not_moved() -> None:
    plain = estimate(job(), read_pricebook())["bores"][0]["buildup"]
    other = estimate(job(), book({"pairs": pairs(2.9, 3.6, 4.4, at=(150, 180, 210))}, "E70C-6M 0.045 in"))
    assert other["bores"][0]["buildup"]["layers"] == plain["layers"]


def test_the_moved_feed_is_explained_back_to_the_shop_own_pairs() -> None:
    own = book({"pairs": pairs(110 * LAW, 137.5 * LAW, 165 * LAW)})
    said = explain(job(), own, "bores.0.buildup.own_arc.feed_moved")
    assert "price book, own_arc" in str(said)


GOOD = pairs(3.3, 4.1, 4.9)
NONSENSE: list[tuple[Any, str, str]] = [
    ({"pairs": GOOD[:2]}, "pairs", "3"),
    ({"pairs": pairs(3.3, 41, 4.9)}, "pairs.1.feed", "times what charts print"),
    ({"pairs": pairs(33, 41, 49)}, "pairs.2.feed", "check unit and decimal point"),
    ({"pairs": pairs(4.9, 4.1, 3.3)}, "pairs.1.feed", "rises with the current"),
    ({"pairs": pairs(4.1, 4.2, 4.0, at=(120, 121, 122))}, "pairs", "all stand at one current"),
    ({"pairs": pairs(3.3, 3.4, 5.9, 6.0, at=(100, 120, 126, 150))}, "pairs.", "off the law"),
    ({"pairs": [{"current": "100 V", "feed": "3.3 m/min"}, *GOOD[1:]]}, "pairs.0.current", "current"),
    ({"pairs": [{"current": "100 A", "feed": "3.3 mm"}, *GOOD[1:]]}, "pairs.0.feed", "speed"),
    ({"pairs": GOOD, "bead": bead(height="0.5 mm")}, "bead", "as wide as high"),
    ({"pairs": GOOD, "bead": bead(travel="36 mm/min")}, "bead", "times what the wire lays"),
    ({"pairs": GOOD, "bead": {"width": "7 mm"}}, "bead.current", "missing"),
    ({"pairs": GOOD, "beed": bead()}, "beed", "bead"),
]


@pytest.mark.parametrize(("own", "path", "said"), NONSENSE, ids=[f"{n}-{one[1]}" for n, one in enumerate(NONSENSE)])
def test_nonsense_is_a_fault_at_its_key(own: Any, path: str, said: str) -> None:
    with pytest.raises(DocumentError) as caught:
        book(own)
    faults = caught.value.faults
    assert any(f.path.startswith(f"own_arc.{NAME}.{path}") and said in f.message for f in faults), faults


def test_an_unknown_wire_is_a_fault_with_near_names() -> None:
    with pytest.raises(DocumentError) as caught:
        book({"pairs": GOOD}, "G3Si1 1.1 mm")
    assert caught.value.faults[0].path == "own_arc.G3Si1 1.1 mm"
    assert "G3Si1 1.0 mm" in caught.value.faults[0].message


def test_the_own_arc_is_the_same_in_other_base_units() -> None:
    own = {"pairs": pairs(2.9, 4.2, 6.1, at=(90, 120, 160)), "bead": bead()}
    before = built(own)
    with rescaled(2.0, 0.3, 1.7, 0.6, 4.1):
        after = built(own)
    wanted = (before["own_arc"]["feed_moved"], before["feed_scatter"], before["arc_time_min"])
    assert (after["own_arc"]["feed_moved"], after["feed_scatter"], after["arc_time_min"]) == pytest.approx(wanted)
