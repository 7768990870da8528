"""Where a line's axis lies and what it may take off: offsets, least walls, the better of the plain axes, by hand."""

import math
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.errors import JobRefusedError
from tests.published.test_line import at, line_of, moved
from tests.raw import estimate

BOOK = read_pricebook()


def offset(x: list[float], y: list[float], depth: list[float]) -> Any:
    return {name: [f"{each} mm" for each in row] for name, row in (("x", x), ("y", y), ("depth", depth))}


# ---------------------------------------------------------------- offsets


def test_offsets_come_in_any_order() -> None:
    """Like rows of readings: a table of depths read from the far face first is the same table."""
    table = ([0.2, 0.5, 0.1], [0.0, -0.3, 0.4], [0.0, 25.0, 60.0])
    back = tuple(row[::-1] for row in table)
    hole = moved(90, 0.8, 90)
    jobs = (line_of(at(0, hole, offset=offset(*one)), at(300, hole)) for one in (table, back))
    forth, reversed_ = (estimate(one, BOOK) for one in jobs)
    assert forth.pop("input_sha256") != reversed_.pop("input_sha256")
    assert forth == reversed_


def test_the_axis_of_a_tilted_zero_is_told_at_mid_length() -> None:
    """The zero runs from 0.2 to 0.6 mm, so it lies at 0.4 in the middle; the hole lies 0.8 mm to 3 o'clock of it."""
    tilted = offset([0.2, 0.6], [-0.1, -0.5], [0.0, 60.0])
    found = estimate(line_of(at(0, moved(90, 0.8, 90), offset=tilted)), BOOK)
    axis, bores = found["bores"][0]["sizes"]["clock_axis"], found["lines"][0]["axes"][0]["bores"]
    assert (axis["x_mm"], axis["y_mm"]) == (pytest.approx(0.8, abs=1e-4), pytest.approx(0.0, abs=1e-4))
    assert bores[0]["x_mm"] == pytest.approx(0.4 + 0.8, abs=1e-4)  # across the line, from the wire
    assert bores[0]["y_mm"] == pytest.approx(-0.3, abs=1e-4)


# ---------------------------------------------------------------- the least wall


@pytest.mark.parametrize(("outside", "short"), [(99.4, 0.1), (98.0, 0.8), (99.8, None)])
def test_a_line_keeps_three_millimetres_of_wall(outside: float, short: float | None) -> None:
    """A hole of 91 mm, 0.8 mm off its centre, is cleaned to 45.5 + 0.8 + 0.5 = 46.8 mm from that centre.

    Wherever the axis goes between, radius and shift together stay that; 3 mm of wall must stand outside them.
    """
    asked = line_of(at(0, moved(90, 0.8, 180), outside_diameter=f"{outside} mm"))
    if short is None:
        left = estimate(asked, BOOK)["bores"][0]["sizes"]["wall_left_mm"]
        assert left == pytest.approx(outside / 2 - 46.8, abs=2e-3)  # bars are set to whole micrometres
        return
    with pytest.raises(JobRefusedError) as refused:
        estimate(asked, BOOK)
    (fault,) = refused.value.faults
    assert fault.path == "lines.pin" and f"would have to give {short} mm" in fault.message


# ---------------------------------------------------------------- what it saves


def volume(axis: Any, found: Any) -> float:
    """Return the ring between clean-up and weld bores of all bores about an axis. [mm3]"""
    welds = [one["sizes"]["weld_mm"] for one in found["bores"]]
    pairs = zip(axis["bores"], welds, strict=True)
    return math.fsum(math.pi / 4 * (bore["cleanup_mm"] ** 2 - weld**2) * 60.0 for bore, weld in pairs)


def lens(deepest: float, half: float) -> Any:
    """Return radii [mm] of a round hole worn as a cosine towards 6 o'clock over part of the clock."""
    row = []
    for angle in range(0, 360, 5):
        off = abs(angle - 180)
        row.append(round(45.02 + (deepest * math.cos(math.pi / 2 * off / half) if off < half else 0.0), 6))
    return {"kind": "radius", "unit": "mm", "clock": list(range(0, 360, 5)), "depth": [0, 60], "values": [row, row]}


ZIGZAG = (moved(90, 0.8, 180), moved(90, 0.2, 0), moved(90, 0.8, 180))
DENTED = (lens(1.5, 20), lens(1.5, 60), lens(0.8, 20))


@pytest.mark.parametrize("holes", [ZIGZAG, DENTED])
def test_savings_are_told_against_the_better_of_two_plain_axes(holes: tuple[Any, ...]) -> None:
    found = estimate(line_of(*(at(n * 200, hole) for n, hole in enumerate(holes))), BOOK)
    (told,) = found["lines"]
    chosen, *plain = told["axes"]
    assert [one["feasible"] for one in told["axes"]] == [True] * 3
    needs = {one["choice"]: volume(one, found) for one in plain}
    better = min(needs, key=needs.__getitem__)
    assert max(needs.values()) > 1.01 * min(needs.values())  # the two differ, so that taking the other one shows
    assert told["saves"]["against"] == better
    saved = needs[better] - volume(chosen, found)
    assert told["saves"]["required_volume_mm3"] == pytest.approx(saved, rel=1e-6) and saved > 0
    assert told["saves"]["deposit_mass_kg"] == pytest.approx(saved * 7850e-9, rel=1e-6)


def test_savings_are_not_told_against_an_axis_that_may_not_be_taken() -> None:
    """The worn holes lie 0.8 mm off, outside zones of 1 mm across: only the original centres are left to compare."""
    zone = {"position_tolerance": "1 mm"}
    found = estimate(line_of(at(0, moved(90, 0.8, 180), **zone), at(300, moved(90, 0.8, 180), **zone)), BOOK)
    (told,) = found["lines"]
    chosen, plain = told["axes"][0], {one["choice"]: one for one in told["axes"][1:]}
    assert not plain["worn holes"]["feasible"] and told["saves"]["against"] == "original centres"
    saved = volume(plain["original centres"], found) - volume(chosen, found)
    assert told["saves"]["required_volume_mm3"] == pytest.approx(saved, rel=1e-6)
