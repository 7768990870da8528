"""`boreworth explain`: three lines that answer, a screen of steps, and the way to any other."""

import json
import re
from pathlib import Path

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.api.commands.test_commands import run, saved
from tests.jobs import job


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return saved(tmp_path / "job.json", job())


MASS = "buildup.deposit_mass_kg"


def test_a_figure_is_explained_by_number_or_name_of_its_bore(good: Path) -> None:
    by_name = run("explain", good, f"bores.A.{MASS}", "--json")
    by_number = run("explain", good, f"bores.0.{MASS}", "--json")
    found, other = json.loads(by_name.stdout), json.loads(by_number.stdout)
    assert (by_name.exit_code, found["key"], other["key"]) == (0, *(f"bores.{one}.{MASS}" for one in "A0"))
    assert {**found, "key": ""} == {**other, "key": ""}
    assert found["value"] == estimate(job(), read_pricebook())["bores"][0]["buildup"]["deposit_mass_kg"]
    assert found["steps"]
    page = run("explain", good, "bores.A.buildup.deposit_mass_kg")
    assert page.stdout.startswith(f"bores.A.buildup.deposit_mass_kg = {found['value']} kg")


def test_a_total_is_explained_in_three_lines_and_a_screen_of_steps(good: Path) -> None:
    page, whole = run("explain", good, "price.total").stdout, run("explain", good, "price.total", "--json").stdout
    found = json.loads(whole)
    first, words, source, *tree = page.splitlines()
    top = {one["name"]: one["value"] for one in found["steps"][-1]["inputs"]}
    assert first == f"price.total = {found['value']}: Price with tax"
    assert words == f"  Price with tax = price before tax {top['before_tax']} + tax {top['tax']}"
    assert source == "  source: definition (computed)"
    assert len(found["steps"]) > 500
    assert len(tree) <= 45
    shown = {int(number) for number in re.findall(r"\[(\d+)\]$", page, re.MULTILINE)}
    assert tree[-1].startswith(f"{len(found['steps']) - 1 - len(shown):,} more steps below: --step N")


def test_any_step_of_a_figure_can_be_begun_at_and_gone_deeper_from(good: Path) -> None:
    steps = json.loads(run("explain", good, "price.total", "--json").stdout)["steps"]
    for one in steps[::97]:
        page = run("explain", good, "price.total", "--step", one["step"])
        assert page.exit_code == 0
        assert page.stdout.startswith(f"[{one['step']}] {one['name']} = {one['value']}")
    whole = run("explain", good, "price.total", "--depth", 99).stdout
    assert {f"[{one['step']}]" for one in steps[:-1]} == set(re.findall(r"\[\d+\]$", whole, re.MULTILINE))
    none = run("explain", good, "price.total", "--step", len(steps) + 1)
    assert (none.exit_code, none.stdout) == (2, "")
    assert none.stderr.startswith("--step: no step behind this figure named")


def test_a_text_of_the_document_is_said_to_be_no_figure(good: Path) -> None:
    assert run("explain", good, "bores.A.name").stdout == "bores.A.name = A\n  a text of the document, not a figure\n"


def test_an_unknown_figure_names_near_ones(good: Path) -> None:
    done = run("explain", good, "price.totl")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"{good}: price.totl: no such figure; near: price.total")
    assert done.stderr.count("\n") == 1
