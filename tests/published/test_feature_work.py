"""What faces, grooves, holes and hand work take, recomputed from the definitions and the table of constants by hand.

Constants: face clean-up 0.5 mm, face allowance 1 mm, comfortable layer up to 3 mm, grooving tool 4 mm, drive from 20 to
180 turns a minute, a turn of a portable bar 0.35 of the tables' cutting speed (weld metal 229, S355 290 m/min).
"""

import math
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.jobs import job, quick

BOOK = read_pricebook()
FACE = {"outer_diameter": "150 mm", "depth": "3 mm"}
GROOVE = {"diameter": "104 mm", "width": "6 mm", "at": "20 mm", "kind": "seal"}
SECTOR = {"from": 120, "to": 240}


def one(book: Any = BOOK, **changes: Any) -> dict[str, Any]:
    return dict(estimate(job(quick(90, 92, **changes)), book)["bores"][0])


def feature(**changes: Any) -> dict[str, Any]:
    return dict(one(**changes)["features"][0])


def edge_life(one: dict[str, Any]) -> float:
    """Return the life of an edge [min]: 25 min at 0.35 of the speed listed, 0.2 mm a turn, 1 mm; at most half again."""
    usual = 0.35 * (290.0 if one["purpose"] == "face clean-up" else 229.0)
    eased = usual / one["speed_m_min"] * (0.2 / one["feed_mm_rev"]) ** 0.2 * (1.0 / one["depth_mm"]) ** 0.15
    return 25.0 * min(1.5, float(eased**5))


def disc(outside: float, inside: float) -> float:
    return math.pi / 4 * (outside**2 - inside**2)


# ---------------------------------------------------------------- faces


@pytest.mark.parametrize(("depth", "layers"), [(0.4, 1), (1.5, 1), (1.51, 2), (3.0, 2), (4.5, 2), (4.52, 3), (7.5, 3)])
def test_a_face_takes_the_fewest_layers_of_three_millimetres(depth: float, layers: int) -> None:
    """Wear, 0.5 mm clean-up and 1 mm for facing: 1.5 mm of wear is one layer to the brim; more is two."""
    found = feature(faces=[{**FACE, "depth": f"{depth} mm"}])
    assert f"built up in {layers} layers" in found["text"]
    assert found["fill_volume_mm3"] == pytest.approx(disc(150, 90.027) * (depth + 1.5), rel=1e-7)


@pytest.mark.parametrize("depth", [0.4, 1.51, 3.0, 8.0])
def test_facing_takes_off_what_was_laid_beyond_the_plane(depth: float) -> None:
    """Before welding 0.5 mm; after it what is removed in all, less that."""
    found = feature(faces=[{**FACE, "depth": f"{depth} mm"}])
    deep = {"face clean-up": 0.0, "facing": 0.0}
    for each in found["passes"]:
        deep[each["purpose"]] += each["depth_mm"]
    area = disc(150, 90.027)
    assert deep["face clean-up"] == pytest.approx(0.5, rel=1e-7)
    assert deep["facing"] == pytest.approx(found["removed_volume_mm3"] / area - 0.5, rel=1e-7)
    assert deep["facing"] == pytest.approx(found["fill_volume_mm3"] / area - depth - 0.5, rel=1e-7)


@pytest.mark.parametrize("outside", [130.0, 150.0, 168.0])
def test_a_face_is_turned_as_fast_as_its_outside_allows(outside: float) -> None:
    """Machinery's Handbook: n = 1000 v / (pi d), d the outside, where the insert is quickest."""
    found = feature(faces=[{**FACE, "outer_diameter": f"{outside} mm"}])
    for each in found["passes"]:
        speed = 0.35 * (229 if each["purpose"] == "facing" else 290)
        turns = min(180.0, 1000 * speed / (math.pi * outside))
        assert each["rpm"] == pytest.approx(turns, rel=1e-7)
        assert each["speed_m_min"] == pytest.approx(math.pi * outside * turns / 1000, rel=1e-7)
        way = (outside - 90.027) / 2 + 8  # approach and overrun
        assert each["time_min"] == pytest.approx(way / (each["feed_mm_rev"] * turns), rel=1e-7)


# ---------------------------------------------------------------- grooves, holes, grinding


@pytest.mark.parametrize(("width", "plunges"), [(3, 1), (4, 1), (4.1, 2), (6, 2), (8, 2), (9, 3)])
def test_a_groove_takes_plunges_of_four_millimetres(width: float, plunges: int) -> None:
    found = feature(grooves=[{**GROOVE, "width": f"{width} mm"}])
    assert [each["purpose"] for each in found["passes"]] == ["grooving"] * plunges
    assert sum(each["depth_mm"] for each in found["passes"]) == pytest.approx(width, rel=1e-7)
    each = (104 - 90.027) / 2 + 8
    assert [p["time_min"] for p in found["passes"]] == pytest.approx(
        [each / (0.05 * p["rpm"]) for p in found["passes"]]
    )


def test_a_hole_is_drilled_through_what_stays_of_the_weld() -> None:
    """From the clean-up bore to the finished one: what was laid farther in is bored away before."""
    hole = {"diameter": "8 mm", "clock": 0, "at": "35 mm"}
    bored = one(grease_holes=[hole])
    through = (bored["sizes"]["cleanup_mm"] - 90.027) / 2
    assert bored["features"][0]["removed_volume_mm3"] == pytest.approx(math.pi / 4 * 8**2 * through, rel=1e-7)


def test_a_sector_that_has_been_ground_is_not_ground_again() -> None:
    """Its beads alone are left: 0.05 min each by the table of times; before, 15 min to set up and 20 mm3/s besides."""
    todo = one(sector=SECTOR)
    done = one(sector=SECTOR, cleanup_diameter=f"{todo['sizes']['cleanup_mm']} mm")
    before, after = todo["features"][0], done["features"][0]
    beads = sum(layer["beads"] for layer in done["buildup"]["layers"])
    assert (after["ground_volume_mm3"], after["grinding_min"]) == (0.0, 0.0)
    assert after["time_min"] == pytest.approx(0.33 / 6 * beads, rel=1e-7)
    grinding = before["ground_volume_mm3"] / 20 / 60
    assert before["grinding_min"] == pytest.approx(grinding, rel=1e-7) and grinding > 0
    assert before["time_min"] == pytest.approx(0.33 / 6 * beads + (8 + 4 * 15 + 30) / 6 + grinding, rel=1e-7)
    assert todo["time"]["precut_min"] - done["time"]["precut_min"] == pytest.approx(
        (8 + 4 * 15 + 30) / 6 + grinding, rel=1e-7
    )


# ---------------------------------------------------------------- what features use up

WITH = {
    "face": {"faces": [FACE]},
    "groove": {"grooves": [GROOVE]},
    "both": {"faces": [FACE, {**FACE, "side": "far"}], "grooves": [GROOVE]},
}


@pytest.mark.parametrize("name", sorted(WITH))
def test_features_wear_tips_nozzles_and_inserts(name: str) -> None:
    """A tip lives 2.5 h of arc, a nozzle 8 h, an insert's two edges by Taylor's law; solid wire wears no more."""
    plain, found = one(), one(**WITH[name])
    arc = math.fsum(each["arc_time_min"] for each in found["features"])
    cut = math.fsum(p["time_min"] for each in found["features"] for p in each["passes"])
    more = {key: found["consumption"][key] - plain["consumption"][key] for key in ("tips", "nozzles", "inserts")}
    assert arc > 0 and cut > 0
    assert more["tips"] == pytest.approx(arc / 150, rel=1e-6)
    assert more["nozzles"] == pytest.approx(arc / 480, rel=1e-6)
    edges = [p["time_min"] / edge_life(p) for each in found["features"] for p in each["passes"]]
    assert more["inserts"] == pytest.approx(math.fsum(edges) / 2, rel=1e-6)
    starts = found["consumption"]["arc_starts"] - plain["consumption"]["arc_starts"]
    filled = sum(1 for each in found["features"] if each["fill_mass_kg"])
    assert starts == pytest.approx(filled + arc / 15, rel=1e-6)  # one a feature, one after each stop to clean


@pytest.mark.parametrize("name", sorted(WITH))
def test_features_take_wire_and_energy(name: str) -> None:
    """Wire: mass over efficiency, 2 % lost, 150 mm a start, a heel of 25 m in 15 kg. Energy: V I t / 0.8, and P t."""
    plain, found = one(), one(**WITH[name])
    built, last = found["buildup"], found["buildup"]["layers"][-1]
    used, before = found["consumption"], plain["consumption"]
    grams = built["wire_g_m"] / 1000
    mass = math.fsum(each["fill_mass_kg"] for each in found["features"])
    starts = used["arc_starts"] - before["arc_starts"]
    wire = (mass / built["deposition_efficiency"] * 1.02 + starts * 0.15 * grams) * 15 / (15 - 25 * grams)
    assert used["wire_kg"] - before["wire_kg"] == pytest.approx(wire, rel=1e-6)
    energy = 0.0
    for each in found["features"]:
        energy += last["voltage_V"] * last["current_A"] * each["arc_time_min"] / 0.8 / 1000 / 60
        energy += math.fsum(p["power_kW"] * p["time_min"] / 60 for p in each["passes"])
    assert used["energy_kWh"] - before["energy_kWh"] == pytest.approx(energy, rel=1e-6)


@pytest.mark.parametrize("name", sorted(WITH))
def test_features_take_gas(name: str) -> None:
    """Flow over arc and 6 s a start, a hose of 6 mm x 10 m at 3.5 bar a start, 0.1 L/min of leaks while open.

    What stays in the cylinder is a share of all: the ratio to the plain bore is free of it. The test bead takes 1 min.
    """
    plain, found = one(), one(**WITH[name])

    def taken(bored: dict[str, Any]) -> float:
        arc = bored["buildup"]["arc_time_min"] + math.fsum(each["arc_time_min"] for each in bored["features"]) + 1
        starts, flow = bored["consumption"]["arc_starts"], bored["buildup"]["gas_flow_L_min"]
        surge = math.pi / 4 * 0.06**2 * 100 * 3.5  # litres
        return float(flow * (arc + 0.1 * starts) + surge * starts + 0.1 * bored["time"]["weld_min"])

    ratio = found["consumption"]["gas_L"] / plain["consumption"]["gas_L"]
    assert ratio == pytest.approx(taken(found) / taken(plain), rel=1e-7) and ratio > 1.1


# ---------------------------------------------------------------- labour


@pytest.mark.parametrize(
    ("crew", "access", "people"), [(1, "open", 1), (2, "open", 2), (1, "confined", 2), (2, "confined", 3)]
)
def test_everybody_is_paid_for_the_time_on_site_and_on_the_road(crew: int, access: str, people: int) -> None:
    """29 CFR 1910.146 asks for an attendant; each hour line is printed to 0.01 h."""
    asked = job(quick(90, 92, **WITH["both"]), site={"distance": "85 km", "access": access})
    found = estimate(asked, read_pricebook({"crew": crew}))
    totals, hours = found["totals"], [line for line in found["cost"]["lines"] if line["unit"] == "h"]
    assert totals["people"] == people
    paid = (totals["on_site_min"] + totals["travel_min"]) / 60 * people
    assert totals["labour_h"] == pytest.approx(paid, rel=1e-7)
    assert math.fsum(line["quantity"] for line in hours) == pytest.approx(paid, abs=0.005 * len(hours))
    attends = sum(line["quantity"] for line in hours if line["code"] == "labour-attendant")
    assert attends == pytest.approx(totals["on_site_min"] / 60 * (people - crew), abs=0.0051)
    lines = [line["quantity"] for line in hours if line["code"] in ("labour-face", "labour-groove")]
    each = [feature["time_min"] / 60 for feature in found["bores"][0]["features"]]
    assert lines == pytest.approx(each, abs=0.0051) and len(lines) == 3
