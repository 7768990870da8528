"""What a bore has besides a plain cylinder: volumes against revolved solids, times against their definitions.

The solids are made and measured by a mesh library; a facetted circle has the area of its polygon, which is exact:
n/2 sin(2 pi/n) r² (any handbook of mathematics), so that the factor between polygon and circle is known.
"""

import math
from typing import Any

import numpy as np
import pytest
import trimesh
from numpy.testing import assert_allclose
from scipy.integrate import quad

from estimator.book.pricebook import read_pricebook
from estimator.bore import sector
from estimator.bore.profile import profile_of
from estimator.cut import facing, passes
from estimator.errors import JobRefusedError
from estimator.estimate import estimate, read_job
from estimator.features import chamfers, faces, figures, grooves, ground, holes
from estimator.job.features import Sector
from estimator.weld import build, plan
from tests.jobs import bore, codes, job, quick

SIDES = 720
FACETS = SIDES / (2 * math.pi) * math.sin(2 * math.pi / SIDES)  # area of the polygon over that of its circle


def revolved(*corners: tuple[float, float]) -> float:
    """Return the volume of a closed outline of radius and height, turned round the axis."""
    outline = np.array([*corners, corners[0]])
    solid = trimesh.creation.revolve(outline, sections=SIDES)
    return abs(float(solid.volume)) / FACETS


def ring(outside: float, inside: float, height: float) -> float:
    return revolved((inside / 2, 0), (outside / 2, 0), (outside / 2, height), (inside / 2, height))


# ---------------------------------------------------------------- volumes


def test_a_boss_face_is_a_ring() -> None:
    assert_allclose(faces.ring_volume(0.150, 0.090, 0.0045), ring(0.150, 0.090, 0.0045), rtol=1e-9)


def test_a_groove_is_a_ring_and_nothing_where_the_cut_is_deeper() -> None:
    assert_allclose(grooves.groove_volume(0.098, 0.090, 0.006), ring(0.098, 0.090, 0.006), rtol=1e-9)
    assert grooves.groove_volume(0.098, 0.099, 0.006) == 0.0


def test_a_chamfer_is_a_turned_triangle() -> None:
    slope = math.tan(math.radians(30))
    turned = revolved((0.045, 0.0), (0.045 + 0.003 * slope, 0.0), (0.045, 0.003))
    assert_allclose(chamfers.chamfer_volume(0.090, 0.003, slope), turned, rtol=1e-9)


def test_a_drilled_hole_is_a_cylinder() -> None:
    rod = trimesh.creation.cylinder(radius=0.004, height=0.0025, sections=SIDES)
    assert_allclose(holes.hole_volume(0.008, 0.0025), float(rod.volume) / FACETS, rtol=1e-9)


def test_a_stepped_bore_is_the_sum_of_its_cylinders() -> None:
    """Bore and worn step each have the ring between clean-up and weld bore; the mesh has both in one outline."""
    found = estimate(job(quick(90, 92, steps=[{**STEP, "worn_diameter": "112 mm"}])), read_pricebook())
    main, step = found["bores"]
    a, b = main["sizes"], step["sizes"]
    solid = ring(a["cleanup_mm"], a["weld_mm"], 70.0) + ring(b["cleanup_mm"], b["weld_mm"], 12.0)
    need = sum(one["buildup"]["required_volume_mm3"] for one in found["bores"])
    assert_allclose(need, solid, rtol=1e-9)
    assert step["given"]["part_of"] == "A" and step["given"]["line"] == "bore A"


STEP = {"nominal_diameter": "110 mm", "length": "12 mm"}


def test_a_grooved_bore_takes_its_groove_besides() -> None:
    groove = {"diameter": "104 mm", "width": "6 mm", "at": "20 mm", "kind": "seal"}
    found = estimate(job(quick(90, 92, grooves=[groove])), read_pricebook())["bores"][0]
    fill = next(one for one in found["features"] if one["code"] == "groove")
    assert_allclose(fill["fill_volume_mm3"], ring(104.0, found["sizes"]["cleanup_mm"], 6.0), rtol=1e-9)
    assert_allclose(fill["removed_volume_mm3"], ring(104.0, 90.027, 6.0), rtol=1e-9)


# ---------------------------------------------------------------- faces


def test_a_face_is_built_in_whole_layers_and_cut_back_to_its_plane() -> None:
    assert faces.face_build(3e-3, 0.5e-3, 1e-3) == pytest.approx(4.5e-3)
    assert faces.laid_thickness(3, 2e-3) == pytest.approx(6e-3)
    assert faces.layer_of(4.5e-3, 2, 1.5e-3) == pytest.approx(2.25e-3)
    assert faces.layer_of(1.6e-3, 2, 1.5e-3) == pytest.approx(1.5e-3)
    assert faces.face_cut(6e-3, 3e-3) == pytest.approx(3e-3)


def test_facing_time_is_path_over_feed_and_turns() -> None:
    """Machinery's Handbook, turning: t = L / (f n); a face of 150 over a bore of 90 mm is fed 30 mm."""
    assert facing.across(0.150, 0.090) == pytest.approx(0.030)
    assert facing.plunge_depth(0.098, 0.090) == pytest.approx(0.004)
    assert passes.pass_time(facing.across(0.150, 0.090), 0.0, 0.2e-3, 2.0) == pytest.approx(0.030 / 0.4e-3)


def test_a_worn_face_adds_metal_wire_time_and_a_cost_line_of_its_own() -> None:
    plain = estimate(job(quick(90, 92)), read_pricebook())
    found = estimate(job(quick(90, 92, faces=[{"outer_diameter": "150 mm", "depth": "3 mm"}])), read_pricebook())
    face = found["bores"][0]["features"][0]
    before, after = plain["bores"][0], found["bores"][0]
    assert face["code"] == "face" and face["fill_mass_kg"] > 0.3
    grams = after["buildup"]["wire_g_m"] / 1000
    starts = after["consumption"]["arc_starts"] - before["consumption"]["arc_starts"]
    wire = face["fill_mass_kg"] / after["buildup"]["deposition_efficiency"] * 1.02 + starts * 0.15 * grams
    wire *= 15 / (15 - 25 * grams)  # losses, stubs and the heel of the table of constants
    assert starts > 1
    assert_allclose(after["consumption"]["wire_kg"] - before["consumption"]["wire_kg"], wire, rtol=1e-8)  # ten digits
    warmer = after["time"]["cooldown_min"] - before["time"]["cooldown_min"]
    warmer += after["heat"]["interpass_wait_min"] - before["heat"]["interpass_wait_min"]
    assert warmer > 0  # the face brings heat of its own
    assert_allclose(
        after["time"]["total_min"] - before["time"]["total_min"] - warmer, face["time_min"], rtol=1e-7
    )  # ten digits
    assert after["time"]["finish_min"] > before["time"]["finish_min"]
    line = next(one for one in found["cost"]["lines"] if one["code"] == "labour-face")
    assert line["bore"] == "A" and line["quantity"] == pytest.approx(face["time_min"] / 60, abs=0.005)
    assert_allclose(face["removed_volume_mm3"], face["fill_volume_mm3"] - ring(150.0, 90.027, 3.0), rtol=1e-9)


# ---------------------------------------------------------------- gaps and holes


def test_a_keyway_interrupts_every_turn_and_slows_the_feed() -> None:
    found = estimate(
        job(quick(90, 92, wear="even", keyways=[{"width": "12 mm", "depth": "5 mm", "clock": 0}])), read_pricebook()
    )
    plain = estimate(job(quick(90, 92, wear="even")), read_pricebook())["bores"][0]
    one = found["bores"][0]
    assert passes.interrupted(0.2e-3, 0.7) == pytest.approx(0.14e-3)
    feeds = [
        a["feed_mm_rev"] / b["feed_mm_rev"]
        for a, b in zip(one["machining"]["passes"], plain["machining"]["passes"], strict=False)
    ]
    assert feeds == pytest.approx([0.7] * len(feeds))
    turns = sum(layer["beads"] for layer in one["buildup"]["layers"])
    keyway = one["features"][0]
    assert keyway["time_min"] == pytest.approx(
        (15 + 4 * 25 + 50) / 6 + 0.33 / 6 * turns
    )  # the table's dressing and one restart a turn


# ---------------------------------------------------------------- only where it is worn


def test_a_sector_is_its_share_of_the_ring_run_outs_added() -> None:
    """120 to 240 degrees is a third; 8 mm of run-out at each end of a clean-up bore of 95 mm besides."""
    found = estimate(job(quick(90, 92, sector={"from": 120, "to": 240})), read_pricebook())["bores"][0]
    full = estimate(job(quick(90, 92)), read_pricebook())["bores"][0]
    share = sector.with_runouts(1 / 3, 8e-3, 0.095)
    assert_allclose(share, 1 / 3 + 16 / (math.pi * 95), rtol=1e-12)
    need, whole = (one["buildup"]["required_volume_mm3"] for one in (found, full))
    assert_allclose(need, share * whole, rtol=1e-8)
    assert_allclose(build.of_sector(whole, share), need, rtol=1e-8)
    for layer in found["buildup"]["layers"]:
        middle = (layer["start_diameter_mm"] + layer["end_diameter_mm"]) / 2
        assert_allclose(layer["turns"] * math.pi * middle / layer["travel_mm_min"], layer["arc_time_min"], rtol=1e-7)
        assert layer["turns"] == pytest.approx(plan.part_turns(layer["beads"], share))


def test_a_sector_may_run_across_twelve() -> None:
    held = Sector.model_validate({"from": 300, "to": 60})
    assert held.share == pytest.approx(1 / 3)
    assert [held.holds(at) for at in (0, 59, 61, 299, 301)] == [True, True, False, False, True]


FLAT, UPRIGHT = "horizontal", "vertical"
NEAR_SIDES = [((60, 130), FLAT), ((240, 300), FLAT), ((280, 80), FLAT)]
CLEAR = [((120, 240), FLAT), ((300, 60), FLAT), ((330, 30), FLAT), ((60, 130), UPRIGHT)]


@pytest.mark.parametrize(("ends", "axis"), NEAR_SIDES + CLEAR)
def test_near_three_and_nine_every_bead_is_laid_one_way(ends: tuple[int, int], axis: str) -> None:
    """Common practice, no source: to and fro goes well unless the sector lies near 3 or 9 o'clock."""
    asked = quick(90, 92, sector={"from": ends[0], "to": ends[1]}, axis=axis)
    found = estimate(job(asked), read_pricebook())["bores"][0]["features"][0]
    assert ("arc off" in found["text"]) is ((ends, axis) in NEAR_SIDES)


def test_what_is_ground_from_a_sector_is_its_ring_less_the_wear() -> None:
    ground = sector.ground_from_sector(0.095, 0.090, 0.070, 0.4, 1e-6)
    ring_share, _ = quad(lambda r: 2 * math.pi * r * 0.4 * 0.070, 0.045, 0.0475)
    assert_allclose(ground, ring_share - 1e-6, rtol=1e-12)
    assert sector.ground_from_sector(0.095, 0.090, 0.070, 0.1, 1e-3) == 0.0
    assert sector.share_of_wear(1e-5, 0.4) == pytest.approx(4e-6)


def test_ground_volume_of_a_sector_is_read_from_its_own_radii() -> None:
    """A round bore 1 mm over nominal: the ring up to the clean-up circle, its share of the clock (scipy's integral)."""
    flat = {"kind": "radius", "unit": "mm", "clock": list(range(0, 360, 5)), "depth": [35], "values": [[45.5] * 72]}
    read = read_job(job(bore(readings=flat, sector={"from": 0, "to": 85})), read_pricebook()).bores[0]
    shape = profile_of(read, 1.17e-5, 293.15)
    assert read.sector is not None
    inside = sector.masked(read.sector, shape)  # 18 of 72 places
    ring_share, _ = quad(lambda r: 2 * math.pi * r * 0.25 * 0.070, 0.0455, 0.0475)
    assert_allclose(sector.ground_inside(shape, inside, 0.095, 0.0), ring_share, rtol=1e-9)
    assert_allclose(sector.ground_inside(shape, inside, 0.095, 0.125), 1.5 * ring_share, rtol=1e-9)


def test_a_sector_that_misses_the_wear_is_told_and_grinds_what_is_there() -> None:
    hit, miss = ({"from": 120, "to": 240}, {"from": 300, "to": 60})
    right, wrong = (
        estimate(job(bore(readings=lens(2.0, 180, 60), sector=one)), read_pricebook()) for one in (hit, miss)
    )
    assert any("2.02 mm of wear at 180\u00b0 lies outside the sector" in one["text"] for one in wrong["warnings"])
    assert "sector_missed" not in codes(right)
    ground = [one["bores"][0]["features"][0]["ground_volume_mm3"] for one in (right, wrong)]
    assert ground[1] > 1.5 * ground[0]


def test_the_wall_under_a_pocket_is_held_against_the_limit() -> None:
    with pytest.raises(JobRefusedError, match=r"wall"):
        estimate(
            job(bore(readings=lens(9.0, 180, 60), pocket={"from": 115, "to": 245}, outside_diameter="112 mm")),
            read_pricebook(),
        )


def lens(deepest: float, centre: float, half: float) -> dict[str, Any]:
    """Return radii [mm] of a bore of 90 mm worn as a cosine over part of the clock."""

    def radius(angle: float) -> float:
        off = abs((angle - centre + 180) % 360 - 180)
        return 45.02 + (deepest * math.cos(math.pi / 2 * off / half) if off < half else 0.0)

    clock = list(range(0, 360, 5))
    row = [round(radius(angle), 6) for angle in clock]
    return {"kind": "radius", "unit": "mm", "clock": clock, "depth": [10, 60], "values": [row, row]}


def test_a_pocket_holds_what_lies_beyond_the_clean_up_circle() -> None:
    """Integral of the worn shape beyond the circle (scipy); the readings stand 5 degrees apart: 1 %."""
    asked = bore(readings=lens(2.0, 180, 60), pocket={"from": 115, "to": 245})
    read = read_job(job(asked), read_pricebook()).bores[0]
    shape = profile_of(read, 1.17e-5, 293.15)
    inside, outside = sector.outside_pocket(read, shape)
    assert outside == pytest.approx(45.02e-3)
    volume = sector.pocket_volume(shape, inside, 0.0912)
    area, _ = quad(
        lambda t: max((0.04502 + 0.002 * math.cos(1.5 * t)) ** 2 - 0.0456**2, 0) / 2,
        -math.pi / 3,
        math.pi / 3,
        limit=200,
    )
    assert_allclose(volume, area * 0.070, rtol=0.01)
    assert_allclose(sector.pocket_skin(0.36, 0.0912, 0.070, 5e-4), 0.36 * math.pi * 0.0912 * 0.070 * 5e-4)
    assert ground.pocket_filled(2e-6, 1e-6, 4e-6) == pytest.approx(7e-6)


def test_a_pocket_lets_the_bore_be_cut_clean_from_a_smaller_size() -> None:
    full = estimate(job(bore(readings=lens(2.0, 180, 60))), read_pricebook())["bores"][0]
    found = estimate(job(bore(readings=lens(2.0, 180, 60), pocket={"from": 115, "to": 245})), read_pricebook())[
        "bores"
    ][0]
    assert found["sizes"]["cleanup_mm"] < full["sizes"]["cleanup_mm"] - 1.5
    assert found["wear"]["max_radial_wear_mm"] == full["wear"]["max_radial_wear_mm"]
    pocket = found["features"][0]
    assert pocket["fill_volume_mm3"] > pocket["ground_volume_mm3"] > 0


@pytest.mark.parametrize("centre", [0, 20, 180, 340])
def test_the_worn_part_of_the_clock_is_found(centre: int) -> None:
    read = read_job(job(bore(readings=lens(2.0, centre, 60))), read_pricebook()).bores[0]
    found = sector.worn_sector(profile_of(read, 1.17e-5, 293.15), 0.045027, 2 / 3)
    assert found is not None
    assert (found.start - (centre - 60)) % 360 == pytest.approx(0) and (
        found.end - (centre + 60)
    ) % 360 == pytest.approx(0)


# ---------------------------------------------------------------- times by hand


def test_fills_and_grinding_by_their_rates() -> None:
    assert figures.fill_time(0.5, 5e-4, 0.7) == pytest.approx(0.5 / 3.5e-4)
    assert figures.grinding_time(1.2e-6, 2e-8) == pytest.approx(60.0)


def test_lugs_that_moved_too_far_are_told() -> None:
    gap = {"before": "120 mm", "after": "118.9 mm", "tolerance": "1 mm"}
    found = estimate(job(quick(90, 92, lug_gap=gap)), read_pricebook())
    assert any("closed by 1.1 mm, 1 mm is allowed" in one["text"] for one in found["warnings"])
    calm = estimate(job(quick(90, 92, lug_gap={**gap, "after": "119.2 mm"})), read_pricebook())
    assert not {"lugs_closed", "lugs_opened"} & set(codes(calm))
    assert calm["bores"][0]["features"][0]["time_min"] == pytest.approx(11)  # twice measured, by the table of times
