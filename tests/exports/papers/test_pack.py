"""The work pack: all that the field lead packs and works from, no money, and the same bytes every time."""

import copy
import datetime
import functools
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.buying import order
from estimator.van.take import take_for
from exports.papers.pack import Packed, content_of, pack
from tests.estimator.document.test_redact import CHEAP_BOOK, DEAR_BOOK
from tests.exports.papers.printed import pages_of, said
from tests.jobs import bore, job, quick
from tests.raw import estimate

ROOT = Path(__file__).parents[3]
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.json"))
DAY = datetime.date(2027, 2, 1)
POINTS = 11
MONEY = re.compile(r"price|cost|margin|invoice|discount|markup|EUR\b|€|\bVAT\b|\btax\b", re.IGNORECASE)


@functools.cache
def of_sample(name: str) -> Any:
    return estimate((ROOT / "sample_jobs" / f"{name}.json").read_bytes(), read_pricebook())


def strings(item: Any) -> list[str]:
    """Return all texts of a pack's content; pictures by what they show."""
    if isinstance(item, dict):
        return [one for value in item.values() for one in strings(value)]
    if isinstance(item, list):
        return [one for value in item for one in strings(value)]
    return [re.sub(r"<[^>]*>", " ", item) if "<svg" in item else item] if isinstance(item, str) else []


def amounts(item: Any) -> set[str]:
    """Return every amount of money that a document holds."""
    if isinstance(item, dict):
        return {one for value in item.values() for one in amounts(value)}
    if isinstance(item, list):
        return {one for value in item for one in amounts(value)}
    return {item} if isinstance(item, str) and re.fullmatch(r"\d+\.\d{2}", item) else set()


# ---------------------------------------------------------------- what is in it


@pytest.mark.office
def test_a_pack_holds_all_that_is_packed_measured_and_signed() -> None:
    found = of_sample("crusher_boom")
    paper = pack([Packed(found, "100042, revision 2")], DAY)
    text, pages = said(paper), pages_of(paper)
    names = [bore["name"] for bore in found["bores"]]
    headed = ("as found", "weld card", "cutting card")
    assert [f"Bore {name}: {what}" for name in names for what in headed if f"Bore {name}: {what}" not in text] == []
    wanted = (
        "Work pack K-233", "100042, revision 2", "Parts to take", "wire G3Si1 1.0 mm 2.4 kg 1 x 15 kg", "Tools",
        "Day 1 of 2", "Day 2 of 2", "Set-up", "Setting ring", "Gauge, no.", "90.000 to 90.054 mm", "Signature",
        "clean-up 88.70 91.11", "3.81", "140 °C", "Hot-work permit", "Sign-off", "Field lead",
    )  # fmt: skip
    assert [one for one in wanted if one not in text] == []
    assert len([page for page in pages if "K-233, day 1" in page]) > 1  # over as many sheets as it needs
    assert all("Work pack K-233, 2027-02-01" in page and "DEMO" in page for page in pages)


@pytest.mark.office
def test_every_task_of_every_day_stands_on_its_pages() -> None:
    found = of_sample("harvester_thin")
    text = re.sub(r"\s+", "", said(pack([Packed(found)], DAY)))
    tasks = [f"{task['number']}. {task['name']}" for task in found["schedule"]["tasks"]]
    assert [one for one in tasks if re.sub(r"\s+", "", one) not in text] == []


@pytest.mark.office
def test_day_pages_are_readable(tmp_path: Path) -> None:
    paper = pack([Packed(of_sample("crusher_boom"))], DAY)
    days = [number for number, page in enumerate(pages_of(paper), 1) if re.search("K-233, day \\d", page)]
    (tmp_path / "pack.pdf").write_bytes(paper)
    for page in map(str, days):
        asked = ["pdftohtml", "-xml", "-i", "-zoom", "1", "-stdout", "-f", page, "-l", page, tmp_path / "pack.pdf"]
        drawn = subprocess.run(asked, check=True, capture_output=True, encoding="utf-8").stdout
        sizes = [int(size) for size in re.findall(r'<fontspec [^>]*size="(\d+)"', drawn)]
        assert sizes and min(sizes) >= POINTS, page


def test_the_grid_of_readings_has_a_box_for_each_depth_and_clock_position() -> None:
    found = of_sample("crusher_boom")
    for one, drawn in zip(found["bores"], content_of([Packed(found)], DAY)["jobs"][0]["bores"], strict=True):
        readings, grid = one["given"]["readings"], drawn["found"]
        assert [float(row[0]) for row in grid["rows"]] == readings["depths_mm"]
        assert [float(head.removesuffix("°")) for head in grid["head"]] == readings["clock_deg"]
        assert [[float(cell) for cell in row[1:]] for row in grid["rows"]] == readings["clock_readings_mm"]


def test_a_bore_with_one_worst_diameter_and_one_with_many_readings_have_grids_too() -> None:
    worst = content_of([Packed(estimate(job(quick(90, 93)), read_pricebook()))], DAY)["jobs"][0]["bores"][0]["found"]
    assert all(cell == "" for row in worst["rows"] for cell in row[1:])
    assert [row[0] for row in worst["rows"]] == ["10", "35", "60"]
    many = content_of([Packed(of_sample("skidder_scan"))], DAY)["jobs"][0]["bores"][0]["found"]
    assert 1 < len(many["head"]) <= 12 and 1 < len(many["rows"]) <= 8
    assert all(len(row) == 1 + len(many["head"]) for row in many["rows"])


def test_an_inch_job_has_its_pack_in_inches() -> None:
    told = strings(content_of([Packed(of_sample("inch_bucket"))], DAY)["jobs"])
    texts = "\n".join(one for one in told if "Section of bore" not in one)  # pictures are drawn in mm
    assert "3.5000 in" in texts and "68 °F" in texts
    assert not re.search(r"\d (?:mm|kg|°C)\b", re.sub(r"wire .*", "", texts))


# ---------------------------------------------------------------- several jobs


def test_several_jobs_make_one_pack_with_what_to_take_summed() -> None:
    book = read_pricebook()
    names = ("boom_foot", "crusher_boom")
    found = [of_sample(name) for name in names]
    take = take_for(found, book)
    lines = order([(ROOT / "sample_jobs" / f"{name}.json").read_bytes() for name in names], book)["lines"]
    bought = {line["item"]: (line["to_cover"], line["packs"]) for line in lines}
    assert {one["item"]: (pytest.approx(one["to_cover"]), one["packs"]) for one in take if one["to_cover"]} == {
        item: line for item, line in bought.items() if line[0]
    }
    content = content_of([Packed(one) for one in found], DAY, take)
    assert [one["reference"] for one in content["jobs"]] == [one["reference"] for one in found]
    assert content["take"][0][:3] == ["wire G3Si1 1.0 mm", "4.5 kg", "1 x 15 kg"]
    assert len(content["tools"]) == len(set(content["tools"]))


# ---------------------------------------------------------------- no money


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_money_is_in_a_pack(path: Path) -> None:
    found = of_sample(path.stem)
    texts = strings(content_of([Packed(found)], DAY))
    assert [one for one in texts if MONEY.search(one)] == []
    secret = amounts([found[key] for key in ("cost", "price")])
    assert len(secret) > 10
    numbers = {one for text in texts for one in re.findall(r"(?<![\d.])\d+\.\d{2}(?!\d)", text)}
    shown = {one for one in numbers & secret if float(one) > 200}  # smaller ones are sizes, feeds and hours as well
    assert shown == set()


@pytest.mark.office
def test_the_text_of_a_pack_holds_no_currency_and_no_amount() -> None:
    found = of_sample("crusher_boom")
    text = said(pack([Packed(found)], DAY))
    assert not MONEY.search(text)
    assert not re.search("|".join(re.escape(found["price"][key]) for key in ("before_tax", "tax", "total")), text)


def test_two_books_of_one_plan_make_the_same_bytes() -> None:
    cheap, dear = (estimate(job(), book) for book in (CHEAP_BOOK, DEAR_BOOK))
    assert cheap["cost"] != dear["cost"]
    assert pack([Packed(cheap)], DAY) == pack([Packed(dear)], DAY)


def test_what_is_packed_is_left_as_it_is() -> None:
    found = copy.deepcopy(of_sample("boom_foot"))
    first = pack([Packed(found)], DAY)
    assert found == of_sample("boom_foot")
    assert first == pack([Packed(found)], DAY)


# ---------------------------------------------------------------- texts are texts


@pytest.mark.office
def test_what_is_typed_prints_as_typed() -> None:
    text = '#panic() *bold* $x$ `raw` {page} <label> @ref // = "q" [x] \'); #read("/etc/passwd")'
    document = job(bore(name=text), title=text, customer={"name": text})
    found = re.sub(r"\s+", "", said(pack([Packed(estimate(document, read_pricebook()))], DAY)))
    assert found.count(re.sub(r"\s+", "", text)) >= 6


def test_a_document_of_before_has_a_pack_of_what_it_holds() -> None:
    old = json.loads((ROOT / "tests/estimator/document/old_quote.json").read_text("utf-8"))
    content = content_of([Packed(old)], DAY)
    assert [one["name"] for one in content["jobs"][0]["bores"]] == [one["name"] for one in old["bores"]]
    assert pack([Packed(old)], DAY).startswith(b"%PDF-")
