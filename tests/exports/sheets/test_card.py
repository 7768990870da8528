"""The weld cards: one page a bore, feed before current, waits, sector, safety; names that a workbook takes."""

import io
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from typer.testing import CliRunner

from api.commands import app
from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.page.estimate import page
from exports.sheets import QUOTE, card
from exports.workbook import quote_workbook, sheets_of
from tests.jobs import SOUND, bore, job, quick

BOOK = read_pricebook()
SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
CORED = "E71T-1 0.045 in"


def _found(*bores: Any) -> Any:
    return estimate(job(*bores), BOOK)


def _words(found: Any, number: int = 0) -> list[str]:
    rows = card.sheets(found)[number].rows
    return [str(cell.value) for row in rows for cell in row.cells if cell.value not in (None, "")]


def _said(found: Any, number: int = 0) -> str:
    return "\n".join(_words(found, number))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_each_bore_of_a_sample_has_a_card_of_one_page(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    cards = openpyxl.load_workbook(io.BytesIO(quote_workbook(found, [card.sheets]))).worksheets
    whole = [sheet.name for sheet in sheets_of(found, QUOTE)]
    assert [page.title for page in cards] == [name for name in whole if name.startswith("Card ")]
    assert len(cards) == len(found["bores"])
    for sheet, one in zip(cards, found["bores"], strict=True):
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 1)
        assert sheet.page_setup.orientation == "portrait"
        assert sheet["A1"].value == f"BORE {one['name']}"


def test_the_feed_stands_before_the_current_and_its_scatter() -> None:
    found = _found(bore())
    built = found["bores"][0]["buildup"]
    words = _words(found)
    feed = f"{built['layers'][-1]['wire_feed_m_min']:.2f}"
    current = f"{built['layers'][-1]['current_A']:.0f} \u00b1"
    assert words[words.index(feed) + 1].startswith(current)
    assert words.index("WIRE FEED\nm/min") < words.index("expect\nA")
    assert "Set the WIRE FEED" in _said(found)


def test_wire_gas_flow_and_slag() -> None:
    found = _found(bore(options={"wire": CORED}))
    said, flow = _said(found), found["bores"][0]["buildup"]["gas_flow_L_min"]
    assert CORED in said
    assert f"{flow:.0f} L/min" in said
    assert "chip and brush" in said


def test_waits_stand_where_they_occur() -> None:
    found = estimate(Path("sample_jobs/boom_foot.json").read_bytes(), BOOK)
    (first, *_) = found["bores"][0]["heat"]["waits"]
    assert f"WAIT in layer {first['layer']} from bead {first['after_bead']} on" in _said(found)


def test_order_by_axis() -> None:
    flat, upright = _said(_found(bore())), _said(_found(bore(axis="vertical")))
    assert "Stagger the starts" in flat
    assert "bottom up" not in flat
    assert "bottom up" in upright
    assert "Stagger the starts" not in upright
    assert all("seen from the drive side, looking along the bar" in said for said in (flat, upright))


def test_a_sector_is_told_loudly() -> None:
    said = _said(_found(bore(sector={"from": 120, "to": 240}, readings=_radii())))
    assert "ONLY FROM 120° TO 240°" in said
    assert "arc off" in said


def _radii() -> Any:
    clock = list(range(0, 360, 45))
    return {
        "kind": "radius",
        "unit": "mm",
        "clock": clock,
        "depth": [35],
        "values": [[45.0, 45, 45, 46, 47, 46, 45, 45]],
    }


def test_what_stops_the_arc_stands_on_its_own_bores_card_only() -> None:
    found = _found(bore(condition={**SOUND, "duty": "lifting"}), bore(name="B"))
    assert "lifting gear" in _said(found, 0)
    assert "lifting gear" not in _said(found, 1)


def test_preheat_limits_and_shade() -> None:
    found = _found(quick(90, 92, material="4140"))
    said, heat = _said(found), found["bores"][0]["heat"]
    assert f"{heat['preheat_C']:.0f} \u00b0C" in said
    assert f"\u2264 {heat['interpass_max_C']:.0f} \u00b0C" in said
    assert "\u2265 10" in said


def test_a_deposit_likely_too_hard_says_how_it_is_tempered() -> None:
    said = _said(_found(quick(90, 90.4, material="4340")))
    assert "TOO HARD TO BORE?" in said
    assert "by a magnet" in said
    assert "TOO HARD" not in _said(_found(bore()))


def test_names_that_a_workbook_would_refuse() -> None:
    odd = ["a/b", "a?b", "A b", "x" * 60, "x" * 60 + "y", "'q'"]
    found = _found(*(bore(name=name) for name in odd))
    names = [sheet.name for sheet in card.sheets(found)]
    assert len({name.casefold() for name in names}) == len(odd)
    assert all(len(name) <= 31 and not set(name) & set("\\/*?:[]") for name in names)
    openpyxl.load_workbook(io.BytesIO(quote_workbook(found, [card.sheets])))


def test_an_old_document_still_gives_a_card() -> None:
    found = _found(bore())
    del found["cautions_short"]
    del found["bores"][0]["card"]
    (sheet,) = sheets_of(found, [card.sheets])
    assert sheet.one_page


def test_the_command_writes_the_cards_alone(tmp_path: Path) -> None:
    out = tmp_path / "cards.xlsx"
    ran = CliRunner().invoke(app, ["cards", "sample_jobs/boom_foot.json", "--out", str(out)])
    assert ran.exit_code == 0, ran.output
    assert openpyxl.load_workbook(out).sheetnames == ["Card A", "Card B"]


def test_a_turn_of_the_torch_stick_out_polarity_and_start_are_told() -> None:
    found = _found(bore())
    said, layers = _said(found), found["bores"][0]["buildup"]["layers"]
    assert "Torch on plus (DCEP)" in said
    assert "Stick-out 10 to 15 mm" in said
    assert "Begin each layer at the end farthest from where the torch comes in" in said
    assert "Torch from the drive side" in said
    for one in (layers[0]["first_bead"], layers[0]["after_first"], layers[-1]):
        assert f"{one['turn_s']:.1f} s ({one['torch_rpm']:.2f} rpm)" in said
        assert one["turn_s"] * one["torch_rpm"] == pytest.approx(60)
    last = layers[-1]
    assert last["turn_s"] * last["turns"] == pytest.approx(60 * last["arc_time_min"])
    assert "Stick-out 15 to 20 mm" in _said(_found(bore(options={"wire": CORED})))


def test_three_sizes_after_welding_are_told_apart() -> None:
    found = _found(bore())
    one = found["bores"][0]
    most, mean = one["sizes"]["weld_mm"], one["buildup"]["layers"][-1]["end_diameter_mm"]
    crests = next(cut["from_mm"] for cut in one["machining"]["passes"] if cut["purpose"] == "skin")
    assert most >= mean > crests
    for text in (_said(found), " ".join(page(found, "metric", ["plan"]).split())):
        assert f"measure {most:.2f} mm at most" in text
        assert f"Planned: {mean:.2f} mm as the mean of crests and valleys, {crests:.2f} mm over the crests" in text
