"""`boreworth draw`: the pictures of a job, as SVG files in a folder."""

import os
from typing import Annotated

import typer

from api.commands.edge import (
    WRONG,
    AsJson,
    BookFile,
    JobFile,
    SpreadDays,
    estimated,
    print_json,
    print_page,
    reason_of,
    say,
    say_warnings,
    spread_asked,
    stop,
    write_file,
)

__all__ = ["draw"]

Force = Annotated[bool, typer.Option("--force", help="Write over files that are not our own drawings.")]


def draw(
    job: JobFile,
    out: Annotated[str, typer.Option(metavar="FOLDER", help="Where the drawings go; made if it is not there.")],
    as_json: AsJson = False,
    force: Force = False,
    spread: SpreadDays = 0,
    pricebook: BookFile = None,
) -> None:
    """Draw the wear maps, sections and lines of a job."""
    found = estimated(job, pricebook, "plan", spread_asked("draw", spread))
    from exports.pictures.job import pictures

    drawn, left_out = pictures(found)
    files = [os.path.join(out, picture.file) for picture in drawn]
    _make_folder(out)
    if not force:
        foreign = [file for file in files if _holds_other(file)]
        if foreign:
            cure = "holds something that is no drawing of ours; give another folder, or --force"
            stop(WRONG, *(f"{file}: {cure}" for file in foreign))
    for file, picture in zip(files, drawn, strict=True):
        write_file(file, picture.svg.encode("utf-8"))
    for note in left_out:
        say(f"{job}: {note}")
    say_warnings(job, found)
    if as_json:
        print_json({"files": files})
    else:
        print_page("".join(f"{file}\n" for file in files))


def _make_folder(folder: str) -> None:
    """Make a folder with those above it; end the command if that cannot be."""
    try:
        os.makedirs(folder, exist_ok=True)
    except FileExistsError:
        stop(WRONG, f"{folder}: is a file; the drawings need a folder")
    except OSError as error:
        stop(WRONG, f"{folder}: {reason_of(error)}")


def _holds_other(file: str) -> bool:
    """Return whether a file is there that is no drawing of ours."""
    from exports.pictures.svg import MADE_BY

    if not os.path.lexists(file):
        return False
    try:
        with open(file, "rb") as there:
            return MADE_BY.encode() not in there.read(200)
    except OSError:  # a folder, or nothing we may read
        return True
