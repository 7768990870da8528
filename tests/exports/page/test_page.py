"""The page for people says what the document says, in both systems of units, and the money to the letter."""

import copy
import math
import re
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from exports.format import by_grade
from exports.in_units import in_units
from exports.page.estimate import FULL, page
from exports.page.first import SHOWN
from exports.signs import signs
from exports.used import to_cover
from tests.jobs import bore, job, tens
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
IDS = [path.stem for path in SAMPLES]
BOOK = read_pricebook()
WIDEST = 95  # the page is read in a window of this many columns
INCH = 25.4  # mm


def _rounded(value: float, places: int) -> str:
    step = Decimal(1).scaleb(-places)
    return f"{Decimal(repr(value)).quantize(step, ROUND_HALF_UP):,}"


def _whole(found: Any, units: Any = "metric") -> str:
    """Return the page with all its parts, cost too."""
    return page(found, units, SHOWN)


def _sections(text: str) -> dict[str, str]:
    """Return the sections of a page by their headings: what stands after two empty lines."""
    parts = [part.partition("\n") for part in text.split("\n\n\n")]
    return {head.strip(): body for head, _, body in parts}


def _section(text: str, bore_name: str, part: str) -> str:
    """Return one part of a bore's plan; bores that read alike stand under one heading."""
    for head, body in _sections(text).items():
        named, _, name = head.partition(": ")
        if name == part and bore_name in named.removeprefix("BORES ").removeprefix("BORE ").split(", "):
            return body
    raise AssertionError((bore_name, part))


def _lines(text: str, first: str) -> list[str]:
    return [line for line in text.split("\n") if line.strip().startswith(first)]


def _cells(line: str) -> list[str]:
    return re.split(r"\s{2,}", line.strip())


# ---------------------------------------------------------------- every sample


@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_sample_has_its_page(path: Path, units: Any) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = _whole(found, units)
    assert all(line.isprintable() and len(line) <= WIDEST for line in text.split("\n"))
    for key in ("before_tax", "total") if "budget" in found else ("before_tax", "tax", "total"):
        amount = found["price"][key]
        assert f"{tens(amount) if 'budget' in found else Decimal(amount):,}" in text
    running = " ".join(text.split())
    found = in_units(found, units)
    words = (*by_grade(found), *found["cautions"], *found["assumptions"], *found["advice_to_welder"])
    words = (*words, *(said for kind in found["scope"].values() for said in kind))
    for one in found["bores"]:
        words = (*words, *one["heat"]["advice"], *one["buildup"]["limits"])
        words = (*words, *(other["remark"] for other in one["buildup"]["alternatives"]))
    for said in words:
        assert " ".join(signs(said.partition(": ")[2] or said).split()) in running
    for shade in found["shades"]:
        assert f"{shade['range']}: {shade['minimum_shade']:.0f} (" in running


@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_each_layer_is_set_as_the_document_says(path: Path, units: Any) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = _whole(found, units)
    for one in found["bores"]:
        built = one["buildup"]
        section = _section(text, one["name"], "WELD PLAN")
        for layer in built["layers"]:
            name, first = f"layer {layer['number']} ", layer.get("first_bead")
            ends = layer["start_diameter_mm"], layer["end_diameter_mm"]
            laid = _cells(_lines(section, name)[-1])
            assert laid[1:3] == [_rounded(end / INCH, 4) if units == "us" else _rounded(end, 2) for end in ends]
            rows = [(name, layer, layer["beads"])]
            if first is not None and first["current_A"] < layer["current_A"]:
                rows = [("first bead ", first, 1), (f"then {name}", layer["after_first"], layer["beads"] - 1)]
            for begins, bead, beads in rows:
                cells = _cells(_lines(section, begins)[0])
                feed, travel, step = bead["wire_feed_m_min"], bead["travel_mm_min"], layer["step_mm"]
                figures = [_rounded(feed, 2), _rounded(travel, 0), _rounded(step, 2)]
                if units == "us":
                    figures = [_rounded(1000 * feed / INCH, 0), _rounded(travel / INCH, 1), _rounded(step / INCH, 4)]
                assert [cells[1], cells[4], cells[5]] == figures
                assert cells[2].startswith(f"{_rounded(bead['current_A'], 0)} ±")
                assert cells[3] == f"{_rounded(bead['voltage_V'], 1)} ±{_rounded(built['voltage_scatter_V'], 1)}"
                assert cells[6:] == [str(beads), layer["rotation"]]


@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
def test_sizes_heat_cutting_and_hours_are_the_documents(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = _whole(found)
    sections = _sections(text)
    for one in found["bores"]:
        wear, sizes, heat = one["wear"], one["sizes"], one["heat"]
        cells = _cells(_lines(sections["SIZES"], f"{one['name']} ")[-1])
        assert cells[1:3] == [_rounded(wear[key], 2) for key in ("largest_diameter_mm", "max_radial_wear_mm")]
        assert cells[5:7] == [_rounded(sizes[key], 3) for key in ("finish_min_mm", "finish_max_mm")]
        assert cells[7:] == [_rounded(sizes[key], 2) for key in ("cleanup_mm", "weld_mm")]
        said = _section(text, one["name"], "HEAT")
        assert f"{_rounded(heat['preheat_C'], 0)} °C" in _lines(said, "preheat ")[0]
        assert f"{_rounded(heat['interpass_max_C'], 0)} °C at most" in said
        cuts = re.split(r".*depth/side.*\n.*\n", _section(text, one["name"], "CUTTING").strip("\n"))[1].split("\n")
        keys = (("from_mm", 2), ("to_mm", 2), ("depth_mm", 2), ("rpm", 0), ("speed_m_min", 0), ("feed_mm_rev", 2))
        wanted = [
            [cut["purpose"], *(_rounded(cut[key], places) for key, places in keys)]
            for cut in one["machining"]["passes"]
        ]
        assert [_cells(line)[:7] for line in cuts] == wanted
        phases = list(one["time"].values())
        *shown, total = map(int, _cells(_lines(sections["HOURS: minutes by bore"], f"{one['name']} ")[0])[1:])
        assert sum(shown) == total  # they add up as they are shown, each within its rounding
        assert all(abs(value - said) <= 1 for value, said in zip(phases, [*shown, total], strict=True))


def _leaves(document: Any) -> Iterator[Any]:
    if isinstance(document, dict):
        document = list(document.values())
    if isinstance(document, list):
        for one in document:
            yield from _leaves(one)
    elif document is not None and not isinstance(document, bool):
        yield document


def _allowed(found: Any) -> set[str]:
    """Return every number the page may show: figures of the document, rounded, in percent, or as hours."""
    allowed = {f"{n:,}" for n in range(60)} | {f"{n:02d}" for n in range(60)}  # minutes of an hour, small counts
    for leaf in _leaves(found):
        if isinstance(leaf, str):
            allowed |= set(re.findall(r"\d[\d,]*(?:\.\d+)?", leaf))
            money = re.fullmatch(r"\d+\.\d+", leaf)
            allowed |= {f"{Decimal(leaf):,}", f"{tens(leaf):,}"} if money else set()
        else:
            allowed |= {_rounded(abs(leaf), places) for places in range(4)}
            allowed |= {
                _rounded(abs(100 * leaf), 0),
                _rounded(abs(leaf) // 60, 0),
                _rounded((abs(leaf) * 60 + 0.5) // 60, 0),
            }
    times = [one["time"] for one in found["bores"]]
    sums = [math.fsum(time[key] for time in times) for key in times[0]]
    allowed |= {f"{math.floor(whole) + more:,}" for whole in sums for more in (-1, 0, 1, 2)}  # of all bores, as shown
    allowed |= {to_cover(one["to_cover"], one["unit"]) for one in found["take"]}
    allowed |= {str(math.floor(time[key]) + more) for time in times for key in time for more in (0, 1)}
    return allowed | {"15614", "95", "100"}  # the standard on hardness; in how many of a hundred jobs it is enough


@pytest.mark.parametrize("path", SAMPLES, ids=IDS)
def test_no_number_comes_from_elsewhere(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    text = page(found, "metric", FULL)
    shown_numbers = set(re.findall(r"(?<![\w.])\d[\d,]*(?:\.\d+)?(?![\w])", text))
    assert {one.rstrip(",") for one in shown_numbers} - _allowed(found) == set()


# ---------------------------------------------------------------- units


def test_us_units_are_only_on_the_page() -> None:
    found = estimate(job(), BOOK)
    before = copy.deepcopy(found)
    metric, us = _whole(found), _whole(found, "us")
    assert found == before
    heat = found["bores"][0]["heat"]["preheat_C"]
    assert f"{_rounded(heat * 1.8 + 32, 0)} °F" in us
    assert "3.5433 in H8" in us and "36 cfh" in us and "53 miles away" in us
    assert f"{_rounded(found['totals']['wire_kg'] / 0.45359237, 3)} lb" in us
    assert f"{_rounded(found['totals']['gas_L'] / 28.316846592, 1)} ft³" in us
    assert "90.00 mm H8" in metric and "17 L/min" in metric and " ipm" not in metric


# ---------------------------------------------------------------- what a reader looks for


def test_the_price_comes_before_all_else_and_the_cost_only_where_asked_for() -> None:
    found = estimate(job(title="Pivot"), BOOK)
    first, full = page(found), page(found, "metric", FULL)
    assert first.startswith("T-1, Pivot\n") and "PRICE  " in first
    cost = f"{Decimal(found['cost']['total']):,}"
    for text in (first, full):
        assert cost not in text and "margin" not in text and "overhead" not in text
    shown = page(found, "metric", ["cost"])
    assert cost in shown and "margin reached: 22.0 %" in shown and full.startswith(first.rpartition("MORE")[0].rstrip())


def test_each_part_is_shown_where_it_is_asked_for() -> None:
    found = estimate(job(), BOOK)
    heads = {name: set(_sections(page(found, "metric", [name]))) - set(_sections(page(found))) for name in SHOWN}
    assert all(heads.values())
    assert set().union(*heads.values()) <= set(_sections(_whole(found)))
    assert [one for one in SHOWN if one not in FULL] == ["cost"]


def test_wire_feed_stands_before_the_current_and_the_first_bead_is_cooler() -> None:
    found = estimate(job(), BOOK)
    plan = _section(_whole(found), "A", "WELD PLAN")
    (names,) = _lines(plan, "WIRE FEED")
    assert names.index("WIRE FEED") < names.index("expect") < names.index("volts")
    assert "seen from the drive side" in " ".join(plan.split())
    first = found["bores"][0]["buildup"]["layers"][0]["first_bead"]
    assert _cells(_lines(plan, "first bead")[0])[1:5] == [
        _rounded(first["wire_feed_m_min"], 2),
        f"{_rounded(first['current_A'], 0)} ±15",  # 15 % of 115 A is 17 A, said to five amperes
        f"{_rounded(first['voltage_V'], 1)} ±1.5",
        _rounded(first["travel_mm_min"], 0),
    ]


def test_a_plan_is_not_said_twice() -> None:
    other = bore(name="C", nominal_diameter="80 mm")
    other["readings"] = {**other["readings"], "values": [[82.9, 81.7, 80.2, 81.5]] * 3}
    text = _whole(estimate(job(bore(), bore(name="B"), other), BOOK))
    sections = _sections(text)
    assert "WIRE FEED" in sections["BORES A, B: WELD PLAN"] and "WIRE FEED" in sections["BORE C: WELD PLAN"]


def test_a_budget_price_is_titled_so() -> None:
    found = estimate(job(bore(readings=None, worn_diameter="93 mm")), BOOK)
    text = _whole(found)
    assert text.startswith("BUDGET PRICE, not binding: ")
    first, whole, budget = page(found), " ".join(text.split()), found["budget"]
    for key in ("low", "high"):
        assert f"{tens(budget[key]):,} EUR" in first
    assert "8 in 10 such jobs come to" in first and "MEASURE " in first
    assert f"{tens(budget['other_price']):,} EUR" in whole and "one-sided wear:" in whole and "even wear:" in whole
    assert all(what in whole for what in budget["measure"])
    plain = _whole(estimate(job(), BOOK))
    assert "BUDGET" not in plain and "MEASURE BEFORE" not in plain and "valid 30 days" in plain


def test_invented_prices_are_said_loudly_and_early() -> None:
    text = page(estimate(job(), BOOK))
    assert text.index("DEMO PRICES") < text.index("PRICE  ")
    assert "DEMO" not in page(estimate(job(), read_pricebook({"invented": False, "note": "Ours."})))


def test_nothing_on_the_page_steers_a_terminal() -> None:
    found = estimate(job(), BOOK)
    found["job"]["title"] = "Pivot \x1b[2J\u202eof the boom"
    found["warnings"][0]["text"] = "line one\nline two\x07"
    assert all(line.isprintable() for line in _whole(found).split("\n"))


def test_a_long_name_does_not_push_the_columns_apart() -> None:
    long = "the upper bore of the left-hand arm, behind the guard, nearest to the cab of the machine"
    text = _whole(estimate(job(bore(name=long)), BOOK))
    assert max(map(len, text.split("\n"))) <= WIDEST and long in " ".join(text.split())


def test_what_is_set_after_the_first_bead_is_printed() -> None:
    found = estimate(job(), BOOK)
    then = found["bores"][0]["buildup"]["layers"][0]["after_first"]
    plan = _section(_whole(found), "A", "WELD PLAN")
    assert _cells(_lines(plan, "then layer 1 ")[0])[1] == _rounded(then["wire_feed_m_min"], 2)
    second = found["bores"][0]["buildup"]["layers"][1]
    assert then["current_A"] == second["current_A"]
