"""Field and fleet: nothing that is answered, drawn up, shown or written down holds a cost or a margin."""

import io
import json
import re
import zipfile
from collections.abc import Iterator
from typing import Any

import pytest

from estimator.strict import sha256
from tests.api.conftest import ODD_BOOK
from tests.api.running import Reply, Server
from tests.exports.papers.printed import said

HIDING = ["field", "fleet"]
LARGE = 1e6  # from there on the short way writes powers of ten
LEAST_DIGITS = 4  # a figure of fewer digits stands somewhere by chance
WORDS = re.compile(
    rb"unit[_ ]cost|(?<!downtime_)cost_|margin reached|cost lines|cost in all|price_key|bears_margin"
    rb"|\"(?:cost|margin|rule)\"\s*:",
    re.IGNORECASE,
)
PAGES = [
    "/",
    "/?q=quarry",
    "/?state=issued",
    "/jobs/1",
    "/jobs/1?units=us",
    "/quotes/100001",
    "/quotes/100002",
    "/jobs/9",
]
READS = [
    "/api/jobs",
    "/api/jobs/1",
    "/api/jobs/1/actuals",
    "/api/jobs/1/quotes",
    "/api/quotes",
    "/api/quotes/100001",
    "/api/quotes/100002",
]
BOOKS = ["/api/quotes/100001.xlsx", "/api/quotes/100002.xlsx"]
REFUSED = [
    "/metrics",
    "/api/pricebooks",
    "/api/pricebooks/odd",
    "/api/calibration",
    "/api/calibrations",
    "/api/calibrations/1",
    "/api/nothing",
    "/api/quotes/100001/invoice",
    "/api/quotes/100001/variance",
]


def numbers_in(found: Any) -> Iterator[str]:
    """Yield every number of a document as text, plain and as text in it."""
    if isinstance(found, dict):
        found = list(found.values())
    if isinstance(found, list):
        for one in found:
            yield from numbers_in(one)
    elif isinstance(found, float | int) and not isinstance(found, bool):
        yield repr(found)
    elif isinstance(found, str):
        yield from re.findall(r"\d+\.\d+|\d+", found)


def figure(text: str) -> set[bytes]:
    """Return a figure as JSON, a workbook or a page would write it; nothing for one that says nothing."""
    number = float(text)
    if len(text.replace(".", "").strip("0")) < LEAST_DIGITS:
        return set()
    places = len(text.partition(".")[2])
    ways = {
        text,
        repr(number),
        f"{number:,.{places}f}",
        f"{number:g}" if number < 1e6 else text,
    }  # when %g turns to powers
    return {way.encode() for way in ways if len(way.replace(".", "").strip("0")) >= LEAST_DIGITS}


@pytest.fixture(scope="module")
def secret(stocked: Server, odd_job: dict[str, Any]) -> set[bytes]:
    """Every figure that the office sees and the field must not."""
    quote = stocked.ask("GET", "/api/quotes/100001", "owner").json["estimate"]
    order = stocked.ask("POST", "/api/orders?pricebook=odd", "owner", {"jobs": [odd_job]}).json
    hidden: list[Any] = [[line["unit_cost"], line["amount"]] for line in quote["cost"]["lines"]]
    hidden += [quote["cost"]["total"], quote["price"]["margin"], quote["price"]["rule"], order["total"]]
    hidden += [[line["cost"] for line in order["lines"]], {**ODD_BOOK, "note": "", "name": ""}]
    kept = {way for key in ("before_tax", "tax", "total") for way in figure(quote["price"][key])}
    found = {way for text in numbers_in(hidden) for way in figure(text)} - kept
    assert len(found) > 20
    return found


def holds(body: bytes, figures: set[bytes]) -> list[bytes]:
    """Return the figures that stand in a text as numbers of their own."""
    numbers = set(re.findall(rb"(?<![\w.])\d[\d,]*(?:\.\d+)?(?![\w.]*\w{20})", body))
    return sorted(numbers & figures)


def unpacked(reply: Reply) -> bytes:
    """Return what an answer holds, a workbook unpacked."""
    if not reply.body.startswith(b"PK"):
        return reply.body
    with zipfile.ZipFile(io.BytesIO(reply.body)) as archive:
        return b"\n".join(archive.read(name) for name in archive.namelist())


def test_the_office_sees_the_figures_that_are_looked_for(stocked: Server, secret: set[bytes]) -> None:
    """The search finds them where they are, or it would prove nothing."""
    for path in ("/api/quotes/100001", "/api/quotes/100001.xlsx", "/quotes/100001", "/jobs/1"):
        for role in ("owner", "estimator"):
            body = unpacked(stocked.ask("GET", path, role))
            assert len(holds(body, secret)) > 10, path
            assert WORDS.search(body)


@pytest.mark.office
def test_a_letter_holds_no_cost_for_anybody(stocked: Server, secret: set[bytes]) -> None:
    for role in ("owner", "fleet"):
        for path in ("/api/quotes/100001.pdf", "/api/quotes/100002.pdf?language=de"):
            reply = stocked.ask("GET", path, role)
            assert reply.status == 200
            text = said(reply.body).encode()
            assert holds(text, secret) == [] and not WORDS.search(text)
    assert stocked.ask("GET", "/api/quotes/100001.pdf", "field").status == 403


@pytest.mark.office
def test_a_work_pack_holds_no_money_for_anybody(stocked: Server) -> None:
    for role in ("owner", "field", "fleet"):
        reply = stocked.ask("GET", "/api/quotes/100001/pack.pdf", role)
        assert reply.status == 200
        text = said(reply.body).encode()
        assert not WORDS.search(text) and not re.search(rb"price|EUR|tax\b", text, re.IGNORECASE)


@pytest.mark.parametrize("role", HIDING)
@pytest.mark.parametrize("path", [*PAGES, *READS, *BOOKS, *REFUSED])
def test_nothing_read_holds_a_cost(stocked: Server, secret: set[bytes], role: str, path: str) -> None:
    reply = stocked.ask("GET", path, role, Accept="text/html,*/*")
    if path in BOOKS and role == "field":
        assert reply.status == 403
    elif path in BOOKS:
        names = re.findall(rb'<sheet [^>]*name="([^"]+)"', unpacked(reply))
        assert names
        assert not {b"Price", b"Inputs"} & set(names)
    _holds_nothing(reply, secret)


@pytest.mark.parametrize("role", HIDING)
def test_nothing_answered_to_what_is_asked_holds_a_cost(
    stocked: Server, secret: set[bytes], odd_job: dict[str, Any], role: str
) -> None:
    stock = [{"item": "tip", "on_hand": 1, "pack_size": 10}]
    asked: list[tuple[str, object, dict[str, str]]] = [
        ("/api/orders?pricebook=odd", {"jobs": [odd_job], "stock": stock}, {}),
        ("/api/orders", {"jobs": [odd_job], "service_level": 7}, {}),
        ("/api/orders?pricebook=even", {"jobs": [odd_job]}, {}),
        ("/api/orders?pricebook=odd", {"jobs": [odd_job | {"currency": "USD"}]}, {}),
        ("/api/comparisons?pricebook=odd", odd_job, {}),
        ("/api/estimates?pricebook=odd", odd_job, {}),
        ("/api/explanations?pricebook=odd", {"job": odd_job, "key": "cost.total"}, {}),
        ("/api/jobs/1/quotes", {}, {}),
        ("/api/orders", b"{", {}),
        ("/api/jobs/1/actuals", {"quote": "100001", "bores": [{"name": "A", "arc_time": "34 min"}]}, {}),
        ("/api/jobs/1/actuals", {"quote": "100001", "bores": [{"name": "Z", "arc_time": "34 kg"}]}, {}),
    ]
    for path, body, headers in asked:
        _holds_nothing(stocked.ask("POST", path, role, body, **headers), secret)
    order = stocked.ask("POST", "/api/orders?pricebook=odd", role, {"jobs": [odd_job]}).json
    assert "total" not in order
    assert not any("cost" in line for line in order["lines"])


@pytest.mark.parametrize("role", HIDING)
def test_a_session_sees_no_more_than_its_token(stocked: Server, secret: set[bytes], role: str) -> None:
    form = {"Content_Type": "application/x-www-form-urlencoded"}
    signed = stocked.ask("POST", "/sign-in", None, f"token={stocked.tokens[role]}".encode(), **form)
    cookie = signed.headers["set-cookie"].partition(";")[0]
    for path in (*PAGES, *READS, *BOOKS):
        _holds_nothing(stocked.ask("GET", path, Cookie=cookie, Accept="text/html,*/*"), secret)
    assert stocked.ask("GET", "/metrics", Cookie=cookie).status == 403


def _holds_nothing(reply: Reply, secret: set[bytes]) -> None:
    body = unpacked(reply)
    assert holds(body, secret) == []
    assert not WORDS.search(body), WORDS.findall(body)


@pytest.mark.parametrize("role", HIDING)
def test_keys_that_tell_of_cost_stand_nowhere(stocked: Server, role: str) -> None:
    for path in READS:
        text = stocked.ask("GET", path, role).body.decode()
        keys = {key.lower() for key in re.findall(r'"(\w+)":', text)}
        assert not keys & {
            "cost",
            "unit_cost",
            "margin",
            "markup",
            "rule",
            "amount",
            "overhead",
            "contingency",
            "basis",
        }


@pytest.mark.parametrize("role", HIDING)
def test_the_hash_is_of_what_is_given(stocked: Server, role: str) -> None:
    given = stocked.ask("GET", "/api/quotes/100001", role).json
    assert given["sha256"] == sha256(given["estimate"])
    assert given["sha256"] != stocked.ask("GET", "/api/quotes/100001", "owner").json["sha256"]
    rows = stocked.ask("GET", "/api/quotes", role).json["items"]
    assert {row["sha256"] for row in rows} == {None}


@pytest.mark.parametrize("path", [*PAGES, *READS])
def test_the_field_reads_no_money(stocked: Server, path: str) -> None:
    """Every amount that the office reads at the same place is looked for, and the words that stand beside amounts."""
    said = stocked.ask("GET", path, "field", Accept="text/html,*/*")
    told = stocked.ask("GET", path, "owner", Accept="text/html,*/*")
    amounts = set(
        re.findall(rb"(?<![0-9,.])[0-9][0-9,]+[.][0-9]{2}(?= EUR)|(?<=\")[0-9]{2,}[.][0-9]{2}(?=\")", told.body)
    )
    assert said.status == told.status
    assert not [one for one in amounts if one in said.body]
    pages = re.sub(rb"pack(?:-[0-9]+)?\.pdf", b"", said.body)  # the one paper of the field
    assert not re.search(rb"Price with tax|before_tax|\"(?:price|total|letter)\":|\.xlsx|\.pdf", pages)


def test_a_replay_is_for_who_asked_first(stocked: Server, secret: set[bytes]) -> None:
    """One idempotency key of the office does not give its answer to the field."""
    made = stocked.ask("POST", "/api/jobs/1/quotes", "owner", {}, Idempotency_Key="k1")
    assert made.status == 201
    assert holds(made.body, secret)
    _holds_nothing(stocked.ask("POST", "/api/jobs/1/quotes", "field", {}, Idempotency_Key="k1"), secret)


def test_the_log_holds_no_token_no_cost_and_nothing_of_a_document(stocked: Server, secret: set[bytes]) -> None:
    lines = stocked.logged()
    assert {line["event"] for line in lines} >= {"request"}
    assert {line.get("role") for line in lines} >= {"owner", "field", "fleet"}
    text = stocked.log.read_bytes()
    for token in stocked.tokens.values():
        assert token.encode() not in text
        assert token[4:20].encode() not in text
    assert b"boreworth_session" not in text
    assert not re.search(rb"quarry|OQ-9|Boom foot|loader", text, re.IGNORECASE)
    whole = b"\n".join(json.dumps({k: v for k, v in one.items() if k not in {"ms", "time"}}).encode() for one in lines)
    assert holds(whole, secret) == []
    assert not WORDS.search(whole)


def test_the_counters_know_routes_and_no_figures(stocked: Server, secret: set[bytes]) -> None:
    text = stocked.ask("GET", "/metrics", "owner").body
    assert b"boreworth_requests_total" in text
    assert b'route="/api/jobs/{id}"' in text
    assert b"OQ-9" not in text
    assert holds(re.sub(rb"(?m)^(process_|boreworth_request_seconds).*$", b"", text), secret) == []
