"""Texts follow the page's units: no metric figure is left on a US page, and what is a name stays one."""

import re
from pathlib import Path

import pytest

from estimator.book.pricebook import read_pricebook
from exports.in_units import in_units, text_in, wire_said
from exports.page.estimate import FULL, page
from tests.raw import estimate

SAMPLES = sorted(Path("sample_jobs").glob("*.json"))
BOOK = read_pricebook()
SAID = [
    # a text, and what stands on a US page
    ("preheat to 141 °C through the wall", "preheat to 286 °F through the wall"),
    ("141 to 212 °C in layer 1", "286 to 414 °F in layer 1"),
    ("travel speed 582 mm/min, limited to 600 mm/min", "travel speed 22.9 ipm, limited to 23.6 ipm"),
    ("clear what burns within 11 m (35 ft);", "clear what burns within 35 ft;"),
    ("±0.040 mm (k = 2)", "±0.0016 in (k = 2)"),
    ("0.2 kJ/mm", "5.1 kJ/in"),
    ("9,500 L a cylinder", "335.5 ft³ a cylinder"),
    ("chamfer 1 mm x 45°", "chamfer 0.039 in x 45°"),
    ("layer 1 at 175 A in 15 min", "layer 1 at 175 A in 15 min"),
    ("M8 x 12, S355J2, 4140", "M8 x 12, S355J2, 4140"),
]


@pytest.mark.parametrize(("text", "us"), SAID)
def test_a_text_is_told_in_us_units(text: str, us: str) -> None:
    assert text_in(text, "us") == us
    assert text_in(us, "us") == us  # once is enough


def test_a_metric_page_keeps_its_own_of_two() -> None:
    assert text_in("within 11 m (35 ft) of it", "metric") == "within 11 m of it"


@pytest.mark.parametrize(
    ("name", "metric", "us"),
    [
        ("E71T-1 0.045 in", "E71T-1 1.2 mm", "E71T-1 0.045 in"),
        ("G3Si1 1.0 mm", "G3Si1 1.0 mm", "G3Si1 0.040 in"),
        ("own wire 1.05 mm", "own wire 1.05 mm", "own wire 1.05 mm"),
    ],
)
def test_a_wire_is_told_by_the_trades_size(name: str, metric: str, us: str) -> None:
    assert (wire_said(name, "metric"), wire_said(name, "us")) == (metric, us)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_metric_figure_is_left_on_a_us_page(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    found["job"] |= {"title": None, "equipment": None}  # what the customer wrote stays as it was written
    text = page(found, "us", FULL)
    assert METRIC.findall(text) == []
    assert not re.search(r"\d in\b", " ".join(re.findall(r"(?:E71T-1|E70C-6M|ER70S-6) \S+ \S+", page(found))))


METRIC = re.compile(r"\d[  ](?:mm|mm/min|mm/s|m|km|kg|L|L/min|kJ/mm|°C|µm|m/s|m/min)(?![\w/])")


@pytest.mark.parametrize("path", SAMPLES[:3], ids=lambda path: path.stem)
def test_figures_under_their_keys_stay(path: Path) -> None:
    found = estimate(path.read_bytes(), BOOK)
    turned = in_units(found, "us")
    assert turned["totals"] == found["totals"]
    assert turned["job"] == found["job"]
    assert [one["name"] for one in turned["bores"]] == [one["name"] for one in found["bores"]]
