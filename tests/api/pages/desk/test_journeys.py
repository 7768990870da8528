"""A call to an issued quote in a real browser: by keyboard alone on a desk, by fingers on a telephone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect, sync_playwright

from tests.api.running import Server, serving
from tests.runner.tools import BROWSER

pytestmark = pytest.mark.browser
KEY, CLICK = 0.3, 2.0  # [s] of somebody who is no typist, the look for it included
PATIENCE = 30_000.0  # [ms]; a loaded machine
LONGEST = 180.0  # [s] from nothing to an issued quote


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=BROWSER.find(), args=["--no-sandbox"])
        yield found
        found.close()


class Person:
    """Somebody at a page, whose keys and clicks are counted; what the page says and asks for is noted."""

    def __init__(self, page: Page) -> None:
        self.page, self.spent, self.said, self.asked = page, 0.0, list[str](), set[str]()
        page.set_default_timeout(PATIENCE)
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("request", lambda request: self.asked.add(request.url.split("/")[2]) if "//" in request.url else None)
        page.on("dialog", lambda dialog: dialog.accept())

    def type(self, *texts: str) -> None:
        """Type texts, each with Enter behind it but the last."""
        for number, text in enumerate(texts):
            self.page.keyboard.type(text)
            self.spent += KEY * len(text)
            if number < len(texts) - 1:
                self.press("Enter")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.spent += KEY

    def tab_to(self, place: Locator) -> None:
        """Go on by Tab until a place has the focus."""
        expect(place).to_be_visible(timeout=PATIENCE)
        for _ in range(60):
            if place.evaluate("one => one === document.activeElement"):
                return
            self.press("Tab")
        raise AssertionError(f"Tab never comes to {place}")

    def tap(self, place: Locator) -> None:
        place.click()
        self.spent += CLICK


@pytest.fixture
def desk(sqlite: str, tmp_path: Path) -> Iterator[Server]:
    with serving(sqlite, log=tmp_path / "log") as server:
        yield server


def button(page: Page, name: str) -> Locator:
    return page.get_by_role("button", name=name, exact=True)


def test_from_a_call_to_an_issued_quote_by_keyboard_alone(browser: Browser, desk: Server) -> None:
    with browser.new_context(base_url=f"http://127.0.0.1:{desk.port}") as context:
        me = Person(page := context.new_page())
        page.goto("/")
        me.tab_to(page.locator("main").get_by_role("link", name="New call"))
        me.press("Enter")
        expect(page.get_by_label("Customer")).to_be_focused(timeout=PATIENCE)
        me.type("Oakmoor Quarry", "loader, boom foot", "85", "", "", "90", "93", "70")
        page.reload()  # what is typed is not lost with the page
        me.tab_to(button(page, "Take it up again"))
        me.press("Enter")
        expect(page.get_by_label("Nominal")).to_have_value("90")
        me.tab_to(button(page, "Add a bore"))
        me.press("Enter")
        me.type("92,8 kg")
        fault = page.locator("[data-name='bores.1.worn_diameter'] .fault")
        expect(fault).to_contain_text("length", timeout=PATIENCE)
        me.press("Backspace", "Backspace", "Backspace")
        expect(fault).to_be_hidden(timeout=PATIENCE)
        expect(page.locator("#live")).to_contain_text("2 bores", timeout=PATIENCE)
        me.tab_to(button(page, "Save and draft the quote"))
        me.press("Enter")
        page.wait_for_url("**/quotes/100001")
        me.tab_to(page.locator("summary", has_text="Send as a budget price"))
        me.press("Enter")
        me.tab_to(button(page, "Send as a budget price"))
        me.press("Enter")
        expect(page.locator(".kind .state")).to_have_text("issued", timeout=PATIENCE)
        assert page.evaluate("Object.keys(localStorage)") == []
        assert me.spent < LONGEST
        assert (me.said, me.asked) == ([], {f"127.0.0.1:{desk.port}"})


def test_readings_are_pasted_and_a_choice_is_weighed(browser: Browser, desk: Server) -> None:
    bore = {"name": "A", "nominal_diameter": "90 mm", "worn_diameter": "93 mm", "length": "70 mm", "material": "S355J2"}
    assert desk.ask("POST", "/api/jobs", body={"reference": "P-1", "bores": [bore]}).status == 201
    with browser.new_context(base_url=f"http://127.0.0.1:{desk.port}") as context:
        me = Person(page := context.new_page())
        page.goto("/jobs/1/bores/0")
        expect(page.locator("#pictures img")).to_have_count(1, timeout=PATIENCE)
        page.get_by_label("Depth 1, clock 1").focus()
        page.evaluate("""text => {
            const held = new DataTransfer();
            held.setData("text/plain", text);
            const pasted = new ClipboardEvent("paste", { clipboardData: held, bubbles: true, cancelable: true });
            document.activeElement.dispatchEvent(pasted);
        }""", "92,9\t91.7\t90.2\t91.5\n93.0\t91.8\t90.2\t91.6\n92.8\t91.6\t90.1\t91.4\n")  # fmt: skip
        expect(page.locator("#pictures img")).to_have_count(2, timeout=PATIENCE)  # a wear map and a section
        me.press("Enter")
        expect(page.get_by_label("Depth 1, clock 2")).to_be_focused()
        me.tap(page.locator("[data-choice='options.layers'] summary"))
        expect(page.locator("[data-choice='options.layers'] table")).to_contain_text("EUR", timeout=PATIENCE)
        me.tap(page.locator("a.why").nth(1))
        expect(page.locator("#why .figure-said")).to_contain_text("on_site_min", timeout=PATIENCE)
        me.press("Escape")
        me.tap(button(page, "Save the bore"))
        page.wait_for_url("**/jobs/1")
        kept = desk.ask("GET", "/api/jobs/1").json["job"]["bores"][0]
        assert kept["readings"]["values"][0] == [92.9, 91.7, 90.2, 91.5]
        assert me.said == []


@pytest.mark.thorough
def test_on_a_telephone_and_a_shared_database(browser: Browser, postgresql: str, tmp_path: Path) -> None:
    phone = {"width": 390, "height": 844}
    with serving(postgresql, log=tmp_path / "log") as server:
        base = f"http://127.0.0.1:{server.port}"
        with browser.new_context(base_url=base, viewport=phone, has_touch=True, color_scheme="dark") as context:
            me = Person(page := context.new_page())
            page.goto("/")
            me.tap(page.locator("main").get_by_role("link", name="New call"))
            for label, text in (
                ("Customer", "Oakmoor"),
                ("Distance", "85"),
                ("Nominal", "90"),
                ("Worn, largest", "93"),
            ):
                me.tap(page.get_by_label(label))
                me.type(text)
            me.tap(page.get_by_label("Length"))
            me.type("70")
            me.tap(button(page, "Add a bore"))
            me.type("92,8")
            me.tap(button(page, "Save and draft the quote"))
            page.wait_for_url("**/quotes/100001")
            me.tap(page.locator("summary", has_text="Send as a budget price"))
            me.tap(button(page, "Send as a budget price"))
            expect(page.locator(".kind .state")).to_have_text("issued", timeout=PATIENCE)
            assert page.evaluate("document.documentElement.scrollWidth") <= phone["width"]
            assert me.spent < LONGEST
            assert (me.said, me.asked) == ([], {f"127.0.0.1:{server.port}"})
