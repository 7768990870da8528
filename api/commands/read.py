"""`boreworth read`: a filled intake sheet, or a measuring arm's points, into a job document."""

import os
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, Any

import typer

from api.commands.edge import (
    WRONG,
    BookFile,
    faults_in,
    json_of,
    read_book,
    read_file,
    reason_of,
    say,
    stop,
    write_file,
)
from api.commands.intake import ending

if TYPE_CHECKING:
    from estimator.book.pricebook import PriceBook
    from estimator.job.job import Job
    from estimator.scan.table import PointTable

__all__ = ["read"]

WORKBOOK, OTHER_WORKBOOKS = ".xlsx", (".xlsm", ".xlsb", ".xls", ".ods")
COMMAND = "boreworth read"
DIMENSIONS, FARTHEST = 3, 1e6


class Frame(StrEnum):
    """Which axes the points are in."""

    AUTO = "auto"
    BORE = "bore"
    ARM = "arm"


class Axis(StrEnum):
    """Which axis of a bore among an arm's points is meant."""

    UNWORN = "unworn"
    WORN = "worn"


class Side(StrEnum):
    """The end of the axis that the machine stands at."""

    MINUS = "-"
    PLUS = "+"


def read(
    points: Annotated[
        str, typer.Argument(metavar="FILLED.xlsx|POINTS.csv", help="An intake sheet; or columns x, y, z, and label.")
    ],
    out: Annotated[str, typer.Option(metavar="JOB.json", help="File to write; - is standard output.")],
    job: Annotated[str | None, typer.Option(metavar="JOB.json", help="A job whose bores get the points.")] = None,
    reference: Annotated[str | None, typer.Option(metavar="TEXT", help="Default: the name of the file.")] = None,
    nominal: Annotated[str | None, typer.Option(metavar="SIZE", help='Nominal diameter, "90 mm".')] = None,
    length: Annotated[str | None, typer.Option(metavar="SIZE", help='Length of the bore, "70 mm".')] = None,
    material: Annotated[str | None, typer.Option(metavar="STEEL", help="Such as S355J2.")] = None,
    unit: Annotated[str | None, typer.Option(metavar="UNIT", help="Unit of x, y, z, if the file is silent.")] = None,
    frame: Annotated[Frame, typer.Option(help="Axes of the points: the bore's own or the arm's.")] = Frame.AUTO,
    up: Annotated[str | None, typer.Option(metavar="X,Y,Z", help="12 o'clock in the arm's axes.")] = None,
    axis: Annotated[
        Axis, typer.Option(help="The bore's first axis, by its unworn wall, or the worn hole's.")
    ] = Axis.UNWORN,
    worn_side: Annotated[
        str | None, typer.Option(metavar="X,Y,Z", help="Where the wear went, in the arm's axes.")
    ] = None,
    from_side: Annotated[Side | None, typer.Option(help="End of the arm's axis that the machine is at.")] = None,
    record: Annotated[
        str | None, typer.Option(metavar="RECORD.json", help="Of a sheet: where its record of the work goes.")
    ] = None,
    pricebook: BookFile = None,
) -> None:
    """Read a filled intake sheet, or the points of a measuring arm, into a job document."""
    if ending(points) in OTHER_WORKBOOKS:
        stop(WRONG, f"{COMMAND}: {points}: a filled sheet is read as .xlsx; save it as one")
    if os.path.exists(out) and os.path.exists(points) and os.path.samefile(out, points):
        stop(WRONG, f"{COMMAND}: --out: is the file that is read; give another name")
    if ending(points) == WORKBOOK:
        arm = {"--job": job, "--reference": reference, "--nominal": nominal, "--length": length, "--material": material}
        arm |= {"--unit": unit, "--up": up, "--worn-side": worn_side, "--from-side": from_side}
        _sheet(points, (out, record), [option for option, said in arm.items() if said is not None], pricebook)
        return
    if record is not None:
        stop(WRONG, f"{COMMAND}: --record: goes with a filled sheet; leave it out")
    directions = {name: _direction(name, said) for name, said in (("--up", up), ("--worn-side", worn_side))}
    facts = {"--nominal": nominal, "--length": length, "--material": material, "--reference": reference}
    template, where = _template(points, facts) if job is None else _job(job, facts)
    table = _table(points, unit)
    import numpy as np

    from estimator.scan.document import Asked, bore_names, job_of_points, json_of_job
    from estimator.scan.place import Wanted

    with faults_in(points):
        names = bore_names(table, None if job is None else template)
    if job is None:
        (plain,) = template["bores"]
        template["bores"] = [{"name": name, **plain} for name in names]
    checked = _read_job(template, names, where, read_book(pricebook))
    up_at, worn_at = (None if said is None else np.array(said) for said in directions.values())
    wanted = Wanted(axis.value, up_at, from_side.value if from_side else "", worn_at)
    asked = Asked(os.path.basename(points), frame.value, wanted)
    with faults_in(points):
        done = job_of_points(table, template, checked, asked)
        data = json_of_job(done.document)
    write_file(out, data)
    if table.unused:
        say(f"{points}: columns not used: {', '.join(table.unused)}")
    for line in done.said:
        say(f"{points}: {line}")


def _sheet(file: str, outs: tuple[str, str | None], others: list[str], pricebook: str | None) -> None:
    """Write the job of a filled intake sheet; end the command with one line a fault, each at its cell."""
    if others:
        stop(WRONG, *(f"{COMMAND}: {option}: goes with points; leave it out" for option in others))
    book = read_book(pricebook)
    from estimator.scan.document import json_of_job
    from exports.intake.archive import LARGEST_UPLOAD
    from exports.intake.back import job_of_sheet
    from exports.intake.check import check_of

    try:
        with open(file, "rb") as source:
            data = source.read(LARGEST_UPLOAD + 1)
    except OSError as error:
        stop(WRONG, f"{file}: {reason_of(error)}")
    with faults_in(file):
        job, happened = job_of_sheet(data, check_of(book))
        written = json_of_job(job)
    out, record = outs
    if record is not None and happened is None:
        stop(WRONG, f"{file}: Record: nothing is filled in; leave --record out")
    write_file(out, written)
    if record is not None:
        write_file(record, json_of(happened))
    elif happened is not None:
        say(f"{file}: Record: is filled in; --record RECORD.json writes it as well")


def _direction(option: str, text: str | None) -> "list[float] | None":
    """Return the three numbers of a direction."""
    if text is None:
        return None
    try:
        parts = [float(part) for part in text.split(",")]
    except ValueError:
        parts = []
    if len(parts) != DIMENSIONS or not all(abs(part) <= FARTHEST for part in parts) or not any(parts):
        stop(WRONG, f"{COMMAND}: {option}: {text[:40]!r} is no direction; write three numbers such as 0,0,1")
    return parts


def _template(points: str, facts: dict[str, str | None]) -> tuple[dict[str, Any], str]:
    """Return a job of one bore from the options, and nothing as the name of its file."""
    missing = [option for option in ("--nominal", "--length", "--material") if not facts[option]]
    if missing:
        said = "is missing; points do not tell it: give it, or a job whose bores have it by --job JOB.json"
        stop(WRONG, *(f"{COMMAND}: {option}: {said}" for option in missing))
    name = os.path.splitext(os.path.basename(points))[0]
    bore = {"nominal_diameter": facts["--nominal"], "length": facts["--length"], "material": facts["--material"]}
    return {"reference": facts["--reference"] or name, "bores": [bore]}, ""


def _job(file: str, facts: dict[str, str | None]) -> tuple[dict[str, Any], str]:
    """Return the job document of a file, and its name."""
    twice = [option for option, said in facts.items() if said is not None and option != "--reference"]
    if twice:
        stop(WRONG, *(f"{COMMAND}: {option}: is said by the job; leave it out" for option in twice))
    with faults_in(file):
        from estimator.strict import parse

        document = parse(read_file(file))
    if facts["--reference"] is not None:
        document["reference"] = facts["--reference"]
    return document, file


def _table(points: str, unit: str | None) -> "PointTable":
    from estimator.scan.table import read_points

    try:
        with open(points, "rb") as stream, faults_in(points):
            return read_points(stream, unit)
    except OSError as error:
        stop(WRONG, f"{points}: {reason_of(error)}")


OPTIONS = {"nominal_diameter": "--nominal", "length": "--length", "material": "--material", "reference": "--reference"}


def _read_job(template: dict[str, Any], names: dict[str, str], where: str, book: "PriceBook") -> "Job":
    """Return the job with a stand-in for its points; its faults name the option or the file they come from."""
    from estimator.errors import DocumentError, Fault
    from estimator.estimate import read_job
    from estimator.scan.document import stand_in

    with faults_in(where or COMMAND):
        try:
            return read_job(stand_in(template, names), book)
        except DocumentError as error:
            if where:
                raise
            told = {
                Fault(OPTIONS.get(one.path.rpartition(".")[2], one.path), one.message): None for one in error.faults
            }
            raise DocumentError([one for one in told if one.path != "bores.0.worn_diameter"] or list(told)) from None
