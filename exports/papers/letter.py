"""The letter that a customer gets: a quote, or a budget price, which binds nobody and cannot be accepted.

All that is printed is put together here from an allow-list of keys of the estimate document; no other key is read.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from estimator.book.logo import picture_of
from exports.format import Units, field, is_demo
from exports.in_units import in_units, units_of
from exports.papers.priced import amounts, charges, span
from exports.papers.repaired import assumptions, bores, stay, told_in
from exports.papers.words import Words, words_in

__all__ = [
    "PAPER", "Issued", "addressed_to", "banner_of", "company_of", "content_of", "letter", "lines_in", "machine_said",
    "units_in",
]  # fmt: skip


PAPER: dict[Units, str] = {"metric": "a4", "us": "us-letter"}
INCHES = {"en"}  # languages that lengths are told in inches in


Photos = Sequence[tuple[str, bytes]]


@dataclass(frozen=True)
class Issued:
    """As what a quote was issued."""

    number: str
    revision: int
    on: datetime.date
    valid_until: datetime.date


def letter(
    estimate: Any,  # noqa: ANN401  # a document of any age
    day: datetime.date,
    issued: Issued | None = None,
    language: str = "en",
    photos: Photos = (),
) -> bytes:
    """Return the letter of an estimate document as PDF.

    Parameters
    ----------
    estimate
        The document, in full; of any age.
    day
        The date that a draft is printed on; an issued quote has its own.
    issued
        As what it was issued; None for a draft.
    language
        One of `exports.papers.languages.languages`.
    photos
        Words and JPEG file of each photo that it shows.
    """
    from exports.papers.set import set_paper  # noqa: PLC0415  # what sets papers is only loaded by who asks for one

    shown = [{"words": words, "picture": list(picture)} for words, picture in photos]
    content = content_of(estimate, day, issued, language) | {"photos": shown}
    return set_paper("letter", content, issued.on if issued else day)


def content_of(
    estimate: Any,  # noqa: ANN401  # a document of any age
    day: datetime.date,
    issued: Issued | None,
    language: str,
    units: Units | None = None,
) -> dict[str, Any]:
    """Return all that a letter prints, as its template takes it.

    `units`: those of lengths; unless said those that the job was typed in, where the language has them.
    """
    words, units = words_in(language), units or units_in(estimate, language)
    found = in_units(estimate, units)
    budget = "budget" in found
    title = words("budget" if budget else "quote")
    return {
        "language": words.language,
        "paper": PAPER[units],
        "region": words.locale.partition("_")[2],
        "title": f"{title} {issued.number}" if issued else title,
        "subject": words("subject"),
        "job": field(found, "job", "title") or "",
        "page": words("page", page="{page}", pages="{pages}"),
        "banner": banner_of(found, words),
        "draft": [] if issued or budget else [words("draft")],
        "company": company_of(found, words),
        "to": addressed_to(found),
        "facts": [(name, told_in(value, units)) for name, value in _facts(found, day, issued, words)],
        "opening": words("budget_opening" if budget else "offer"),
        "bores": bores(found, words, units),
        "price": span(found, words) if budget else amounts(found, words),
        "sections": _sections(found, words, budget=budget),
        "accept": None if budget else _accept(found, issued, words),
    }


def units_in(estimate: Any, language: str) -> Units:  # noqa: ANN401  # a document
    """Return in which units a paper is written: those the job was typed in, where the language has them."""
    return units_of(estimate) if language in INCHES else "metric"


def banner_of(found: Any, words: Words) -> list[str]:  # noqa: ANN401  # a document
    """Return what stands over every page while an invented price is in the sum."""
    return [words("demo")] if is_demo(found) or field(found, "letter", "terms", "invented") else []


def lines_in(text: str | None) -> list[str]:
    """Return the lines of a text that hold something."""
    return [line for line in (text or "").split("\n") if line.strip()]


def company_of(found: Any, words: Words) -> dict[str, Any]:  # noqa: ANN401  # a document
    """Return whom a paper is from: name, lines beside it, lines of the footer, logo."""
    said = field(found, "letter", "company") or {}
    phone = [words("phone", phone=said["phone"])] if said.get("phone") else []
    logo = said.get("logo")
    return {
        "name": said.get("name") or "",
        "lines": [*lines_in(said.get("address")), *phone, *(said[key] for key in ("email", "web") if said.get(key))],
        "registration": said.get("registration") or [],
        "logo": list(picture_of(logo)) if logo else None,
    }


def addressed_to(found: Any) -> list[str]:  # noqa: ANN401  # a document
    """Return the lines of the customer's address."""
    name = field(found, "job", "customer")
    return [*([name] if name else []), *lines_in(field(found, "job", "buyer", "address"))]


def _facts(found: Any, day: datetime.date, issued: Issued | None, words: Words) -> list[tuple[str, str]]:  # noqa: ANN401  # a document
    job = found["job"]
    contact = [field(job, "buyer", key) for key in ("contact", "phone", "email")]
    rows = [
        (words("number"), issued.number if issued else ""),
        (words("revision"), str(issued.revision) if issued else ""),
        (words("issued" if issued else "dated"), words.date(issued.on if issued else day)),
        (words("valid_until"), words.date(issued.valid_until) if issued else ""),
        (words("reference"), found["reference"]),
        (words("purchase_order"), job.get("purchase_order")),
        (words("contact"), ", ".join(one for one in contact if one)),
        (words("machine"), machine_said(job, words)),
        (words("site"), _site(job, words)),
    ]
    return [(name, value) for name, value in rows if value]


def machine_said(job: Any, words: Words) -> str:  # noqa: ANN401  # a part of a document
    """Return the customer's machine and how long it ran."""
    said, ran = field(job, "equipment", "description") or "", field(job, "equipment", "machine_hours")
    return said if ran is None else words("machine_run", machine=said, hours=words.number(ran))


def _site(job: Any, words: Words) -> str:  # noqa: ANN401  # a part of a document
    far = field(job, "site", "distance_km")
    away = words("site_away", distance=words.number(far)) if far else ""
    return ", ".join([*lines_in(field(job, "site", "address")), *([away] if away else [])])


# ---------------------------------------------------------------- what stands below the price


def _texts(found: Any, language: str) -> dict[str, list[str]]:  # noqa: ANN401  # a document
    """Return the document's own texts in a language; one of before has its scope alone, in English."""
    texts = field(found, "letter", "texts") or {}
    told = texts.get(language) or texts.get("en")
    return told if told is not None else {**found["scope"], "measure": field(found, "budget", "measure") or []}


def _sections(found: Any, words: Words, *, budget: bool) -> list[dict[str, Any]]:  # noqa: ANN401  # a document
    texts, terms = _texts(found, words.language), field(found, "letter", "terms") or {}

    def own(key: str) -> list[str]:
        return list(dict.fromkeys(texts.get(key) or []))

    sections = [
        ("wide", "measure", own("measure") if budget else [], True),
        ("wide", "time", stay(found, words, budget=budget), False),
        ("wide", "subject_to", own("subject_to"), True),
        ("wide", "rates", charges(terms, found["price"]["currency"], words), False),
        ("left", "included", own("included"), True),
        ("left", "excluded", own("excluded"), True),
        ("left", "customer", own("customer"), True),
        ("right", "assumptions", assumptions(found, words), True),
        ("right", "payment", [] if budget else lines_in(words.worded(terms.get("payment"))), False),
        ("right", "warranty", [] if budget else lines_in(words.worded(terms.get("warranty"))), False),
        ("right", "cautions", own("cautions"), True),
    ]
    return [
        {"place": place, "title": words(code), "items": items, "listed": listed}
        for place, code, items, listed in sections
        if items
    ]


def _accept(found: Any, issued: Issued | None, words: Words) -> dict[str, Any]:  # noqa: ANN401  # a document
    price = found["price"]
    total = words.money(price["total"], price["currency"])
    if issued:
        said = words("accept_said", number=issued.number, date=words.date(issued.on), total=total)
    else:
        said = words("accept_draft")
    lines = [words(code) for code in ("sign_place", "sign_name", "sign_order", "sign_signature")]
    return {"title": words("accept"), "text": said, "lines": lines}
