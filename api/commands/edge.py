"""The edge of every command: files in, data to standard output, one line a fault to standard error."""

import contextlib
import os
import sys
from collections.abc import Iterable, Iterator
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, NoReturn, cast

import typer

if TYPE_CHECKING:
    from estimator.book.pricebook import PriceBook
    from estimator.estimate import Detail, Estimate

__all__ = [
    "REFUSED", "WRONG", "AsJson", "BookFile", "Calibrated", "JobFile", "SpreadDays", "Units", "estimated",
    "faults_in", "in_asked_units", "json_of", "opened", "print_data", "print_json", "print_page", "read_book",
    "read_file", "reason_of", "say", "say_warnings", "spread_asked", "stop", "write_file",
]  # fmt: skip

REFUSED, WRONG = 1, 2
GRADES = {"stop": "stop", "approve": "approval required", "check": "check", "know": "note"}
STDOUT = "standard output"

JobFile = Annotated[str, typer.Argument(metavar="JOB.json", help="The job document.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON.")]
BookFile = Annotated[
    str | None,
    typer.Option("--pricebook", metavar="FILE", help="A price book, whole or in part, laid over the built-in one."),
]


SpreadDays = Annotated[
    int,
    typer.Option("--spread", metavar="N", help="Draw N days: how far hours, use, cost and price may lie off."),
]
Calibrated = Annotated[
    str | None,
    typer.Option(
        "--calibration",
        metavar="FILE",
        help="What recorded jobs have taught, as `learn` writes it.",
    ),
]
LEAST_DAYS, MOST_DAYS = 2, 1_000_000  # as estimator.spread.make has them, whose import takes long


class Units(StrEnum):
    """Units of pages and papers for people."""

    METRIC = "metric"
    US = "us"


def one_line(text: str) -> str:
    """Return a text on one line, with what cannot be printed written out."""
    return "".join(sign if sign.isprintable() else repr(sign)[1:-1] for sign in text)


def say(line: str) -> None:
    """Write one line to standard error, if there is one."""
    if sys.stderr is not None:
        with contextlib.suppress(OSError):
            print(one_line(line), file=sys.stderr, flush=True)  # noqa: T201  # a command talks by printing


def stop(code: int, *lines: str) -> NoReturn:
    """Say why, line by line, and end with that exit code."""
    for line in lines:
        say(line)
    sys.exit(code)


def reason_of(error: OSError) -> str:
    """Return what the system says is wrong with a file."""
    number = error.errno or 0  # a name that leads nowhere has negative numbers of its own
    return (os.strerror(number) if number > 0 else error.strerror or type(error).__name__).lower()


@contextlib.contextmanager
def faults_in(file: str) -> Iterator[None]:
    """End the command with one line a fault if the document from that file is wrong or its job refused."""
    from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError

    try:
        yield
    except DocumentError as error:
        stop(WRONG, *lines_of(file, error.faults))
    except JobRefusedError as error:
        stop(REFUSED, *lines_of(file, error.faults))
    except OutOfRangeError as error:
        stop(REFUSED, f"{file}: no plan within the range of the formulas: {error}")


def lines_of(file: str, faults: Iterable[object]) -> list[str]:
    """Return each fault as a line that begins with the file."""
    return [f"{file}: {fault}" for fault in faults]


def read_file(file: str) -> bytes:
    """Return what a file holds, as far as a document may reach; end the command if it cannot be read."""
    from estimator.strict import LARGEST_DOCUMENT

    try:
        with open(file, "rb") as source:
            return source.read(LARGEST_DOCUMENT + 1)
    except OSError as error:
        stop(WRONG, f"{file}: {reason_of(error)}")


def read_book(file: str | None) -> "PriceBook":
    """Return the built-in price book with that of a file laid over it."""
    from estimator.book.pricebook import read_pricebook

    if file is None:
        return read_pricebook()
    with faults_in(file):
        return read_pricebook(read_file(file))


def opened(job: str, pricebook: str | None) -> "tuple[bytes, PriceBook]":
    """Return a job document as it stands in its file, and the price book it is to be priced with."""
    book = read_book(pricebook)
    return read_file(job), book


def estimated(
    job: str, pricebook: str | None, detail: "Detail" = "plan", spread: int = 0, calibration: str | None = None
) -> "Estimate":
    """Return the estimate of a job in as much detail as asked; end the command where it has none.

    `calibration`: a file of what recorded jobs have taught.

    `spread`: days to draw for how far it may come out otherwise; past a second a bar shows how far that is.
    """
    document, book = opened(job, pricebook)
    if calibration is not None:
        with faults_in(calibration):
            from estimator.book.pricebook import calibrated_book

            book = calibrated_book(book, read_file(calibration))
    with faults_in(job):
        from estimator.estimate import estimate

        if not spread:
            return cast(
                "Estimate", estimate(document, book, detail)
            )  # the price alone has fewer keys, and is only printed
        from api.commands.progress import progress

        with progress("days drawn") as told:
            return cast("Estimate", estimate(document, book, detail, spread, told))


def spread_asked(command: str, days: int) -> int:
    """Return how many days are to be drawn, 0 for none; end the command where they cannot be."""
    if days and not MOST_DAYS >= days >= LEAST_DAYS:
        stop(WRONG, f"boreworth {command}: --spread: {days} days; {LEAST_DAYS} to {MOST_DAYS}")
    return days


def say_warnings(job: str, found: "Estimate") -> None:
    """Write each warning to standard error, named by how grave it is; what is only good to know is a note.

    In the units that the job was typed in.
    """
    from exports.format import named_bores, told
    from exports.in_units import in_units, units_of

    for one in told(in_units(found, units_of(found))):
        by = f" by {one.who}" if one.who and one.grade == "approve" else ""
        say(f"{job}: {GRADES[one.grade]}{by}: {named_bores(one)}")


def in_asked_units(found: "Estimate", units: Units | None) -> "Estimate":
    """Return a document whose papers are written in the units asked for; as its job was typed where none are."""
    return found if units is None else {**found, "job": {**found["job"], "typed_in": units.value}}


def print_data(data: bytes) -> None:
    """Write to standard output; a reader that stops early is no fault."""
    if sys.stdout is None:
        stop(WRONG, f"{STDOUT}: is closed")
    try:
        sys.stdout.buffer.write(data)
        sys.stdout.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # what is left is flushed once more at the end
        if not isinstance(error, BrokenPipeError):
            stop(WRONG, f"{STDOUT}: {reason_of(error)}")


def print_page(text: str) -> None:
    """Write a page for people in the encoding of their terminal; signs that it lacks are written out."""
    from exports.signs import plain

    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    try:
        data = text.encode(encoding)
    except UnicodeEncodeError:
        data = plain(text).encode(encoding, errors="replace")
    print_data(data)


def json_of(document: object) -> bytes:
    """Return a document as indented UTF-8 JSON."""
    from pydantic_core import to_json

    return to_json(document, indent=2) + b"\n"


def print_json(document: object) -> None:
    """Write a document to standard output as indented UTF-8 JSON."""
    print_data(json_of(document))


def write_file(file: str, data: bytes) -> None:
    """Write a file whole or not at all; `-` is standard output."""
    if file == "-":
        print_data(data)
        return
    try:
        if os.path.exists(file) and not os.path.isfile(file):  # a device or a pipe is written to, never replaced
            with open(file, "wb") as sink:
                sink.write(data)
        else:
            replace_file(os.path.realpath(file), data)
    except OSError as error:
        stop(WRONG, f"{file}: {reason_of(error)}")


def replace_file(target: str, data: bytes) -> None:
    """Write beside the target, then put it in its place in one move."""
    beside = f"{target}.{os.getpid()}.part"
    try:
        with open(beside, "xb") as sink:
            sink.write(data)
            sink.flush()
            os.fsync(sink.fileno())
        os.replace(beside, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(beside)
        raise
