"""Company, terms and logo of a price book: what is read, what is refused, what of the demo never becomes one's own."""

import base64
import json
import struct
import zlib
from typing import Any

import pytest

from estimator.book.demo import same_at
from estimator.book.logo import HEAD, LARGEST, picture_of
from estimator.book.pricebook import builtin_document, read_pricebook
from estimator.errors import DocumentError
from estimator.estimate import estimate
from tests.jobs import job

OLD = {key: value for key, value in builtin_document().items() if key not in ("company", "terms", "classes")}


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(
    width: int = 2, height: int = 2, colour: int = 2, pixels: bytes | None = None, laced: int = 0, more: bytes = b""
) -> str:
    head = struct.pack(">IIBBBBB", width, height, 8, colour, 0, 0, laced)
    plain = bytes((1 + 3 * width) * height) if pixels is None else pixels
    data = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(plain)) + chunk(b"IEND", b"")
    return HEAD + base64.b64encode(data + more).decode()


def faults(patch: Any) -> list[tuple[str, str]]:
    with pytest.raises(DocumentError) as caught:
        read_pricebook(patch)
    return [(fault.path, fault.message) for fault in caught.value.faults]


def test_a_logo_is_a_picture_and_nothing_else() -> None:
    book = read_pricebook({"company": {"logo": png()}})
    assert book.company is not None and book.company.logo is not None
    assert picture_of(book.company.logo).startswith(b"\x89PNG")


WRONG = [
    "logo.png", HEAD, HEAD + "!!", HEAD + "AAAA", "data:image/svg+xml;base64,PHN2Zy8+", 7, png(more=b"x"), png()[:-8],
    png(pixels=b"x"), png(pixels=bytes(10**6)), png(width=2001), png(height=0), png(colour=5), png(colour=3),
    png(laced=1), HEAD + "A" * LARGEST,
]  # fmt: skip


@pytest.mark.parametrize("logo", WRONG, ids=range(len(WRONG)))
def test_what_is_no_small_png_is_refused_at_its_place(logo: Any) -> None:
    ((path, message),) = faults({"company": {"logo": logo}})
    assert path == "company.logo" and message


@pytest.mark.parametrize(
    ("patch", "path"),
    [
        ({"terms": {"payment": {"english": "x"}}}, "terms.payment"),
        ({"terms": {"payment": 7}}, "terms.payment"),
        ({"terms": {"warranty": {"en": "x" * 2001}}}, "terms.warranty"),
        ({"terms": {"standing_time": "96.00 USD/h"}}, "terms.standing_time"),
        ({"terms": {"more_wear": "96.00 EUR/h"}}, "terms.more_wear"),
        ({"company": {"registration": ["x"] * 9}}, "company.registration"),
        ({"classes": {"fleet": {"discount": 1}}}, "classes.fleet.discount"),
        ({"company": {"adress": "x"}}, "company.adress"),
    ],
)
def test_what_is_said_wrongly_is_told_at_its_place(patch: Any, path: str) -> None:
    assert [at for at, _ in faults(patch)] == [path]


def test_a_book_of_before_still_loads_and_makes_none_of_the_demos_promises() -> None:
    own = read_pricebook({**OLD, "invented": False})
    assert own.company is None
    assert set(own.terms.model_dump().values()) == {None}
    assert read_pricebook(OLD).company is not None  # still the demo, and says so on every page
    usd: Any = json.loads(json.dumps(OLD).replace(" EUR", " USD"))
    other = read_pricebook({**usd, "currency": "USD"})
    assert (other.terms.standing_time, other.terms.more_wear) == (None, None)


def test_own_company_and_terms_lie_over_the_demo() -> None:
    own = read_pricebook({"invented": False, "company": {"name": "Ours", "web": None}, "terms": {"payment": "Now."}})
    assert own.company is not None and own.company.model_dump(exclude_none=True) == {"name": "Ours", "registration": ()}
    assert own.terms.model_dump(exclude_none=True) == {"payment": {"": "Now."}}
    half = read_pricebook({"terms": {"payment": {"en": "Now."}}})
    assert half.terms.payment == {"en": "Now."}  # no German promise of the demo beside it
    assert faults({"invented": False, "company": {"phone": "1"}}) == [("company.name", "is missing")]


def test_a_letter_has_company_and_terms_and_only_in_full() -> None:
    found = estimate(job(), read_pricebook(), "full")["letter"]
    assert found["terms"]["standing_time"] == {"price": "96.00", "per": "h"}
    assert found["company"] is not None and found["company"]["name"].startswith("Oakmoor")
    assert "letter" not in estimate(job(), read_pricebook())


def test_a_path_of_a_book_may_have_dots_in_its_names() -> None:
    demo = builtin_document()
    path = "consumables.wires.G3Si1 0.8 mm.price"
    assert same_at(path, demo, builtin_document())
    demo["consumables"]["wires"]["G3Si1 0.8 mm"]["price"] = "1.00 EUR/kg"
    assert not same_at(path, demo, builtin_document())
    assert not same_at("rates.nothing", demo, builtin_document())
