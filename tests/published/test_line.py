"""From the readings of several bores to one axis: closed forms, and the whole road about that axis."""

import math
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.bore import line, survey, walls
from estimator.document import lines as write_lines
from estimator.errors import DocumentError, JobRefusedError
from tests.jobs import bore, codes, job
from tests.raw import estimate

CLOCK = list(range(0, 360, 5))


def moved(nominal: float, by: float, at: float) -> Any:
    """Return radii [mm] of a round hole of nominal size + 1 mm with its centre `by` mm off."""
    size = nominal / 2 + 0.5
    row = []
    for angle in CLOCK:
        off = math.radians(angle - at)
        row.append(round(by * math.cos(off) + math.sqrt(size**2 - (by * math.sin(off)) ** 2), 7))
    return {"kind": "radius", "unit": "mm", "clock": CLOCK, "depth": [0, 60], "values": [row, row]}


def line_of(*bores: Any, **rules: Any) -> Any:
    placed = [
        bore(**{"line": "pin", "length": "60 mm", "offset": {"x": "0 mm", "y": "0 mm"}, **one, "name": name})
        for name, one in zip("ABCD", bores, strict=False)
    ]
    return job(*placed, **({"lines": {"pin": rules}} if rules else {}))


def at(position: int, readings: Any, **more: Any) -> Any:
    return {"position": f"{position} mm", "readings": readings, **more}


def test_two_holes_moved_alike_are_bored_where_they_lie() -> None:
    """Both centres 0.8 mm towards 6 o'clock: the axis goes there and both clean up at their own size."""
    hole = moved(90, 0.8, 180)
    found = estimate(line_of(at(0, hole), at(300, hole)), read_pricebook())
    told = found["lines"][0]
    chosen, plain = told["axes"][0], {one["choice"]: one for one in told["axes"]}
    assert (chosen["x_mm"], chosen["y_mm"]) == (pytest.approx(0, abs=1e-4), pytest.approx(-0.8, abs=1e-4))
    for one in found["bores"]:
        assert one["sizes"]["cleanup_mm"] == pytest.approx(91 + 2 * 0.5, abs=1e-4)
        assert one["wear"]["wear_about_axis_mm"] == pytest.approx(0.5, abs=1e-4)
        assert one["wear"]["max_radial_wear_mm"] == pytest.approx(1.3, abs=1e-4)  # from the readings' zero, as ever
    wide, tight = 91 + 2 * 0.8 + 1.0, 92.0
    ring = math.pi / 4 * (wide**2 - tight**2) * 60 * 2
    assert told["saves"]["against"] == "worn holes" or told["saves"]["required_volume_mm3"] == pytest.approx(ring)
    more = plain["original centres"]["required_volume_mm3"] - chosen["required_volume_mm3"]
    assert more == pytest.approx(ring, rel=1e-4)
    assert "axis_moved" in codes(found)


def test_holes_moved_opposite_ways_tilt_the_axis() -> None:
    """0.6 mm down at one end, up at the other, 300 mm apart: 1.2 mm over 300 mm is 4 mm a metre."""
    found = estimate(line_of(at(0, moved(90, 0.6, 180)), at(300, moved(90, 0.6, 0))), read_pricebook())
    assert found["lines"][0]["axes"][0]["tilt_y_mm_m"] == pytest.approx(1.2 / 0.3, rel=0.01)  # each bore is 60 mm long


def test_a_position_tolerance_holds_the_axis_back() -> None:
    hole = moved(90, 0.8, 180)
    rules = {"position_tolerance": "1 mm"}
    found = estimate(line_of(at(0, hole, **rules), at(300, hole, **rules)), read_pricebook())
    chosen = found["lines"][0]["axes"][0]
    assert chosen["y_mm"] == pytest.approx(-0.5, abs=1e-5)  # half of a zone of 1 mm
    assert any("position of bore" in said for said in chosen["reasons"])
    assert found["bores"][0]["sizes"]["cleanup_mm"] == pytest.approx(2 * (45.5 + 0.3 + 0.5), abs=1e-4)


def test_an_impossible_line_says_who_forbids_it_and_by_how_much() -> None:
    """A datum 2 mm beside the wire and a zone of 1 mm about it: 2 - 0.5 - 0.1 = 1.4 mm, shared by both."""
    hole = moved(90, 0.2, 180)
    datum = {"name": "tube", "position": "0 mm", "length": "60 mm", "tolerance": "0.2 mm", "offset": {"x": "2 mm"}}
    asked = line_of(at(0, hole, position_tolerance="1 mm"), at(300, hole), datums=[datum])
    with pytest.raises(JobRefusedError) as refused:
        estimate(asked, read_pricebook())
    said = str(refused.value)
    assert said.startswith("lines.pin: ") and "datum tube" in said and "position of bore A" in said
    assert "0.7 mm" in said  # each rule would have to give half of 1.4 mm


def test_a_diameter_with_an_offset_is_a_circle_there() -> None:
    readings = {"kind": "diameter", "unit": "mm", "clock": [0, 90], "depth": [30], "values": [[91.0, 91.0]]}
    place = {"x": "0 mm", "y": "-0.8 mm"}
    hole = line_of(at(0, readings, offset={**place, "of": "worn hole"}, position_tolerance="0.2 mm"))
    found = estimate(hole, read_pricebook())
    assert found["bores"][0]["sizes"]["cleanup_mm"] == pytest.approx(2 * (45.5 + 0.7 + 0.5), abs=2e-3)
    zero = line_of(at(0, readings, offset=place, position_tolerance="0.2 mm"))
    wide = estimate(zero, read_pricebook())["bores"][0]  # all wear may lie on one side of the zero
    assert wide["sizes"]["cleanup_mm"] == pytest.approx(2 * (46.0 + 0.7 + 0.5), abs=2e-3)


def test_diameters_on_a_line_clean_up_no_less_than_off_it() -> None:
    """The contract's rule: clean-up is at least nominal and twice the wear and allowance; no axis takes that away."""
    alone = estimate(job(bore()), read_pricebook())["bores"][0]["sizes"]["cleanup_mm"]
    lined = estimate(job(bore(line="pin", position="0 mm"), lines={"pin": {}}), read_pricebook())
    assert lined["bores"][0]["sizes"]["cleanup_mm"] >= alone - 2e-3


def test_a_line_that_was_cut_as_planned_varies_by_nothing() -> None:
    hole = moved(90, 0.8, 180)
    planned = line_of(at(0, hole), at(300, hole))
    sizes = [one["sizes"]["cleanup_mm"] for one in estimate(planned, read_pricebook())["bores"]]
    cut = line_of(*(at(n * 300, hole, cleanup_diameter=f"{size} mm") for n, size in enumerate(sizes)))
    found = estimate(cut, read_pricebook())
    assert found["variation"]["price_more"] == "0.00"
    assert found["bores"][0]["sizes"]["wall_left_mm"] == pytest.approx((170 - sizes[0]) / 2 - 0.8, abs=1e-3)


def test_measured_walls_lose_what_the_axis_moves_towards_them() -> None:
    """The axis goes 0.8 mm to 6 o'clock: the wall at 6 loses it, the wall at 12 gains it, at 3 and 9 nothing."""
    walls_given = {"clock": [0, 90, 180, 270], "thickness": ["20 mm"] * 4}
    hole = moved(90, 0.8, 180)
    found = estimate(line_of(at(0, hole, walls=walls_given), at(300, hole)), read_pricebook())["bores"][0]
    left = found["sizes"]["clock_walls"]["wall_left_mm"]
    cut = (found["sizes"]["cleanup_mm"] - 90) / 2
    assert left == pytest.approx([20 - cut + 0.8, 20 - cut, 20 - cut - 0.8, 20 - cut], abs=1e-3)
    assert walls.towards(1e-3, 2e-3, 0.6, 0.8) == pytest.approx(2.2e-3)
    assert walls.wall_under(0.020, 0.003, 0.0005) == pytest.approx(0.0165)
    assert line.to_micrometre(0.0464831, 1e-6) == pytest.approx(0.046484)


def test_rules_that_nothing_would_keep_are_refused() -> None:
    lone = job(bore(line="pin", position="0 mm", position_tolerance="0.2 mm"))
    with pytest.raises(DocumentError, match="how the line's bores lie"):
        estimate(lone, read_pricebook())
    both = line_of(at(0, moved(90, 0.2, 180), sector={"from": 120, "to": 240}))
    with pytest.raises(DocumentError, match="the axis of its line is sought"):
        estimate(both, read_pricebook())


def test_the_wall_loses_what_the_axis_moves() -> None:
    assert walls.wall_beside(0.040, 0.0007) == pytest.approx(0.0393)
    assert survey.cleanup_about(0.0463) == pytest.approx(0.0926)
    assert survey.met_at(0.0906, 0.0007) == pytest.approx(0.0892)
    assert write_lines.across(0.001, 0.004, 0.25) == pytest.approx(0.002)
    assert write_lines.doubled(0.0463, 2.0) == pytest.approx(0.0926)
    assert write_lines.saved_mass(46e-6, 7850.0) == pytest.approx(0.3611)
    hole = moved(90, 0.8, 180)
    found = estimate(line_of(at(0, hole), at(300, hole)), read_pricebook())["bores"][0]
    assert found["sizes"]["wall_left_mm"] == pytest.approx((170 - 92) / 2 - 0.8, abs=1e-3)


@pytest.mark.parametrize(
    ("change", "path", "cure"),
    [
        ({"line": None, "position": None}, "bores.0", "say the line"),
        ({"position": None}, "bores.0", "say the line"),
        ({"offset": {"x": ["0 mm", "1 mm"], "y": "0 mm"}}, "bores.0.offset.x", "one each is due"),
        ({"offset": {"x": ["0 mm"], "y": ["0 mm"], "depth": ["80 mm"]}}, "bores.0.offset.depth.0", "beyond"),
    ],
)
def test_what_is_wrong_with_a_line_is_named(change: Any, path: str, cure: str) -> None:
    asked = line_of(at(0, moved(90, 0.2, 180)))
    asked["bores"][0] = {k: v for k, v in {**asked["bores"][0], **change}.items() if v is not None}
    with pytest.raises(DocumentError) as wrong:
        estimate(asked, read_pricebook())
    assert any(fault.path.startswith(path) and cure in fault.message for fault in wrong.value.faults)


def test_a_line_without_bores_is_a_fault() -> None:
    asked = line_of(at(0, moved(90, 0.2, 180)))
    with pytest.raises(DocumentError, match="did you mean 'pin'"):
        estimate({**asked, "lines": {"pim": {}}}, read_pricebook())
