"""Heat in the boss and its plate, formula by formula, against closed forms and textbooks."""

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import exp1, k0, k1

from estimator.either import crossing
from estimator.weld import heat
from estimator.weld.ring import WALL, Ring, ring_of
from tests.published.bosses import BOSSES, RHO, WELDED, Boss, C, H, K, endless, endless_body, lump, lumped

Array = npt.NDArray[np.float64]

USUAL = BOSSES[0]
FINE = 0.01  # the rings are as coarse as speed wants them; ten times as many move a rise by less
LITTLE, SMALL = 1e-3, 0.02  # losses that nothing notices [W/m²/K]
DIFFUSIVITY = K / (RHO * C)


def _cold(ring: Ring) -> heat.Warmth:
    return heat.Warmth(ring, np.zeros(ring.decay.shape))


def _nodes(warmth: heat.Warmth) -> Array:
    rises: Array = warmth.ring.modes @ warmth.parts
    return rises


def _bore(warmth: heat.Warmth) -> float:
    return heat.bore_temperature(0.0, warmth)


# ---------------------------------------------------------------- closed forms of a plate without a boss


@pytest.mark.parametrize("time", [300.0, 1000.0, 3000.0])
def test_a_steady_line_source_in_a_plate_is_the_exponential_integral(time: float) -> None:
    """Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., 10.4 (5): P / (4 pi k s) E1(r^2 / 4 a t)."""
    ring = endless(0.100, 0.010, 0.030, 0.030, RHO, C, K, 1.0)
    radii = endless_body(0.100, 0.010, 0.030, 0.030, K, 1.0).radii[WALL - 3 : WALL + 1]
    lost = 2 * 1.0 / (RHO * C * 0.030)  # a little, so that the rings end near enough to be fine; so b of Rykalin's
    closed = [
        1000.0
        / (4 * math.pi * K * 0.030)
        * quad(lambda t, r=r: math.exp(-(r**2) / (4 * DIFFUSIVITY * t) - lost * t) / t, 0, time)[0]
        for r in radii.tolist()
    ]
    assert closed == pytest.approx(
        1000.0 / (4 * math.pi * K * 0.030) * exp1(radii**2 / (4 * DIFFUSIVITY * time)), rel=0.05
    )
    rises = _nodes(heat.welded(_cold(ring), 1000.0, time))[WALL - 3 : WALL + 1]
    assert rises == pytest.approx(closed, rel=2 * FINE)  # rings of 1.3 times the one before, coarse for so small a hole


@pytest.mark.parametrize("time", [600.0, 2000.0, 6000.0])
def test_a_burst_in_a_plate_with_losses_is_rosenthals_and_rykalins(time: float) -> None:
    """Rykalin, Calculation of Heat Processes in Welding (1951), thin plate: Q/s / (4 pi k t) exp(-r^2/4at - bt).

    With b = 2h / (rho c s); Rosenthal's thin plate is this, moved along. Here at the edge of the hole.
    """
    ring = endless(0.100, 0.010, 0.030, 0.030, RHO, C, K, H)
    after = heat.cooled(heat.welded(_cold(ring), 1e5, 1.0), time)
    lost = 2 * H / (RHO * C * 0.030)
    closed = 1e5 / 0.030 / (4 * math.pi * K * time) * math.exp(-lost * time)
    assert _bore(after) == pytest.approx(closed, rel=2 * FINE)  # rings that widen fast round a small hole


def test_a_plate_heated_for_ever_is_an_endless_fin() -> None:
    """Incropera, Fundamentals of Heat and Mass Transfer, 3.6.4: annular fin, here endless.

    P K0(mr) / (2 pi k s m r K1(mr)), with what the bore's open ends lose beside it.
    """
    ring = endless(0.170, 0.097, 0.030, 0.030, RHO, C, K, H)
    m, r = math.sqrt(2 * H / (K * 0.030)), 0.097 / 2
    through_plate = 2 * math.pi * K * 0.030 * m * r * k1(m * r) / k0(m * r)
    through_bore = H * math.pi * 0.097 * 0.030
    warm = heat.welded(_cold(ring), 1000.0, 1e6)
    assert _bore(warm) == pytest.approx(1000.0 / (through_plate + through_bore), rel=FINE)


# ---------------------------------------------------------------- closed forms of a wall


def test_a_wide_bore_is_a_half_space_with_a_constant_flux() -> None:
    """Carslaw and Jaeger 2.9 (8): a thick wall under a steady flux warms by 2 q/k sqrt(a t / pi) at its face."""
    ring, time = endless(21.0, 20.0, 0.1, 0.1, RHO, C, K, LITTLE), 1800.0
    power = 5000.0 * math.pi * 20.0 * 0.1
    closed = 2 * 5000.0 / K * math.sqrt(DIFFUSIVITY * time / math.pi)
    # the heat has reached sqrt(4 a t) = 0.29 m into the wall, five rings only
    assert _bore(heat.welded(_cold(ring), power, time)) == pytest.approx(closed, rel=2 * FINE)


def test_a_wall_under_a_steady_flow_falls_by_the_logarithm() -> None:
    """Incropera 3.32: q ln(r2/r1) / (2 pi k L), exactly, whatever the rings."""
    ring = endless(0.170, 0.097, 0.070, 0.030, RHO, C, K, 1e-6)
    rises = _nodes(heat.welded(_cold(ring), 1000.0, 1e12))
    fall = 1000.0 * math.log(0.170 / 0.097) / (2 * math.pi * K * 0.070)
    assert rises[0] - rises[WALL] == pytest.approx(fall, rel=1e-5)  # what the wall itself loses


def test_a_boss_without_a_plate_is_a_lump() -> None:
    """Definition of heat capacity: an isolated boss rises by P t / B, hundreds of kelvin, which no welder believes."""
    alone = endless(0.170, 0.097, 0.070, 1e-9, RHO, C, 1e6, LITTLE)
    isolated = _bore(heat.welded(_cold(alone), 1890.0, WELDED))
    assert isolated == pytest.approx(1890.0 * WELDED / lump(USUAL)[0], rel=1e-3)  # what it loses all the same
    assert isolated > 700
    assert _bore(heat.welded(_cold(USUAL.ring), 1890.0, WELDED)) < 300


def test_lumped_cooling_textbook() -> None:
    """Holman, Heat Transfer, ex. 4.1: steel ball d 50 mm, h 10, rho 7800, c 460: 450 to 150 in 100 degC takes 5818 s.

    A conducting boss without a plate has the ball's rho c V / h A when its density makes up for its own shape.
    """
    face = math.pi / 4 * (0.170**2 - 0.097**2)
    bore = math.pi * 0.097 * 0.097 / 2
    surface = 2 * face + math.pi * 0.170 * 0.070 + bore
    density = 7800 * (0.05 / 6) * surface / (face * 0.070)
    alone = endless(0.170, 0.097, 0.070, 1e-12, density, 460.0, 1e4, 10.0)
    hot = heat.welded(_cold(alone), 1e9, 350.0 * face * 0.070 * density * 460.0 / 1e9)
    assert heat.cooldown(hot, 50.0) == pytest.approx(5818, abs=3)  # 350 K but for what goes while it is heated


# ---------------------------------------------------------------- the lump as a limit


@pytest.mark.parametrize("boss", BOSSES, ids=str)
def test_rings_and_lump_are_one_where_metal_conducts_well(boss: Boss) -> None:
    """A boss that conducts without end, in a plate that takes little, is one heat capacity to both."""
    apart = []
    for better in (10.0, 100.0, 1000.0):
        like = replace(boss, plate=boss.plate / better**2)
        ring = endless(like.outside, like.inside, like.length, like.plate, RHO, C, better * K, SMALL)
        rise = _bore(heat.welded(_cold(ring), 1890.0, 600.0))
        apart.append(abs(rise / lumped(like, 1890.0, 600.0, better * K, 1e-12) - 1))
    assert apart[0] > apart[1] > apart[2]
    assert apart[2] < FINE


# ---------------------------------------------------------------- laws


@pytest.mark.parametrize("boss", BOSSES, ids=str)
def test_no_heat_is_lost_on_the_way(boss: Boss) -> None:
    """First law: what the arc brings is what the rings hold and what has gone to the air, by quadrature over time."""
    ring, on, off = boss.ring, 900.0, 1500.0
    warm = heat.welded(_cold(ring), 1890.0, on)
    cool = heat.cooled(warm, off)

    def flow(time: float) -> float:
        here = heat.welded(_cold(ring), 1890.0, time) if time < on else heat.cooled(warm, time - on)
        return float(ring.lost @ _nodes(here))

    gone = quad(flow, 0, on, epsabs=0, epsrel=1e-11)[0] + quad(flow, on, on + off, epsabs=0, epsrel=1e-11)[0]
    assert ring.capacity @ _nodes(cool) + gone == pytest.approx(heat.heat_in(1890.0, on), rel=1e-9)


@pytest.mark.parametrize("boss", BOSSES, ids=str)
def test_the_rings_are_the_metal(boss: Boss) -> None:
    """Definition of heat capacity: rings of the boss and of its plate weigh what the boss and the plate weigh."""
    capacity = boss.ring.capacity
    edge = boss.body.radii[-1]
    whole = lump(boss)[0] + RHO * C * boss.plate * math.pi * (edge**2 - boss.outside**2 / 4)
    assert capacity.sum() == pytest.approx(whole, rel=1e-12)


def test_steps_of_any_length_join() -> None:
    ring = USUAL.ring
    once = heat.welded(_cold(ring), 1890.0, 1000.0)
    twice = heat.welded(heat.welded(_cold(ring), 1890.0, 300.0), 1890.0, 700.0)
    assert twice.parts == pytest.approx(once.parts, rel=1e-12)


def test_heat_at_the_rim_warms_the_bore_as_heat_at_the_bore_warms_the_rim() -> None:
    """Reciprocity of Green's functions: so it does not matter on which side of the wall the burner stands."""
    ring = USUAL.ring
    outside = _nodes(heat.flamed(ring, 4000.0, 600.0))[0]
    inside = _nodes(heat.welded(_cold(ring), 4000.0, 600.0))[WALL]
    assert outside == pytest.approx(inside, rel=1e-12)


# ---------------------------------------------------------------- each answer put back


STEPPED = 2e-4  # [K] times come in steps of 1e-4 s, and nothing here warms or cools by 2 K a second


def test_preheating_put_back() -> None:
    time = heat.preheat_time(USUAL.ring, 114.0, 4000.0)
    assert 0 <= _bore(heat.flamed(USUAL.ring, 4000.0, time)) - 114.0 < STEPPED
    assert heat.preheat_time(USUAL.ring, 0.0, 4000.0) == 0.0


def test_burners_warm_it_in_time() -> None:
    needed = heat.burners_for(BOSSES[1].ring, 180.0, 1000.0, 1800.0)
    assert needed > 1
    assert heat.preheat_time(BOSSES[1].ring, 180.0, heat.all_burners(1000.0, needed)) <= 1800.0
    assert heat.preheat_time(BOSSES[1].ring, 180.0, heat.all_burners(1000.0, needed - 1)) > 1800.0


@pytest.mark.parametrize("boss", [BOSSES[2], BOSSES[4], BOSSES[5]], ids=str)
def test_a_layer_goes_to_its_limit_and_ends_there(boss: Boss) -> None:
    """EN ISO 13916: the interpass temperature is that before the next pass; each turn here finds the limit kept."""
    free = heat.free_time(_cold(boss.ring), 1890.0, 3000.0, 238.0)
    full = heat.welded(_cold(boss.ring), 1890.0, free)
    assert 0 <= 238.0 - _bore(full) < STEPPED
    spread = heat.held_time(full, 1890.0, 3000.0 - free, 238.0)
    assert spread > 3000.0 - free
    assert 0 <= 238.0 - _bore(heat.held(full, 1890.0, 3000.0 - free, spread)) < STEPPED
    at = np.linspace(0.01, 1.0, 50) * spread
    between = [_bore(heat.held(full, 1890.0 * (3000.0 - free) / spread, one, one)) for one in at.tolist()]
    assert max(between) <= 238.0 + 1e-6


def test_a_layer_under_its_limit_asks_for_nothing() -> None:
    assert heat.free_time(_cold(USUAL.ring), 1890.0, 600.0, 238.0) == 600.0
    full = heat.welded(_cold(USUAL.ring), 1890.0, 600.0)
    assert heat.held_time(full, 1890.0, 0.0, 238.0) == 0.0
    assert heat.held(full, 1890.0, 0.0, 0.0).parts == pytest.approx(full.parts, rel=1e-15)


def test_a_burner_keeps_the_preheat() -> None:
    """EN 1011-2: the preheat is the least interpass temperature. The burner burns all the while, on the far side."""
    cool = heat.cooled(heat.welded(_cold(USUAL.ring), 1890.0, 300.0), 1200.0)
    power = heat.keeping_power(cool, 1200.0, 120.0)
    warm = heat.kept(cool, power, 1200.0)
    assert _bore(warm) == pytest.approx(120.0, rel=1e-9)
    alone = heat.flamed(USUAL.ring, power, 1200.0)
    assert warm.parts == pytest.approx(cool.parts + alone.parts, rel=1e-12)
    assert heat.keeping_power(cool, 1200.0, 5.0) == 0.0


def test_cooling_put_back() -> None:
    warm = heat.welded(_cold(USUAL.ring), 1890.0, WELDED)
    time = heat.cooldown(warm, 28.0)
    assert 0 <= 28.0 - _bore(heat.cooled(warm, time)) < STEPPED
    assert heat.cooldown(warm, 500.0) == 0.0


def test_arrays_give_what_their_numbers_give() -> None:
    losses, powers = np.array([6.0, 12.0, 24.0]), np.array([1700.0, 1890.0, 2300.0])
    body = endless_body(0.170, 0.097, 0.070, 0.015, K, H)
    many = ring_of(body, RHO, C, K, losses)
    free = heat.free_time(_cold(many), powers, 2000.0 + 0 * powers, 200.0)  # pyrefly: ignore[bad-argument-type] # arrays of numbers
    held = heat.held_time(heat.welded(_cold(many), powers, free), powers, 2000.0 - free, 200.0)  # pyrefly: ignore[bad-argument-type] # arrays of numbers
    for number, (loss, power) in enumerate(zip(losses.tolist(), powers.tolist(), strict=True)):
        one = _cold(ring_of(body, RHO, C, K, loss))
        alone = heat.free_time(one, power, 2000.0, 200.0)
        assert np.asarray(free)[number] == pytest.approx(alone, rel=1e-9)
        spread = heat.held_time(heat.welded(one, power, alone), power, 2000.0 - alone, 200.0)
        assert np.asarray(held)[number] == pytest.approx(spread, rel=1e-9)


def test_arc_power_and_heat_in() -> None:
    """EN 1011-1, k = 0.8: 17.6 V and 140 A bring 1971 W (by hand, 2026-11)."""
    assert heat.arc_power(17.6, 140.0, 0.8) == pytest.approx(1971.2)
    assert heat.heat_in(1971.2, 60.0) == pytest.approx(118272.0)


def test_where_a_wait_is_placed() -> None:
    """By hand: of 24 beads in 20 min the limit comes after 13 min, in the 16th; 11 min make three stops of 5."""
    assert heat.bead_reached(24, 780.0, 1200.0) == 16
    assert heat.bead_reached(24, 0.0, 1200.0) == 1
    assert heat.stops_for(660.0, 300.0) == 3
    assert heat.stops_for(0.0, 300.0) == 0


def test_crossing_finds_a_root_for_numbers_and_arrays() -> None:
    """Cos x = x at 0.7390851332 (Dottie number)."""

    def falling(x: Array) -> tuple[Array, Array]:
        return np.cos(x) - x, -np.sin(x) - 1

    assert crossing(lambda x: (math.cos(x) - x, -math.sin(x) - 1), 0.0, 1.0, 0.0) == pytest.approx(
        0.7390851332, abs=1e-10
    )
    assert crossing(falling, np.zeros(3), np.ones(3), np.zeros(3)) == pytest.approx(0.7390851332, abs=1e-10)
    assert brentq(lambda x: math.cos(x) - x, 0.0, 1.0) == pytest.approx(0.7390851332, abs=1e-10)
