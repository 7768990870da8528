"""The bar as a beam, forces, torque, roughness and life of an edge against worked examples and closed forms."""

import itertools
import math
from typing import Any

import numpy as np
import pytest

from estimator.book.pricebook import read_pricebook
from estimator.cut import bars, beam, depth, hardness, life, passes, surface
from estimator.tables.rows import Cutting, HardnessCut

FACTS = read_pricebook().facts
MPA = 1e6


def test_a_bar_of_the_trade_press_bends_as_printed() -> None:
    """Isakov, CTE July 2019: 25.4 mm, 101.6 mm out, 911.1 N, 20.6e4 N/mm2: I 20432 mm4, 0.0757 mm.

    The same in inch: 1 in, 4 in, 207.84 lbf, 30e6 psi: 0.0491 in4, 0.003 in.
    """
    moment = beam.solid_moment(25.4e-3)
    assert moment * 1e12 == pytest.approx(20432, abs=1)
    assert beam.bending(911.1, beam.overhung(101.6e-3, 206000 * MPA, moment)) * 1e3 == pytest.approx(0.0757, abs=5e-5)
    inch = beam.solid_moment(1.0)
    assert inch == pytest.approx(0.0491, abs=5e-5)
    assert beam.bending(207.84, beam.overhung(4.0, 30e6, inch)) == pytest.approx(0.003, abs=5e-5)


def test_a_tube_is_a_bar_less_its_hollow() -> None:
    whole, hollow = beam.solid_moment(0.050), beam.solid_moment(0.030)
    assert beam.tube_moment(0.050, 0.030) == pytest.approx(whole - hollow, rel=1e-12)
    assert beam.tube_moment(0.050, 0.0) == pytest.approx(whole, rel=1e-12)


def test_between_bearings_is_the_tables_centre_case() -> None:
    """Any table of beams: F L^3 / 48 EI at the centre. 40 mm, 600 mm, 500 N, 210 GPa: 0.0853; at a third 0.0674 mm."""
    moment, steel = beam.solid_moment(0.040), 210000 * MPA
    centre = beam.between(0.3, 0.3, steel, moment)
    assert centre == pytest.approx(0.6**3 / (48 * steel * moment), rel=1e-12)
    assert beam.bending(500.0, centre) * 1e3 == pytest.approx(0.0853, abs=5e-5)
    assert beam.bending(500.0, beam.between(0.2, 0.4, steel, moment)) * 1e3 == pytest.approx(0.0674, abs=5e-5)


def _by_differences(before: float, after: float, force: float, stiffness: float, steps: int = 600) -> float:
    """Return the deflection under a force between two supports, EI y'' = -M, by finite differences."""
    places = np.linspace(0.0, before + after, steps + 1)
    width = places[1]
    moment = np.where(
        places <= before,
        force * after / (before + after) * places,
        force * before / (before + after) * (places[-1] - places),
    )
    matrix = np.diag(np.full(steps - 1, -2.0)) + np.diag(np.ones(steps - 2), 1) + np.diag(np.ones(steps - 2), -1)
    inside = np.linalg.solve(matrix, -moment[1:-1] / stiffness * width**2)
    return float(np.interp(before, places[1:-1], inside))


@pytest.mark.parametrize(("before", "after"), [(0.155, 0.155), (0.12, 0.42), (0.35, 0.13)])
def test_between_bearings_solves_the_beams_equation(before: float, after: float) -> None:
    """The beam's differential equation solved on a grid; its error falls with the square of the step."""
    moment, steel = beam.solid_moment(0.032), 206000 * MPA
    solved = _by_differences(before, after, 400.0, steel * moment)
    assert beam.bending(400.0, beam.between(before, after, steel, moment)) == pytest.approx(solved, rel=1e-3)


def test_force_and_torque_of_a_cut_worked_out_by_hand() -> None:
    """Reference job, D 100, 1990 and 0.26, 0.25 mm a turn, 1.5 mm, 30 m/min: 1070 N, 53.5 N m, 0.535 kW at the bore."""
    force = beam.tangential_force(passes.specific_force(1990 * MPA, 0.25e-3, 1e-3, 0.26), 1.5e-3, 0.25e-3)
    assert force == pytest.approx(1070, abs=1)
    assert beam.torque_at(force, 0.100) == pytest.approx(53.5, abs=0.1)
    assert beam.torque_at(force, 0.100) * 2 * math.pi * 0.5 / (math.pi * 0.100) == pytest.approx(535, abs=0.5)
    assert beam.radial_force(force, 0.3) == pytest.approx(321, abs=0.3)


def test_a_printed_force_of_turning() -> None:
    """Kalpakjian, ex. 22.1 p. 600 (read in a companion): 4 W s/mm3 at 0.123 in3/min: 116 lb, 0.18 hp.

    Mean diameter 0.490 in, 400 turns a minute; chip of 0.010 in by 0.020 in.
    """
    force = beam.tangential_force(4000 * MPA, 0.010 * 25.4e-3, 0.020 * 25.4e-3)
    assert force / 4.4482216 == pytest.approx(116, abs=0.5)
    assert beam.torque_at(force, 0.490 * 25.4e-3) * 400 / 60 * 2 * math.pi / 745.7 == pytest.approx(0.180, abs=0.001)


def test_depths_solved_back_give_what_held_them() -> None:
    kc, feed = passes.specific_force(1990 * MPA, 0.2e-3, 1e-3, 0.26), 0.2e-3
    by_torque = passes.deepest_by_torque(50.0, kc, feed, 0.120)
    assert beam.torque_at(beam.tangential_force(kc, by_torque, feed), 0.120) == pytest.approx(50.0, rel=1e-12)
    soft = beam.between(0.2, 0.2, 206000 * MPA, beam.solid_moment(0.025))
    deep = beam.depth_that_bends(0.1e-3, soft, kc, feed, 0.3)
    bent = beam.bending(beam.radial_force(beam.tangential_force(kc, deep, feed), 0.3), soft)
    assert bent == pytest.approx(0.1e-3, rel=1e-12)


def test_a_bar_that_bends_leaves_twice_that_on_the_diameter() -> None:
    """Geometry; a quarter of H8 at 90 mm (54 um, ISO 286-2) is 6.75 um on one side."""
    assert beam.diameter_error(0.010e-3) == pytest.approx(0.020e-3)
    assert depth.allowed_bending(90.054e-3, 90.0e-3, 0.25) == pytest.approx(6.75e-6, rel=1e-9)


def test_a_spring_pass_leaves_what_equilibrium_leaves() -> None:
    """Force in proportion to depth, k: stock s is cut s - y deep where y = k (s - y). Iterated, not solved."""
    ratio, stock, bent = 0.25, 0.3e-3 * 0.25, 0.0
    for _ in range(200):
        bent = ratio * (stock - bent)
    assert beam.left_after_spring(stock, 0.3e-3) == pytest.approx(bent, rel=1e-12)


def test_roughness_of_a_printed_feed() -> None:
    """Carbide maker's formula page: 0.2 mm a turn, nose 0.8 mm: Rz 6.25 um.

    machinecalcs.com: Ra = f^2 / 31.2 r, 1.60 um.
    """
    assert surface.peak_to_valley(0.2e-3, 0.8e-3, 1.0) * 1e6 == pytest.approx(6.25, rel=1e-9)
    assert surface.ra_of(0.2e-3, 0.8e-3, 1.0) * 1e6 == pytest.approx(1.60, abs=0.005)
    assert surface.feed_for(surface.ra_of(0.2e-3, 0.8e-3, 2.0), 0.8e-3, 2.0) == pytest.approx(0.2e-3, rel=1e-12)


@pytest.mark.parametrize("feed", [0.05e-3, 0.1e-3, 0.2e-3])
def test_roughness_is_that_of_the_arc_itself(feed: float) -> None:
    """The nose's arc sampled over one feed: peak to valley, and mean departure from the mean line (ISO 21920-2 Ra)."""
    nose = 0.4e-3
    x = np.linspace(-feed / 2, feed / 2, 20001)
    profile = nose - np.sqrt(nose**2 - x**2)
    rough = np.mean(np.abs(profile - np.mean(profile)))
    # the parabola falls short of the arc by (f/2r)^2 / 4, 1.6 % at half the nose radius
    assert surface.ra_of(feed, nose, 1.0) == pytest.approx(rough, rel=0.02)
    assert surface.peak_to_valley(feed, nose, 1.0) == pytest.approx(np.ptp(profile), rel=0.02)


def _life(
    minutes: float, n: float, a: float, b: float, speed: float = 1.0, feed: float = 1.0, deep: float = 1.0
) -> float:
    return life.lasting(minutes, life.life_ratio(speed, 1.0, feed, 1.0, deep, 1.0, n, a, b))


def test_taylors_life_as_printed() -> None:
    """Sharma (read in a companion): ex. 14.1 p. 563, 18 m/min 180 min n 0.125, at 24 m/min 18 min; 14.7 p. 568.

    Kalpakjian, ex. 20.2 p. 555: n 0.5, speed halved: life + 300 %.
    """
    assert _life(180, 0.125, 0, 0, 24 / 18) == pytest.approx(18.0, abs=0.05)
    assert _life(90, 0.22371, 0, 0, 35 / 25) == pytest.approx(20.0, abs=0.02)
    assert _life(1, 0.5, 0, 0, 0.5) == pytest.approx(4.0, rel=1e-12)


@pytest.mark.parametrize(
    ("more", "minutes"),
    [
        ({"speed": 1.2}, 14.76),
        ({"feed": 1.2}, 20.38),
        ({"deep": 1.2}, 35.71),
        ({"speed": 1.2, "feed": 1.2, "deep": 1.2}, 2.98),
    ],
)
def test_taylors_life_with_feed_and_depth_as_printed(more: dict[str, float], minutes: float) -> None:
    """Sharma, ex. 14.4 p. 566 (read in a companion): 60 min; exponents 0.13, 0.77, 0.37; a fifth more of each."""
    assert _life(60, 0.13, 0.77, 0.37, **more) == pytest.approx(minutes, abs=0.01)


def test_edges_are_time_over_life() -> None:
    assert life.edges_used(30.0, 25.0) == pytest.approx(1.2)
    used = life.use_of([1.0, 0.5], [30.0, 5.0], 10.0)
    assert used.lives == (10.0, 5.0) and used.edges == (3.0, 1.0) and used.total == 4.0
    times: Any = np.array([30.0, 60.0])
    assert np.asarray(life.use_of([1.0, 0.5], [times, 5.0], times / 3).total) == pytest.approx([4.0, 3.5])


# Ferrous Metals Data Book Table 9-3, medium carbon steel, coated carbide at 1.0 mm: ft/min by Brinell hardness.
SPEEDS = {150: 925, 300: 700, 350: 575, 400: 475}


@pytest.mark.parametrize("brinell", SPEEDS)
def test_speed_falls_with_hardness_as_the_data_book_has_it(brinell: int) -> None:
    row = FACTS.row("hardness_cut", f"{brinell} HB", HardnessCut)
    assert row.speed == pytest.approx(SPEEDS[brinell] / 925, abs=0.001)


def test_hardness_between_the_rows_lies_on_a_straight_line() -> None:
    points = [(row.hardness, row.speed) for row in FACTS.every("hardness_cut", HardnessCut)]
    for hard in (120.0, 275.0, 310.0, 390.0, 500.0):
        (low, at_low), (high, at_high) = next(
            (p, q) for p, q in itertools.pairwise(points) if hard <= q[0] or q is points[-1]
        )
        told = hardness.between_rows(hard, low, high, at_low, at_high)
        assert told == pytest.approx(np.interp(hard, [one[0] for one in points], [one[1] for one in points]), rel=1e-12)


def test_a_hard_steel_is_cut_at_the_data_books_speed() -> None:
    """The row of carbon steel stands at 300 HB, 213 m/min (Table 9-3: 700 ft/min); at 400 HB it has 475 ft/min."""
    row = FACTS.row("cutting", "carbon", Cutting)
    hard = hardness.at_hardness(row, 400.0, FACTS)
    assert hard.speed * 60 / 0.3048 == pytest.approx(475, rel=0.005)  # the tables are in whole m/min and thousandths
    assert hardness.slowed(2.0, 0.5, 0.8) == pytest.approx(1.25)
    assert hardness.at_hardness(row, 250.0, FACTS) == hardness.at_hardness(row, None, FACTS)


def test_distances_along_the_bar() -> None:
    assert bars.reach_between(0.155, 0.2) == pytest.approx(0.355)
    assert bars.narrowest(0.0901, 0.090, 0.087, 0.7e-3, 0.6e-3) == pytest.approx(0.0844)
    assert bars.narrowest(0.0801, 0.080, 0.087, 0.7e-3, 0.6e-3) == pytest.approx(0.080)
