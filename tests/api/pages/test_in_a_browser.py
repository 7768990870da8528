"""The pages in a real browser: nobody is kept out, nothing is wider than a telephone, no script is needed."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, StorageState, sync_playwright

from tests.api.running import Server
from tests.runner.tools import BROWSER

pytestmark = pytest.mark.browser
PHONE = {"width": 360, "height": 740}
PAGES = [
    "/",
    "/jobs/1",
    "/quotes/100001",
    "/jobs/999",
    "/sign-in",
    "/call",
    "/call?job=1",
    "/jobs/1/bores/0",
    "/jobs/1/explain?key=price.before_tax",
    "/pricebook",
]
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=BROWSER.find(), args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture(scope="module")
def cookies(browser: Browser, stocked: Server) -> dict[str, StorageState]:
    """The cookies of those who signed in by the form, as a person does."""
    found = {}
    for role in ("owner", "field"):
        with browser.new_context(base_url=address(stocked), java_script_enabled=False) as context:
            page = context.new_page()
            page.goto("/jobs/1")
            page.get_by_label("Token").fill(stocked.tokens[role])
            page.get_by_role("button", name="Sign in").click()
            assert page.url.endswith("/jobs/1")
            assert page.get_by_role("heading", level=1).inner_text() == "OQ-9, Boom foot"
            found[role] = context.storage_state()
    return found


def address(stocked: Server) -> str:
    return f"http://127.0.0.1:{stocked.port}"


@pytest.fixture
def opened(browser: Browser, stocked: Server, cookies: dict[str, StorageState]) -> Iterator[Callable[..., Page]]:
    """Opens a browser of somebody who is signed in."""
    contexts: list[BrowserContext] = []

    def opened_as(role: str, **options: Any) -> Page:
        contexts.append(browser.new_context(base_url=address(stocked), storage_state=cookies[role], **options))
        return contexts[-1].new_page()

    yield opened_as
    for context in contexts:
        context.close()


@pytest.fixture
def owner(opened: Callable[..., Page]) -> Page:
    return opened("owner", java_script_enabled=False)


@pytest.mark.parametrize("path", PAGES)
def test_nobody_is_kept_out(opened: Callable[..., Page], path: str) -> None:
    """Checked by the rules of WCAG 2.2 AA (W3C), as far as a program can."""
    page = opened("owner", bypass_csp=True)  # the checker itself is a script
    page.goto(path)
    page.evaluate("document.querySelectorAll('details').forEach(one => (one.open = true))")  # what is folded counts too
    found = Axe().run(page, options=RULES)
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found.response["violations"]] == []


@pytest.mark.parametrize("path", PAGES)
def test_a_telephone_is_wide_enough(opened: Callable[..., Page], path: str) -> None:
    page = opened("owner", viewport=PHONE)
    page.goto(path)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_everything_works_without_a_script(owner: Page) -> None:
    owner.goto("/")
    owner.get_by_label("Reference, customer or machine").fill("QUARRY")
    owner.get_by_role("button", name="Search").click()
    assert owner.url.endswith("/?q=QUARRY&state=")
    owner.get_by_role("link", name="OQ-9").click()
    assert owner.get_by_role("heading", level=1).inner_text() == "OQ-9, Boom foot"
    owner.get_by_role("link", name="US units").click()
    assert "ipm" in str(owner.text_content("main"))
    owner.get_by_role("link", name="100001", exact=True).click()
    assert owner.locator(".kind .state").inner_text().lower() == "issued"


def test_the_workbook_is_a_link_away(owner: Page, tmp_path: Path) -> None:
    owner.goto("/quotes/100001")
    with owner.expect_download() as found:
        owner.get_by_role("link", name="Workbook, 100001.xlsx").click()
    found.value.save_as(tmp_path / "quote.xlsx")
    assert (tmp_path / "quote.xlsx").read_bytes().startswith(b"PK")


def test_the_field_sees_a_job_without_its_cost_and_signs_out(opened: Callable[..., Page]) -> None:
    page = opened("field", java_script_enabled=False)
    page.goto("/jobs/1")
    assert "the field, field" in page.inner_text("header")
    headings = page.get_by_role("heading", level=2).all_inner_texts()
    assert {"Sizes", "Bore A", "Hours", "Consumables"} <= set(headings)
    assert not [one for one in headings if "cost" in one.lower()]
    page.get_by_role("button", name="Sign out").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Sign in"
    page.goto("/jobs/1")
    assert page.get_by_label("Token").is_visible()


def test_nothing_is_fetched_and_nothing_is_blocked(opened: Callable[..., Page], stocked: Server) -> None:
    """The policy of the pages lets our style sheet in; a page asks for nothing but itself."""
    page, said, asked = opened("owner"), list[str](), list[str]()
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda request: asked.append(request.url) if request.url.startswith("http") else None)
    for path in ("/", "/jobs/1", "/quotes/100001"):
        page.goto(path)
        assert page.evaluate("getComputedStyle(document.querySelector('main')).maxWidth") == "1088px"
        assert page.evaluate("[...document.images].every(one => one.naturalWidth > 100 && one.alt.length > 20)")
    assert page.locator("img").count() == 6
    assert said == []
    assert {url.rpartition(str(stocked.port))[2] for url in asked} == {
        "/", "/jobs/1", "/quotes/100001", "/static/life.js", "/static/keep.js", "/static/why.js",
        "/static/fragment.js",
    }  # fmt: skip


def test_on_paper_there_is_what_counts(owner: Page) -> None:
    owner.goto("/quotes/100001")
    owner.emulate_media(media="print")
    assert not owner.locator(".top").is_visible()
    assert not owner.locator(".links").is_visible()
    assert owner.locator(".price").is_visible()
    assert not owner.get_by_role("heading", name="Cost").is_visible()  # a page on paper may reach the customer
    owner.emulate_media(media="screen")
