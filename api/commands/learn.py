"""`boreworth learn`: what recorded jobs teach, as a calibration that `estimate --calibration` takes."""

from typing import Annotated

import typer

from api.commands.edge import (
    AsJson,
    BookFile,
    faults_in,
    json_of,
    print_data,
    print_page,
    read_book,
    read_file,
    say,
    write_file,
)

__all__ = ["learn"]

Actuals = Annotated[str, typer.Argument(metavar="ACTUALS.json", help="Jobs that were done, and what each took.")]


def learn(
    actuals: Actuals,
    out: Annotated[str, typer.Option("--out", metavar="CALIBRATION.json", help="Where the calibration goes.")],
    as_json: AsJson = False,
    chart: Annotated[
        str | None, typer.Option("--chart", metavar="FILE.svg", help="Where a picture of the back-test goes.")
    ] = None,
    pricebook: BookFile = None,
) -> None:
    """Learn how far this shop lies from the book, test that in the order of time, and ask about odd records."""
    book = read_book(pricebook)
    text = read_file(actuals)
    with faults_in(actuals):
        from estimator.learn import learn as learnt

        found = learnt(text, book)
    for one in found["asked_about"]:
        say(f"{actuals}: {one['job']}, bore {one['bore']}: {one['question']}")
    data = json_of(found)
    write_file(out, data)
    if chart is not None:
        from exports.pictures.back_test import back_test

        write_file(chart, back_test(found).encode())
    if out == "-":
        return
    if as_json:
        print_data(data)
        return
    from exports.page.learnt import page

    print_page(page(found))
