"""The field's pages and the diary in a real browser: nobody kept out, a phone wide enough, thumbs find buttons."""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, StorageState, sync_playwright

from tests.api.running import Server
from tests.runner.tools import BROWSER

pytestmark = pytest.mark.browser
RULES: dict[str, Any] = {
    "light": {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]},
    "dark": {"runOnly": {"type": "rule", "values": ["color-contrast"]}},  # all else is the same
}
PAGES = ["/field", "/field/100001", "/diary?quote=100001"]
THUMB = 48  # pixels
OPEN = "for (const one of document.querySelectorAll('details')) one.open = true"
SMALL = """(least) => [...document.querySelectorAll('button, summary, nav a, a.job, input, select, label.tick')]
  .filter((one) => one.type !== 'hidden' && one.offsetParent && !one.closest('label.tick') || one.matches('label.tick'))
  .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect().height])
  .filter(([, height]) => height < least)"""
TIMED = """() => {
  const place = document.querySelector('[data-timer][data-bore="A"][data-kind="machining"]');
  const name = `boreworth.field.timer.100001.${place.dataset.timer}`;
  localStorage.setItem(name, JSON.stringify({ ms: 25 * 60000, since: null }));
}"""
NUMBERS = """async () => {
  const { number, verdict } = await import('/field/static/numbers.js');
  const read = ['92,9', '92.9', '3 1/2', '7/16', '', '1.2.3', '-4', '9'.repeat(9)].map(number);
  const said = [90.006, 90.048, 90.005, 90.06, 90.061, 89.99].map((one) => verdict(one, 90, 90.054, 0.006));
  return [read.map((one) => Number.isNaN(one) ? 'none' : one), said];
}"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=BROWSER.find(), args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture(scope="module")
def signed(browser: Browser, stocked: Server) -> StorageState:
    with browser.new_context(base_url=f"http://127.0.0.1:{stocked.port}") as context:
        page = context.new_page()
        page.goto("/field")
        page.get_by_label("Token").fill(stocked.tokens["owner"])
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_selector("body[data-ready]")
        return context.storage_state()


@pytest.fixture
def opened(browser: Browser, stocked: Server, signed: StorageState) -> Iterator[Callable[..., Page]]:
    """Opens a page on a phone."""
    contexts = []

    def opened_at(path: str, **options: Any) -> Page:
        phone: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "storage_state": signed, **options}
        contexts.append(browser.new_context(base_url=f"http://127.0.0.1:{stocked.port}", **phone))
        page = contexts[-1].new_page()
        page.goto(path)
        return page

    yield opened_at
    for context in contexts:
        context.close()


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nobody_is_kept_out(opened: Callable[..., Page], path: str, scheme: str) -> None:
    """Checked by the rules of WCAG 2.2 AA (W3C), as far as a program can, all cards open."""
    page = opened(path, color_scheme=scheme, bypass_csp=True)  # the checker itself is a script
    page.evaluate(OPEN)
    found = Axe().run(page, options=RULES[scheme])
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found.response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_gloves_find_what_they_press(opened: Callable[..., Page]) -> None:
    page = opened("/field/100001")
    page.evaluate(OPEN)
    assert page.evaluate(SMALL, THUMB) == []
    assert len(page.evaluate(SMALL, 10 * THUMB)) > 50  # what is looked at


def test_numbers_are_read_as_people_type_them_and_judged_by_the_gauge(opened: Callable[..., Page]) -> None:
    read, said = opened("/field").evaluate(NUMBERS)
    assert read == [92.9, 92.9, 3.5, 0.4375, None, "none", "none", "none"]
    inside, outside = "conforms", "does not conform"
    assert said == [inside, inside, "not proven", "not proven", outside, outside]


@pytest.fixture(scope="module")
def accepted(stocked: Server) -> str:
    """A quote of job 1 that was accepted."""
    number = str(stocked.ask("POST", "/api/jobs/1/quotes", "owner", {}).json["number"])
    for step in ("issue", "accept"):
        assert stocked.ask("POST", f"/api/quotes/{number}/{step}", "owner", {}).status == 200
    return number


def test_more_wear_is_planned_anew_and_goes_to_the_office(
    opened: Callable[..., Page], stocked: Server, accepted: str
) -> None:
    page = opened(f"/field/{accepted}")
    asked = list[str]()
    page.on("request", lambda request: asked.append(request.url))
    page.get_by_text("Enter the diameter it cleaned up at").click()
    page.locator('form.wear [name="diameter"]').fill("98,5")
    page.get_by_role("button", name="Plan anew").click()
    page.get_by_role("button", name="Record it for the office").click()
    page.locator("#net", has_text="all gone up").wait_for()
    page.locator("#queue").wait_for(state="hidden")
    kept = stocked.ask("GET", "/api/jobs/1/actuals", "owner").json["items"][0]["record"]
    assert re.match(r"more wear found: bore A clean at 98\.5 mm; bore A \d layers?; wire", kept["note"])
    assert {url.split("/")[2] for url in asked} == {f"127.0.0.1:{stocked.port}"}


def test_what_is_typed_and_timed_outlasts_a_reload(opened: Callable[..., Page]) -> None:
    page = opened("/field/100001")
    page.wait_for_selector("body[data-ready]")
    page.evaluate(TIMED)
    form = page.locator('form.record[data-bore="A"]')
    page.get_by_text("Record bore A", exact=True).click()
    form.locator('[name="tips"]').fill("2")
    page.reload()
    page.get_by_text("Record bore A", exact=True).click()
    form.get_by_role("button", name="Take from the timers").click()
    typed = [form.locator(f'[name="{name}"]').input_value() for name in ("tips", "machining", "on_site")]
    assert typed == ["2", "25", "0.42"]
    page.get_by_role("button", name="Start the timer of").first.click()
    assert page.get_by_role("button", name="Stop the timer of").count() == 1


@pytest.mark.usefixtures("accepted")
def test_the_diary_is_clicked_without_a_script(opened: Callable[..., Page]) -> None:
    page = opened("/diary", java_script_enabled=False, viewport={"width": 1280, "height": 800})
    page.get_by_label("Name", exact=True).fill("Zoe")
    page.get_by_role("button", name="Add technician").click()
    page.get_by_role("button", name=re.compile("Put on .*Zoe")).click()
    assert page.locator(".diary .job").first.inner_text().startswith("OQ-9")
    page.get_by_role("link", name="Move OQ-9").click()
    page.get_by_role("button", name="Begin here: Zoe").last.click()
    page.get_by_role("button", name="Take off").click()
    assert page.locator(".diary .job").count() == 0
