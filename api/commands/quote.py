"""`boreworth quote`: the quote of a job, as a workbook or as the letter that the customer gets."""

import os
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    Calibrated,
    JobFile,
    SpreadDays,
    Units,
    estimated,
    in_asked_units,
    print_json,
    say,
    say_warnings,
    spread_asked,
    stop,
    write_file,
)

if TYPE_CHECKING:
    from estimator.estimate import Estimate

__all__ = ["Paper", "Whom", "quote"]

WORKBOOK, LETTER, PIPE = ".xlsx", ".pdf", "-"


class Paper(StrEnum):
    """Paper that the workbook's pages are set for."""

    A4 = "a4"
    LETTER = "letter"


class Whom(StrEnum):
    """Whom a workbook is for."""

    SHOP = "shop"
    CUSTOMER = "customer"


def quote(  # one option each
    job: JobFile,
    out: Annotated[str, typer.Option(metavar="QUOTE.xlsx|QUOTE.pdf", help="Where the workbook or the letter goes.")],
    as_json: AsJson = False,
    paper: Annotated[Paper, typer.Option(help="Paper the workbook's pages are set for.")] = Paper.A4,
    units: Annotated[
        Units | None, typer.Option(help="Units of the papers; as most bores were typed where not said.")
    ] = None,
    whom: Annotated[
        Whom, typer.Option("--for", help="Whom the workbook is for: the customer's stands alone and holds no cost.")
    ] = Whom.SHOP,
    language: Annotated[str, typer.Option(metavar="en|de", help="Language of what the customer gets.")] = "en",
    spread: SpreadDays = 0,
    calibration: Calibrated = None,
    pricebook: BookFile = None,
) -> None:
    """Write the quote of a job: QUOTE.xlsx the workbook, QUOTE.pdf the letter that the customer gets, as a draft."""
    ending = WORKBOOK if out == PIPE else os.path.splitext(out)[1].lower()
    if ending not in (WORKBOOK, LETTER):
        stop(WRONG, f"{out}: --out ends in {ending or 'nothing'}; write a name that ends in {WORKBOOK} or {LETTER}")
    shop = ending == WORKBOOK and whom is Whom.SHOP
    if not shop:
        _known(language)
    found = in_asked_units(estimated(job, pricebook, "full", spread_asked("quote", spread), calibration), units)
    from exports.format import amount

    if shop:
        sheets = _workbook(found, out, paper)
    elif ending == WORKBOOK:
        sheets = _customer_book(found, out, language, paper)
    else:
        sheets = _letter(found, out, language)
    say_warnings(job, found)
    if as_json:
        print_json({"file": out, "sheets": sheets, "estimate": found})
    else:
        price = found["price"]
        say(f"{out}: {', '.join(sheets) or 'letter, a draft that was not issued'}")
        say(f"price with tax {amount(price['total'], price['currency'])}")


def _known(language: str) -> None:
    """End the command unless letters are written in a language."""
    from exports.papers.languages import languages

    if language not in languages():
        stop(WRONG, f"--language: {language[:20]!r} is none of {', '.join(languages())}")


def _workbook(found: "Estimate", out: str, paper: Paper) -> list[str]:
    """Write the workbook; return the names of its sheets."""
    from exports.sheets import quote_sheets
    from exports.workbook import quote_workbook, sheets_of

    builders = quote_sheets(found)
    write_file(out, quote_workbook(found, builders, paper.value))
    return [sheet.name for sheet in sheets_of(found, builders)]


def _customer_book(found: "Estimate", out: str, language: str, paper: Paper) -> list[str]:
    """Write the customer's workbook of a draft, of today; return the names of its sheets."""
    import datetime

    from exports.papers.customer_book import customer_book, customer_sheets

    today = datetime.date.today()
    write_file(out, customer_book(found, today, None, language, paper.value))
    return [sheet.name for sheet in customer_sheets(found, today, None, language)]


def _letter(found: "Estimate", out: str, language: str) -> list[str]:
    """Write the letter of a draft, of today; it has no sheets."""
    import datetime

    from exports.papers.letter import letter

    write_file(out, letter(found, datetime.date.today(), None, language))
    return []
