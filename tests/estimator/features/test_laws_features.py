"""Laws of jobs with faces, grooves, gaps, holes, sectors and lines: the contract holds of them as of plain bores."""

import copy
import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.book.pricebook import read_pricebook
from tests.depth import deep
from tests.jobs import any_bore, job
from tests.raw import estimate

BOOK = read_pricebook()
BALANCE = 1e-6  # identities of figures printed to ten digits and their least places
# each labour line (five with the face) and the equipment is printed to 0.01 h: half of that, with overhead, margin, tax
PRINTED = Decimal("3.10")
SOME = settings(max_examples=deep(50, 5), suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
SUMMED = ("wire_kg", "gas_L", "tips", "nozzles", "inserts", "energy_kWh", "liners", "discs", "brackets", "arc_starts")


def _size(text: str) -> float:
    return float(text.split(maxsplit=1)[0])


@st.composite
def any_face(draw: st.DrawFn, nominal: float) -> Any:
    """Return a worn face that fits on the boss of a random bore."""
    wide, deep = draw(st.integers(10, 60)), draw(st.floats(0.1, 6.0))
    return {"outer_diameter": f"{nominal + wide} mm", "depth": f"{round(deep, 3)} mm"}


@st.composite
def any_features(draw: st.DrawFn, one: Any) -> Any:
    """Return a random bore with some of everything that it may have."""
    nominal, length = _size(one["nominal_diameter"]), _size(one["length"])
    has = draw(
        st.sets(st.sampled_from(["faces", "grooves", "keyways", "grease_holes", "chamfers", "sector"]), min_size=1)
    )
    place = draw(st.integers(0, 359))
    bottom, width = nominal * 1.02 + draw(st.integers(0, 24)), draw(st.floats(1.0, length / 4))
    made: Any = {
        "faces": [{**draw(any_face(nominal)), "side": side} for side in draw(st.sets(SIDE, min_size=1))],
        "grooves": [{"diameter": f"{bottom} mm", "width": f"{width:.3f} mm", "at": "0 mm"}],
        "keyways": [{"width": f"{nominal / 8} mm", "depth": "5 mm", "clock": place}],
        "grease_holes": [{"diameter": "6 mm", "clock": place, "at": f"{length / 2} mm"}],
        "chamfers": [{"width": f"{length / 20} mm", "side": side} for side in draw(st.sets(SIDE, min_size=1))],
        "sector": {"from": place, "to": (place + draw(st.integers(20, 300))) % 360},
    }  # fmt: skip
    return {**one, **{name: made[name] for name in sorted(has)}}


SIDE = st.sampled_from(["machine", "far"])


@st.composite
def featured_jobs(draw: st.DrawFn) -> Any:
    """Return a job of up to two bores with features."""
    bores = [draw(any_features(draw(any_bore(f"B{number}")))) for number in range(draw(st.integers(1, 2)))]
    access = draw(st.sampled_from(["open", "restricted", "confined"]))
    return job(*bores, site={"distance": f"{draw(st.integers(0, 400))} km", "access": access})


def _offset(draw: st.DrawFn, length: float) -> Any:
    depths = sorted(draw(st.sets(st.integers(0, int(length)), min_size=1, max_size=3)))
    off = st.integers(-40, 40).map(lambda hundredths: f"{hundredths / 100} mm")
    x, y = (draw(st.lists(off, min_size=len(depths), max_size=len(depths))) for _ in "xy")
    return {"x": x, "y": y, "depth": [f"{depth} mm" for depth in depths]}


@st.composite
def lined_jobs(draw: st.DrawFn) -> Any:
    """Return a job of bores that share an axis which is sought, each with offsets from the wire."""
    bores, place = list[Any](), 0.0
    for number in range(draw(st.integers(1, 3))):
        one = draw(any_bore(f"B{number}"))
        length = _size(one["length"])
        more = {"line": "pin", "position": f"{place} mm", "offset": _offset(draw, length), "axis": "horizontal"}
        bores.append({**one, **more})
        place += length + draw(st.integers(50, 400))
    return job(*bores, site={"distance": f"{draw(st.integers(0, 400))} km"})


ANY = st.one_of(featured_jobs(), lined_jobs())


@given(ANY)
@SOME
def test_layers_keep_path_time_and_metal(document: Any) -> None:
    """Contract: turns x pi x mean diameter / travel is arc time; wire fed is metal laid; layers sum to the deposit."""
    for one in estimate(document, BOOK)["bores"]:
        built = one["buildup"]
        for layer in built["layers"]:
            path = layer["turns"] * math.pi * (layer["start_diameter_mm"] + layer["end_diameter_mm"]) / 2
            assert path / layer["travel_mm_min"] == pytest.approx(layer["arc_time_min"], rel=BALANCE)
            grams = layer["wire_feed_m_min"] * built["wire_g_m"] * built["deposition_efficiency"]
            laid = layer["volume_mm3"] * built["density_kg_m3"] * 1e-6
            assert grams * layer["arc_time_min"] == pytest.approx(laid, rel=BALANCE)
        volume = math.fsum(layer["volume_mm3"] for layer in built["layers"])
        assert volume == pytest.approx(built["deposit_volume_mm3"], rel=BALANCE)
        assert built["deposit_volume_mm3"] >= built["required_volume_mm3"]
        assert built["deposit_mass_kg"] == pytest.approx(built["density_kg_m3"] * volume * 1e-9, rel=BALANCE)
        time = math.fsum(layer["arc_time_min"] for layer in built["layers"])
        assert time == pytest.approx(built["arc_time_min"], rel=BALANCE)
        assert built["deposition_rate_kg_h"] == pytest.approx(built["deposit_mass_kg"] / time * 60, rel=BALANCE)
        assert built["layers"][-1]["end_diameter_mm"] <= one["sizes"]["weld_mm"] * (1 + BALANCE)


@given(ANY)
@SOME
def test_what_is_needed_is_the_ring_or_its_share(document: Any) -> None:
    for one, asked in zip(estimate(document, BOOK)["bores"], document["bores"], strict=True):
        sizes, share = one["sizes"], 1.0
        if "sector" in asked:
            turned = (asked["sector"]["to"] - asked["sector"]["from"]) % 360 / 360
            share = min(1.0, turned + 2 * 8 / (math.pi * sizes["cleanup_mm"]))
        ring = math.pi / 4 * (sizes["cleanup_mm"] ** 2 - sizes["weld_mm"] ** 2) * _size(asked["length"])
        assert one["buildup"]["required_volume_mm3"] == pytest.approx(share * ring, rel=1e-8)


@given(ANY)
@SOME
def test_times_hours_and_supplies_add_up(document: Any) -> None:
    found = estimate(document, BOOK)
    totals, bores = found["totals"], found["bores"]
    for one in bores:
        parts = [minutes for phase, minutes in one["time"].items() if phase != "total_min"]
        assert math.fsum(parts) == pytest.approx(one["time"]["total_min"], rel=BALANCE)
        cut = [each for work in (one["machining"], *one["features"]) for each in work["passes"]]
        assert math.fsum(each["time_min"] for each in cut) == pytest.approx(one["machining"]["time_min"], rel=BALANCE)
    for key in SUMMED:
        assert math.fsum(one["consumption"][key] for one in bores) == pytest.approx(totals[key], rel=BALANCE)
    once = totals["once_min"] + totals["fire_watch_min"] - totals["used_wait_min"] - totals["away_wait_min"]
    on_site = math.fsum(one["time"]["total_min"] for one in bores) + once
    assert totals["on_site_min"] == pytest.approx(on_site, rel=BALANCE)
    paid = (totals["on_site_min"] + totals["travel_min"]) / 60 * totals["people"]
    assert totals["labour_h"] == pytest.approx(paid, rel=BALANCE)
    hours = [line["quantity"] for line in found["cost"]["lines"] if line["unit"] == "h"]
    assert math.fsum(hours) == pytest.approx(totals["labour_h"], abs=0.005 * len(hours) + 1e-9)


@given(ANY)
@SOME
def test_cost_lines_add_up_to_the_cent(document: Any) -> None:
    found = estimate(document, BOOK)
    lines, price = found["cost"]["lines"], found["price"]
    for line in lines:
        exact = Decimal(str(line["quantity"])) * Decimal(line["unit_cost"])
        assert abs(exact - Decimal(line["amount"])) <= Decimal("0.005")
    assert sum(Decimal(line["amount"]) for line in lines) == Decimal(found["cost"]["total"])
    assert Decimal(price["before_tax"]) + Decimal(price["tax"]) == Decimal(price["total"])
    for one in found["bores"]:
        own = [line for line in lines if line["bore"] == one["name"]]
        told = math.fsum(line["quantity"] for line in own if line["code"] == "wire")
        assert told == pytest.approx(one["consumption"]["wire_kg"], abs=0.0005 + 1e-9)
        hands = [
            line for line in own if line["code"] in {f"labour-{f['code'].replace(' ', '-')}" for f in one["features"]}
        ]
        assert len(hands) == len(one["features"])


@given(any_bore("A"), st.data(), st.floats(0.1, 2.0))
@SOME
def test_more_wear_never_costs_less_beside_a_worn_face(plain: Any, data: st.DataObject, deeper: float) -> None:
    """The face's fill runs at the bore's own rate, so that the plan of the bore bears on its price."""
    asked: Any = {**plain, "faces": [data.draw(any_face(_size(plain["nominal_diameter"])))]}
    worse: Any = copy.deepcopy(asked)
    worse["readings"]["values"] = [[cell + deeper for cell in row] for row in asked["readings"]["values"]]
    before, after = (Decimal(estimate(job(one), BOOK)["price"]["total"]) for one in (asked, worse))
    assert after >= before - PRINTED


@given(any_bore("A"), st.data(), st.floats(0.01, 3.0))
@SOME
def test_a_deeper_face_never_costs_less(plain: Any, data: st.DataObject, deeper: float) -> None:
    face = data.draw(any_face(_size(plain["nominal_diameter"])))
    worse = {**face, "depth": f"{round(_size(face['depth']) + deeper, 3)} mm"}
    jobs = (job({**plain, "faces": [one]}) for one in (face, worse))
    before, after = (Decimal(estimate(one, BOOK)["price"]["total"]) for one in jobs)
    assert after >= before - PRINTED
