"""The order of work on the text page and the web page: days, roles, other crews; kinds of cost; old documents."""

import copy
import re
from typing import Any
from urllib.parse import unquote

import pytest

from api.pages.view import estimate_view
from estimator.book.pricebook import read_pricebook
from estimator.document.redact import redact
from exports.adding import said_adding_up
from exports.format import hours_said, moved
from exports.page.estimate import page
from exports.page.first import SHOWN
from exports.page.job import KINDS
from exports.pictures.schedule import schedule_pictures
from tests.exports.schedule_samples import NAMES, sample
from tests.jobs import job, quick
from tests.raw import estimate

EVERY = pytest.mark.parametrize("name", NAMES)


def _section(text: str, heading: str) -> str:
    """Return what stands below a heading, up to the next one."""
    return text.partition(f"\n{heading}")[2].partition("\n\n\n")[0]


@EVERY
def test_the_page_has_each_day_and_each_role(name: str) -> None:
    found = sample(name)
    said = " ".join(_section(page(found, "metric", ["days"]), "DAYS").split())
    schedule = found["schedule"]
    assert schedule["ends"] in said
    for one in schedule["days"]:
        assert re.search(rf"day {one['day']}\b.*{one['begins']} to \d\d:\d\d", said)
        assert (
            one["hot_until"] is None
            or f"hot until {one['hot_until']}, then fire watch until {one['watch_until']}" in said
        )
    for role in schedule["roles"]:
        parts = [60 * role[key] for key in ("work_h", "waiting_h", "travel_h")]
        hours = " ".join([*said_adding_up(parts, sum(parts)), hours_said(role["overtime_h"])])
        assert f"{role['role']} {hours}" in said


@EVERY
def test_the_page_says_what_another_crew_changes(name: str) -> None:
    found = sample(name)
    said = _section(page(found, "metric", ["days"]), "WITH ANOTHER CREW")
    for one in found["schedule"]["crews"]:
        assert one["name"] in said
        assert moved(one["price_more"], found["price"]["currency"]) in said
    assert bool(said) == bool(found["schedule"]["crews"])


@EVERY
def test_each_hour_that_costs_belongs_to_a_kind_of_work(name: str) -> None:
    kinds = {code for _, codes in KINDS for code in codes}
    codes = {one["code"] for one in sample(name)["cost"]["lines"]}
    own = {
        f"labour-{one['code'].replace(' ', '-')}" for bore in sample(name)["bores"] for one in bore["features"]
    }  # by their own name
    assert {code for code in codes if code.startswith("labour") or code == "overtime"} - own <= kinds


def test_the_attendant_stands_by_and_overtime_is_named() -> None:
    assert "labour-attendant" in {one["code"] for one in sample("confined")["cost"]["lines"]}
    assert "waiting and standby, labour" in page(sample("confined"), "metric", ["cost"])
    late = estimate(job(quick(90, 93)), read_pricebook({"overtime": "3 h"}))
    assert "overtime" in {one["code"] for one in late["cost"]["lines"]}
    assert re.search(r"^  overtime, work at night and weekends +\d", page(late, "metric", ["cost"]), re.MULTILINE)


@pytest.mark.parametrize("role", ["owner", "field", "fleet"])
@EVERY
def test_the_web_page_shows_the_picture_and_the_days(name: str, role: Any) -> None:
    found = redact(sample(name), role)
    view = estimate_view(found, "metric")
    svg = [unquote(one.source.partition(",")[2]) for one in view["order"]]
    assert svg == [one.replace("\n", "") for one in schedule_pictures(found)]
    assert [row[0] for row in view["days"].rows] == [f"{one['day']}" for one in found["schedule"]["days"]]
    assert [row[0] for row in view["crews"].rows] == [one["name"] for one in found["schedule"]["crews"]]


def test_an_old_document_shows_no_order_of_work() -> None:
    found = copy.deepcopy(sample("one bore"))
    del found["schedule"]
    view = estimate_view(found, "metric")
    assert view["order"] == view["days"].rows == view["crews"].rows == []
    assert "WITH ANOTHER CREW" not in page(found, "metric", SHOWN)
