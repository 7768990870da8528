"""A day on site in a real browser, the network and the server gone in between: nothing is lost, nothing is doubled."""

import datetime
import re
import socket
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.api.running import PATIENCE, Server, give_tokens, serving, token_command
from tests.depth import THOROUGH
from tests.jobs import bore, job
from tests.runner.tools import BROWSER

pytestmark = pytest.mark.browser
PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
DATABASES = ["sqlite", *(["postgresql"] if THOROUGH else [])]
READY = "body[data-ready]"
MONEY = re.compile(r"\bEUR\b|€|price|margin", re.IGNORECASE)
KEPT = """async () => {
  const found = [];
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const one of await cache.keys()) {
      found.push([new URL(one.url).pathname, await (await cache.match(one)).text()]);
    }
  }
  return found;
}"""
LOST = """() => {
  const real = window.fetch;
  window.fetch = async (...asked) => {
    const reply = await real(...asked);
    const lost = document.body.dataset;
    if (!lost.lost && String(asked[0]).endsWith("/actuals")) { lost.lost = "yes"; throw new TypeError("lost"); }
    return reply;
  };
}"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=BROWSER.find(), args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture(params=DATABASES)
def shared(request: pytest.FixtureRequest) -> str:
    found: str = request.getfixturevalue(request.param)
    return found


def free_port() -> int:
    with closing(socket.socket()) as line:
        line.bind(("127.0.0.1", 0))
        return int(line.getsockname()[1])


class Site:
    """A service that is stopped and started at one address, and a phone that is signed in there."""

    def __init__(self, database: str, folder: Path) -> None:
        self.database, self.folder, self.port = database, folder, free_port()
        self.tokens, self.starts = give_tokens(database), 0

    def served(self) -> Any:
        self.starts += 1
        log = self.folder / f"log-{self.starts}"
        return serving(self.database, "--port", str(self.port), log=log, BOREWORTH_LOGIN="always")

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"


def stocked(server: Server, tokens: dict[str, str]) -> None:
    """Put an accepted quote on today, or on the next day of work, and a second one beside it."""
    server.tokens = tokens
    document = job(bore(), reference="OQ-9", title="Boom foot")
    day = datetime.date.today()
    while day.weekday() > 4:
        day += datetime.timedelta(days=1)
    for number, name in ((100001, "the field"), (100002, "Ben")):
        assert server.ask("POST", "/api/jobs", "owner", document).status == 201
        assert server.ask("POST", f"/api/jobs/{number - 100000}/quotes", "owner", {}).status == 201
        for step in ("issue", "accept"):
            assert server.ask("POST", f"/api/quotes/{number}/{step}", "owner", {}).status == 200
        placed = {"start": day.isoformat(), "technicians": [name]}
        assert server.ask("POST", f"/api/quotes/{number}/days", "owner", placed).status == 201


def signed_in(context: BrowserContext, site: Site) -> Page:
    """Return a page of a phone whose holder signed in once."""
    page = context.new_page()
    page.goto("/field")
    page.get_by_label("Token").fill(site.tokens["field"])
    assert page.get_by_label("This device goes to site").is_checked()
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_selector(READY)
    return page


def opened(page: Page) -> None:
    """Open the job as a thumb does."""
    page.get_by_role("link", name="OQ-9").first.click()
    page.wait_for_selector(READY)


def until_kept(page: Page, path: str) -> None:
    """Wait until a page is kept on the phone."""
    end = time.monotonic() + PATIENCE
    while path not in {one for one, _ in page.evaluate(KEPT)}:
        assert time.monotonic() < end
        time.sleep(0.05)


def record(page: Page, name: str, **fields: str) -> None:
    """Fill in and keep the record of a bore."""
    form = page.locator(f'form.record[data-bore="{name}"]')
    if not form.is_visible():
        page.get_by_text(f"Record bore {name}", exact=True).click()
    for label, text in fields.items():
        form.locator(f'[name="{label}"]').fill(text)
    form.get_by_role("button", name=f"Keep record of bore {name}").click()


def sign(page: Page) -> None:
    page.get_by_text("Sign", exact=True).click()
    pad = page.get_by_role("img", name="Box to sign in")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 30, box["y"] + 60)
    page.mouse.down()
    for step in range(1, 9):
        page.mouse.move(box["x"] + 30 + 25 * step, box["y"] + 60 + 20 * (step % 2))
    page.mouse.up()
    page.get_by_label("Name of who signs").fill("site foreman")
    page.get_by_role("button", name="Keep signature").click()


def records(server: Server) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = server.ask("GET", "/api/jobs/1/actuals", "owner").json["items"]
    return found[::-1]


def go_up(page: Page) -> None:
    """Let a page send what waits, as it does by itself within a quarter of a minute."""
    page.evaluate("dispatchEvent(new Event('online'))")


def test_a_day_without_network_loses_nothing_and_doubles_nothing(browser: Browser, shared: str, tmp_path: Path) -> None:
    site = Site(shared, tmp_path)
    with browser.new_context(base_url=site.address, **PHONE) as context:
        with site.served() as server:
            stocked(server, site.tokens)
            page = signed_in(context, site)
            days = (context.cookies()[0]["expires"] - datetime.datetime.now().timestamp()) / 86400
            assert 29.9 < days < 30.1
            assert page.locator("a.job").first.get_attribute("href") == "/field/100001"  # one's own first
            opened(page)
            until_kept(page, "/field/100001")
            context.set_offline(True)
            page.reload()
            page.wait_for_selector(READY)
            expect(page.locator("#net")).to_contain_text("No network")
            page.locator("label.tick").first.click()
            record(page, "A", setup="150", arc_time="34,5", spool_before="15,2", spool_after="14.3")
            sign(page)
            expect(page.locator("#entries li")).to_have_count(2)
        context.set_offline(False)  # the network is back, the server is not
        page.goto("/field")
        page.wait_for_selector(READY)
        opened(page)
        assert page.locator("label.tick input").first.is_checked()
        expect(page.locator("#entries li")).to_have_count(2)
        with site.served() as server:
            server.tokens = site.tokens
            page.evaluate(LOST)
            go_up(page)
            page.wait_for_selector("body[data-lost]")
            assert page.locator("#entries li").count() == 2
            go_up(page)
            expect(page.locator("#entries li")).to_have_count(0)
            done = [one["record"] for one in records(server)]
            assert [one["bores"][0] if "bores" in one else one["signature"] for one in done] == [
                {"name": "A", "setup": "150 min", "arc_time": "34.5 min", "wire": "0.9 kg"}, "site foreman",
            ]  # fmt: skip
            assert re.fullmatch(r"M\d+ \d+(L\d+ \d+){4,}", done[1]["signature_path"])
            _clashes(page, server)
            _leaves(page, context, site)


def _clashes(page: Page, server: Server) -> None:
    """What somebody else recorded meanwhile is shown, and stays until one says what holds."""
    theirs = {"quote": "100001", "bores": [{"name": "A", "on_site": "5 h"}]}
    assert server.ask("POST", "/api/jobs/1/actuals", "owner", theirs).status == 201
    record(page, "A", on_site="4.5")
    expect(page.locator("#entries li")).to_contain_text("somebody else recorded the same")
    expect(page.locator("#entries li")).to_contain_text("record 3 of the owner says already: bore A on site")
    assert len(records(server)) == 3
    page.get_by_role("button", name="Mine instead of theirs").click()
    expect(page.locator("#entries li")).to_have_count(0)
    assert [one["replaces"] for one in records(server)] == [None, None, None, 3]


def _leaves(page: Page, context: BrowserContext, site: Site) -> None:
    """No money is kept on the phone; who signs out leaves no page on it, nor does one whose token was revoked."""
    kept = page.evaluate(KEPT)
    assert {"/field", "/field/100001", "/field/100002"} <= {path for path, _ in kept}  # the next job too, never opened
    assert [path for path, _ in kept if path != "/field" and not path.startswith("/field/")] == []
    assert [
        (path, MONEY.findall(text)) for path, text in kept if not path.endswith(".css") and MONEY.search(text)
    ] == []
    page.get_by_role("button", name="Sign out").click()
    page.get_by_label("Token").wait_for()
    assert [path for path, _ in page.evaluate(KEPT) if not path.startswith("/field/static")] == []
    page = signed_in(context, site)
    until_kept(page, "/field/100001")
    assert token_command(site.database, "revoke", "the field")[0] == 0
    page.goto("/field/100001")
    assert page.get_by_label("Token").is_visible()
    assert "/field/100001" not in {path for path, _ in page.evaluate(KEPT)}
