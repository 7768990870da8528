"""The page of the diary by its forms: placed by one click, moved, taken off, refused with what is in the way."""

import re

import pytest
from starlette.testclient import TestClient

from tests.api.store.test_diary import FRIDAY, MONDAY, TUESDAY, accepted, put

HTML = {"accept": "text/html"}
FORM = re.compile(r'<form class="one" method="post" action="(/diary/[^"]+)">(.*?)</form>', re.DOTALL)
FIELD = re.compile(r'name="(\w+)" value="([^"]*)"')


@pytest.fixture(scope="module")
def quotes(stand: TestClient) -> tuple[str, str]:
    """Two accepted quotes, and two technicians."""
    for name in ("Anna", "Ben"):
        stand.post("/api/diary/names", json={"kind": "technician", "name": name})
    return accepted(stand, reference="D-1"), accepted(stand, reference="D-2")


@pytest.fixture(autouse=True)
def on_a_monday(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in ("api.routes.diary", "api.pages.diary", "api.pages.diary_view"):
        monkeypatch.setattr(f"{module}.today", lambda: MONDAY)


def buttons(text: str) -> dict[str, tuple[str, dict[str, list[str]]]]:
    """Return the forms of one button by its words: where it leads, and what it sends."""
    found = dict[str, tuple[str, dict[str, list[str]]]]()
    for action, inside in FORM.findall(text):
        fields = dict[str, list[str]]()
        for name, value in FIELD.findall(inside):
            fields.setdefault(name, []).append(value)
        label = re.sub("<[^>]+>", "", inside).strip()
        found[f"{label} {fields.get('start', [''])[0]}".strip()] = (action.replace("&amp;", "&"), fields)
    return found


def click(stand: TestClient, text: str, label: str) -> str:
    """Click a button of a page; return the page it leads to."""
    path, fields = buttons(text)[label]
    reply = stand.post(path, data=fields, headers=HTML)
    return str(reply.text)


def test_a_quote_is_placed_moved_and_taken_off_by_clicks(stand: TestClient, quotes: tuple[str, str]) -> None:
    one, _ = quotes
    text = stand.get("/diary", headers=HTML).text
    text = click(stand, text, f"Put on Mon {MONDAY}, Anna {MONDAY}")
    assert "D-1" not in re.findall(r'aria-label="Choose a day for ([^"]+)"', text)
    text = stand.get(f"/diary?quote={one}", headers=HTML).text
    assert f"Begin here: Anna {MONDAY}" in buttons(text)  # its own days are free for it
    text = click(stand, text, f"Begin here: Anna {FRIDAY}")
    assert stand.get(f"/api/quotes/{one}/days").json()["placed"]["start"] == FRIDAY
    text = click(stand, text, "Take off")
    assert stand.get(f"/api/quotes/{one}/days").json()["placed"] is None


def test_what_is_in_the_way_is_said_on_the_page(stand: TestClient, quotes: tuple[str, str]) -> None:
    one, other = quotes
    text = stand.get(f"/diary?quote={other}&who=Ben", headers=HTML).text
    assert f"Begin here: Ben {TUESDAY}" in buttons(text)
    put(stand, one, TUESDAY, "Ben")
    path, fields = buttons(text)[f"Begin here: Ben {TUESDAY}"]  # the page is older than that
    reply = stand.post(path, data=fields, headers=HTML)
    assert (reply.status_code, f"Ben is at quote {one} on {TUESDAY}." in reply.text) == (409, True)
    assert stand.post("/diary/nowhere", data={"x": "y"}, headers=HTML).status_code == 404
    assert stand.post("/diary/add-name", data={"kind": "van", "name": "x"}, headers=HTML).status_code == 422
    stand.delete(f"/api/quotes/{one}/days")


def test_who_goes_and_days_off_are_entered_by_forms(stand: TestClient, quotes: tuple[str, str]) -> None:
    stand.post("/diary/add-name", data={"kind": "rig", "name": "Rig 1"}, headers=HTML)
    text = stand.post("/diary/add-day-off", data={"date": TUESDAY, "name": "fair"}, headers=HTML).text
    assert "fair" in text
    assert f"Begin here: Anna {TUESDAY}" not in buttons(stand.get(f"/diary?quote={quotes[0]}", headers=HTML).text)
    text = click(stand, text, f"Remove {TUESDAY}")
    text = click(stand, text, "Remove Rig 1")
    assert "No rig is entered" in text
    assert "Next free week" in stand.get("/", headers=HTML).text
