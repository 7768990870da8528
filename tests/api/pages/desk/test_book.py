"""The ten questions of a price book: asked, answered, held against a job, kept as versions with what they moved."""

import re
from decimal import Decimal
from typing import Any

from starlette.testclient import TestClient

from api.pages.desk.book_form import answered, asked_of, raised, value_at
from estimator.book.pricebook import builtin_document, read_pricebook
from tests.api.running import Server
from tests.api.service import job

PAGE = {"accept": "text/html"}


def answers(**changed: str) -> dict[str, str]:
    found = {one.name: one.value for one in asked_of(read_pricebook())}
    return found | {name.replace("__", "/"): text for name, text in changed.items()}


def test_ten_questions_are_asked_and_their_own_answers_change_nothing() -> None:
    asked = asked_of(read_pricebook())
    assert len(asked) == 10
    assert all(one.demo and one.value for one in asked)
    document, faults = answered({}, read_pricebook(), answers())
    assert faults == []
    book = read_pricebook(document)
    assert all(Decimal(a.value) == Decimal(b.value) for a, b in zip(asked_of(book), asked, strict=True))


def test_answers_are_taken_as_they_are_typed_and_told_where_they_are_wrong() -> None:
    document, faults = answered(
        {"name": "Ours"},
        read_pricebook(),
        answers(rates__labour_on_site="71,50 EUR/h", margin="25 %", travel__night="-3"),
    )
    assert [one.path for one in faults] == ["travel/night"]
    assert document["rates"]["labour_on_site"] == "71.50 EUR/h"
    assert (document["margin"], document["markup"], document["name"]) == (0.25, None, "Ours")


def test_a_tenth_more_is_a_tenth_more() -> None:
    before = builtin_document()
    for one in asked_of(read_pricebook()):
        after = raised(before, one)
        old, new = (Decimal(str(value_at(where, one.key)).partition(" ")[0]) for where in (before, after))
        assert new == old * Decimal("1.1")
        read_pricebook(after)


def test_a_book_is_kept_and_its_versions_tell_what_they_moved(shop: TestClient) -> None:
    assert shop.post("/api/jobs", json=job()).status_code == 201

    def sent(**fields: Any) -> Any:
        return shop.post("/pricebook", data=fields, headers=PAGE, follow_redirects=False)

    assert sent(name="").status_code == 422
    wrong = sent(name="Ours", wage="much", currency="GBP").text
    assert wrong.count('aria-invalid="true"') == 2
    assert "is no amount" in wrong
    first = shop.post("/pricebook/effect", data={"wage": "70"}).text
    assert 'data-of="wage"' in first
    assert sent(name="Ours", wage="70,5").headers["location"] == "/pricebook?name=Ours"
    assert shop.get("/api/pricebooks/Ours").json()["pricebook"]["rates"]["labour_on_site"] == "70.5 EUR/h"
    assert sent(**answers(margin="30"), was="Ours", name="Ours", revision="1", ours="1").status_code == 303
    assert sent(**answers(), was="Ours", name="Ours", revision="1").status_code == 412
    page = shop.get("/pricebook", headers=PAGE).text
    assert re.search(r"0\.22.*0\.3.*\+[\d.,]+ EUR", page, re.DOTALL)
    assert "Demo figures" not in page
    effects = shop.post("/pricebook/effect", data=answers(margin="30") | {"was": "Ours"}).text
    assert effects.count("a tenth more") == 10
    assert "as with the book as stored" in effects
    assert "<option selected>Ours" in shop.get("/call", headers=PAGE).text


def test_only_the_owner_changes_a_book_and_the_field_sees_none(stocked: Server) -> None:
    html = {"accept": "text/html"}
    assert stocked.ask("GET", "/pricebook", "estimator", **html).status == 200
    form = {"content_type": "application/x-www-form-urlencoded"}
    assert stocked.ask("POST", "/pricebook", "estimator", b"name=x", **form).status == 403
    for role in ("field", "fleet"):
        assert stocked.ask("GET", "/pricebook", role, **html).status == 403
        assert stocked.ask("GET", "/call", role, **html).status == 403
        assert stocked.ask("GET", "/jobs/1/bores/0", role, **html).status == 403
        assert stocked.ask("POST", "/quotes/100001/accept", role, b"", **form).status == 403
