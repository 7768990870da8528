"""The field's pages as they are sent: no money in them, no script of their own, and what keeps them offline."""

import json
import re
from typing import Any

import pytest

from api.access.secrets import csrf_of
from api.pages.field.assets import NAMES, POLICY, WORKER
from api.pages.field.card import job_card
from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.api.conftest import ODD_BOOK
from tests.api.running import Reply, Server
from tests.api.service import SAMPLES

FORM = {"Content_Type": "application/x-www-form-urlencoded"}
MONEY = re.compile(r"\bEUR\b|€|\bprice|\bmargin|\bcost", re.IGNORECASE)
HTML = {"Accept": "text/html"}


@pytest.mark.parametrize("path", ["/field", "/field/100001"])
@pytest.mark.parametrize("role", ["owner", "field"])
def test_no_page_of_the_field_tells_of_money(stocked: Server, path: str, role: str) -> None:
    reply = stocked.ask("GET", path, role, **HTML)
    text = reply.body.decode()
    assert (reply.status, reply.headers["content-security-policy"]) == (200, POLICY)
    assert MONEY.findall(re.sub(r"data:image/[^\"]+|data-takes=\"[^\"]+\"", "", text)) == []
    assert not any(rate.split()[0] in text for rate in ODD_BOOK["rates"].values())
    assert re.findall(r"<script(?![^>]* src=)|<style| style=| on[a-z]+=|javascript:", text) == []
    assert "unsafe" not in POLICY


def test_a_card_holds_what_the_pack_does(stocked: Server) -> None:
    text = stocked.ask("GET", "/field/100001", "field", **HTML).body.decode()
    for said in (
        "Order of work",
        "build up A",
        "Bore clean to",
        "WIRE FEED",
        "Preheat through the wall",
        "Parts to take",
    ):
        assert said in text, said
    assert len(re.findall(r'class="record" data-bore="(\w+)"', text)) == 2
    assert stocked.ask("GET", "/field/99999", "field", **HTML).status == 404


def given(**content: Any) -> str:
    """Return what a card is given beside its estimate."""
    known = {"number": 7, "job_id": 1, "state": "accepted", "seen": 0, "records": [], "dates": [], "who": "",
             "quote": "7", "orders": False}  # fmt: skip
    caller = {"name": "Anna", "role": "field", "way": "session", "key": "k"}
    return json.dumps(
        {"caller": caller, "csrf": "", "today": "2026-11-30", "made": "2026-11-30T08:00", "content": known | content}
    )


def test_a_job_in_inches_is_recorded_in_inches() -> None:
    document = json.dumps(estimate((SAMPLES / "inch_bucket.json").read_bytes(), read_pricebook(), "plan"))
    signed = {"by": "Ben", "at": "now", "what": "signature", "signer": "foreman", "path": "M1 1L2 2"}
    text = job_card(document, given(records=[signed]))
    assert 'data-length="in" data-mass="lb" data-pressure="psi" data-warmth="degF"' in text
    assert '<path d="M1 1L2 2">' in text


@pytest.mark.parametrize("sample", ["boss_4140", "slew_post", "dozer_cut"])
def test_what_is_to_be_settled_stands_first(sample: str) -> None:
    """Stops and approvals stand under who decides."""
    document = estimate((SAMPLES / f"{sample}.json").read_bytes(), read_pricebook(), "plan")
    text = job_card(json.dumps(document), given())
    settled = [one for one in document["warnings"] if one["grade"] in ("stop", "approve")]
    assert ("Settle this first" in text) is bool(settled)
    assert text.count("<h3>", text.find("Settle this first"), text.find('id="work"')) >= bool(settled)


def test_a_quote_of_an_engine_too_old_leads_to_its_pack() -> None:
    text = job_card(json.dumps({"engine": "boreworth 0.0.1", "reference": "x"}), given())
    assert "made by boreworth 0.0.1" in text
    assert "/api/quotes/7/pack.pdf" in text


def test_what_keeps_the_pages_keeps_all_that_they_are_made_of(stocked: Server) -> None:
    listed = set(re.findall(r'"([\w.-]+\.(?:js|css|svg|png))"', WORKER.decode()))
    assert listed == set(NAMES)
    reply = stocked.ask("GET", "/field/worker.js", "field")
    assert reply.headers["service-worker-allowed"] == "/field"
    assert reply.headers["content-security-policy"] == "default-src 'none'; connect-src 'self'"
    manifest = json.loads(stocked.ask("GET", "/field/app.webmanifest", "field").body)
    assert (manifest["scope"], manifest["start_url"], manifest["display"]) == ("/field", "/field", "standalone")
    for icon in manifest["icons"]:
        assert stocked.ask("GET", icon["src"], "field").headers["content-type"] == icon["type"]
    tag = stocked.ask("GET", "/field/static/app.js", "field").headers["etag"]
    assert stocked.ask("GET", "/field/static/app.js", "field", If_None_Match=tag).status == 304
    assert stocked.ask("GET", "/field/static/..%2Ffield.css", "field").status in {403, 404}
    assert stocked.ask("GET", "/field/static/app.js").status == 401


def signed_in(stocked: Server, role: str, stay: str) -> Reply:
    form = f"token={stocked.tokens[role]}&next=/field{stay}".encode()
    return stocked.ask("POST", "/sign-in", None, form, **FORM)


@pytest.mark.parametrize(
    ("role", "stay", "hours"), [("field", "&stay=yes", 720), ("field", "", 12), ("owner", "&stay=yes", 12)]
)
def test_only_a_device_of_the_field_stays_signed_in(stocked: Server, role: str, stay: str, hours: int) -> None:
    reply = signed_in(stocked, role, stay)
    assert f"Max-Age={3600 * hours};" in reply.headers["set-cookie"]
    assert b"stay signed in for 30 days" in stocked.ask("GET", "/field", None, **HTML).body


@pytest.mark.parametrize(("role", "leads", "clears"), [("field", "/field", ""), ("owner", "/", '"cache", "storage"')])
def test_signing_out_leaves_entries_of_the_field_and_nothing_else(
    stocked: Server, role: str, leads: str, clears: str
) -> None:
    cookie = signed_in(stocked, role, "").headers["set-cookie"].partition(";")[0]
    form = f"csrf={csrf_of(cookie.partition('=')[2])}".encode()
    origin = f"http://{stocked.host}:{stocked.port}"
    reply = stocked.ask("POST", "/sign-out", None, form, **FORM, Cookie=cookie, Origin=origin)
    assert (reply.status, reply.headers["location"]) == (303, leads)
    assert reply.headers.get("clear-site-data", "") == clears


# ---------------------------------------------------------------- more wear found

CUT = "bores.0.cleanup_diameter"


def found(stocked: Server, role: str, diameter: str, name: str = "A") -> Any:
    document = {"bores": [{"name": name, "cleanup_diameter": diameter}]}
    return stocked.ask("POST", "/api/quotes/100001/found", role, document)


def test_more_wear_takes_more_and_the_field_sees_no_price(stocked: Server) -> None:
    less, more = (found(stocked, "owner", one).json for one in ("98 mm", "100 mm"))
    assert 0 < less["bores"][0]["deposit_more_kg"] < more["bores"][0]["deposit_more_kg"]
    assert 0 <= less["on_site_more_min"] <= more["on_site_more_min"]
    assert 0 < float(less["price_more"]) < float(more["price_more"])
    seen = found(stocked, "field", "98 mm").json
    assert seen == {key: value for key, value in less.items() if key != "price_more"}
    assert [row[0] for row in seen["bores"][0]["rows"]] == ["1: first", "1: then", "2"][: len(seen["bores"][0]["rows"])]


@pytest.mark.parametrize(
    ("diameter", "name", "path"),
    [
        ("96 mm", "A", "bores.0.cleanup_diameter"),
        ("98 mm", "Z", "bores.0.name"),
        ("98", "A", "bores.0.cleanup_diameter"),
    ],
)
def test_what_is_no_more_wear_is_refused(stocked: Server, diameter: str, name: str, path: str) -> None:
    reply = found(stocked, "field", diameter, name)
    assert (reply.status, [one["path"] for one in reply.json["errors"]]) == (422, [path])
