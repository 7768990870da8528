"""What a page shows of an estimate: every sample, in both units, for every role; and one of an engine too old."""

import functools
import json
import re
from pathlib import Path
from typing import Any

import pytest

from api.caller import Caller, answering
from api.pages.view import estimate_view
from api.pages.whole import as_drawn
from api.render import page
from estimator.book.pricebook import read_pricebook
from estimator.document.redact import ROLES, Role, redact, sees_cost
from exports.format import Units
from tests.api.service import SAMPLES
from tests.depth import deep
from tests.jobs import bore, job, quick
from tests.raw import estimate

OWN = {"past": [], "key": "k", "bills": None}
QUOTE = {"number": 7, "state": "issued", "sha256": "0" * 64, "job_id": 1, "total": "EUR 1"}
DOCUMENTS = [path.read_bytes() for path in sorted(SAMPLES.glob("*.json"))]
DOCUMENTS += [json.dumps(one).encode() for one in (job(quick(90, 93)), job(bore(cleanup_diameter="97.4 mm")))]
BOOKS = [read_pricebook(), read_pricebook(json.dumps({"invented": False, "validity": "1 day"}))]


@functools.cache
def made(number: int, place: int) -> Any:
    """Return the estimate of a document under a book; nobody changes it."""
    return estimate(DOCUMENTS[number], BOOKS[place])


def shown(view: Any, role: Role) -> str:
    facts = view.pop("facts")
    with answering(Caller("someone", role, "token", "token 1")):
        return bytes(page("quote.html", name="OQ-1", facts_of=facts, quote=QUOTE, **OWN, **view).body).decode()


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_estimate_has_a_page(role: Role, units: Units) -> None:
    pairs = [(number, 0) for number in range(len(DOCUMENTS))]
    pairs += [(number, 1) for number in range(deep(len(DOCUMENTS), 2))]
    for number, place in pairs:
        found = redact(made(number, place), role)
        text = shown(estimate_view(found, units), role)
        assert found["reference"] == json.loads(DOCUMENTS[number])["reference"]
        assert ("Internal: cost and margin" in text) is sees_cost(role)
        assert ("Demo prices, not for use" in text) is BOOKS[place].invented
        assert "None" not in text
        assert "{{" not in text


def test_what_was_typed_stays_text() -> None:
    found = estimate(job(title="<script>alert(1)</script>", note='"><img src=x>'), BOOKS[0])
    text = shown(estimate_view(found, "metric"), "owner")
    assert "<img src=x" not in text
    assert "<script>" not in text
    assert "&lt;img" in text


def test_a_quote_of_an_engine_too_old_shows_its_price_and_its_pack() -> None:
    found = estimate(job(), BOOKS[0])
    for key in ("shades", "totals", "bores"):
        old: Any = {name: value for name, value in found.items() if name != key} | {"engine": "boreworth 0.0.1"}
        text = shown(as_drawn(old, "metric"), "field")
        assert "made by boreworth 0.0.1" in text
        assert "/api/quotes/7/pack.pdf" in text
        told = shown(as_drawn(old, "metric"), "field")
        assert "made by boreworth 0.0.1" in told
        assert not re.search(r"xlsx|Price with tax|EUR", told)


def test_the_templates_hold_no_script_and_no_style_of_their_own() -> None:
    for file in (Path(__file__).parents[3] / "api/pages/templates").glob("*.html"):
        text = file.read_text("utf-8")
        scripts = re.findall(r"<script[^>]*>.{0,9}", text)
        assert all(re.fullmatch(r'<script type="module" src="/static/[a-z]+\.js"></script>', one) for one in scripts)
        assert " style=" not in text
        assert " on" not in {part[:3] for part in text.split('"')[::2]}
        assert "|safe" not in text.replace(" ", "")
