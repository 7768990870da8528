"""`boreworth pricebook`: the built-in price book to copy, one of one's own from ten answers, two books compared."""

import os
import sys
from typing import Annotated, Any

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    faults_in,
    json_of,
    print_json,
    print_page,
    read_book,
    read_file,
    say,
    stop,
    write_file,
)

__all__ = ["pricebook"]

Out = Annotated[str | None, typer.Option(metavar="FILE.json", help="File to write; - is standard output.")]
Force = Annotated[bool, typer.Option("--force", help="Write over a file that holds something else.")]
Ask = Annotated[bool, typer.Option("--ask", help="Ask ten questions, or read their answers, a line each, from a pipe.")]
Answers = Annotated[
    str | None, typer.Option(metavar="FILE.json", help='Answers by question: {"currency": "EUR", "wage": "58", …}.')
]
Language = Annotated[str, typer.Option(metavar="en|de", help="Language of the questions.")]
Against = Annotated[str | None, typer.Option(metavar="OTHER.json", help="Compare with this price book, for --job.")]
Job = Annotated[str | None, typer.Option(metavar="JOB.json", help="The job that two price books are compared for.")]


def pricebook(  # a command's options are told by name
    out: Out = None,
    force: Force = False,
    ask: Ask = False,
    answers: Answers = None,
    language: Language = "en",
    against: Against = None,
    job: Job = None,
    mine: BookFile = None,
    as_json: AsJson = False,
) -> None:
    """Write the built-in price book, or one from ten answers; or compare two for a job, in words and in money."""
    if against is not None:
        _compared(mine, against, job, as_json=as_json)
        return
    if out is None:
        raise typer.BadParameter("give a file to write, or --against OTHER.json --job JOB.json", param_hint="--out")
    from estimator.book.pricebook import builtin_document

    own = _own(answers, language) if ask or answers is not None else None
    book = json_of(builtin_document() if own is None else own)
    if not force and _holds_other(out, book):
        stop(WRONG, f"{out}: holds something else, perhaps your own prices; give another name, or --force")
    write_file(out, book)
    if own is not None:
        _say_invented(own)


def _holds_other(file: str, data: bytes) -> bool:
    """Return whether a file is there whose content would be lost."""
    if file == "-" or not os.path.isfile(file) or not os.path.getsize(file):
        return False
    with open(file, "rb") as there:
        return there.read() != data


# ---------------------------------------------------------------- ten questions


def _own(file: str | None, language: str) -> dict[str, Any]:
    """Return a price book from the answers of a file, a pipe, or whoever sits at the terminal."""
    from estimator.book.questions import book_from
    from estimator.strict import parse

    if file is not None:
        with faults_in(file):
            return book_from(parse(read_file(file)))
    said = _typed(language) if sys.stdin.isatty() else _piped()
    with faults_in("answers"):
        return book_from(said)


def _piped() -> dict[str, str]:
    """Return the answers that a pipe holds, a line each; an empty line, or none, is the built-in answer."""
    from estimator.book.questions import QUESTIONS

    lines = sys.stdin.read().splitlines()
    if len(lines) > len(QUESTIONS):
        stop(WRONG, f"answers: {len(lines)} lines; {len(QUESTIONS)} questions are asked: {', '.join(QUESTIONS)}")
    return dict(zip(QUESTIONS, lines, strict=False))


def _typed(language: str) -> dict[str, str]:
    """Return the answers of whoever sits there; a wrong one is asked again."""
    from estimator.book.questions import QUESTIONS, answer_fault, questions

    said: dict[str, str] = {}
    for number, code in enumerate(QUESTIONS):
        one = questions(said.get("currency", ""), language)[number]
        while True:
            text = str(typer.prompt(f"{number + 1}/{len(QUESTIONS)} {one.text}", default=one.usual, err=True))
            if not (fault := answer_fault(code, text, said.get("currency", ""))):
                break
            say(fault)
        said[code] = text
    return said


def _say_invented(book: dict[str, Any]) -> None:
    """Say how many prices of a book are still the built-in ones."""
    from estimator.book.check import prices_in
    from estimator.book.pricebook import read_pricebook

    found = read_pricebook(book)
    left = [path for path, price in prices_in(found, "") if price.amount and found.is_invented(path)]
    say(f"{len(left)} prices are still invented ones of the built-in book; papers say DEMO while one is in their sum")


# ---------------------------------------------------------------- two books


def _compared(mine: str | None, other: str, job: str | None, *, as_json: bool) -> None:
    """Say what differs between two price books, and what each difference moves for a job."""
    if job is None:
        stop(WRONG, "--against compares for a job: give --job JOB.json")
    document, one, two = read_file(job), read_book(mine), read_book(other)
    if one.currency != two.currency:
        stop(WRONG, f"{other}: {two.currency} is not the other book's currency {one.currency}; see `converted`")
    from estimator.estimate import estimate
    from estimator.trust.causes import causes

    with faults_in(job):
        for book in (one, two):
            estimate(document, book, "price")
        found = causes(document, document, one, two)
    if as_json:
        print_json(found)
        return
    from exports.page.choice import causes_page

    print_page(causes_page(found))
