"""`boreworth estimate`: what a job takes and what it is sold for; what it costs us only with `--show cost`."""

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
    print_json,
    print_page,
    say_warnings,
    spread_asked,
    stop,
)

if TYPE_CHECKING:
    from estimator.estimate import Detail as Wanted

__all__ = ["Detail", "estimate"]


WEIGHED = {"plan", "heat", "days", "basis"}  # parts of the page that show what was weighed beside


USUAL_DAYS = 2000  # where the part is asked for and nobody says how many


class Detail(StrEnum):
    """How much the document says."""

    PRICE = "price"
    PLAN = "plan"
    FULL = "full"


def estimate(
    job: JobFile,
    as_json: AsJson = False,
    units: Annotated[
        Units | None, typer.Option(help="Units of the page for people; as most bores were typed where not said.")
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="Print all parts of the page but cost and margin.")] = False,
    show: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PART", help="A part more: plan, heat, cutting, days, scope, safety, basis, spread or cost."
        ),
    ] = None,
    detail: Annotated[
        Detail | None,
        typer.Option(help="With --json: price alone, plan (unless asked), or full: what was weighed beside as well."),
    ] = None,
    spread: SpreadDays = 0,
    calibration: Calibrated = None,
    pricebook: BookFile = None,
) -> None:
    """Print price, time, what must be settled, and what to take; further parts with --show."""
    wanted = _parts(show or [], full)
    spread_asked("estimate", spread)
    if spread and detail == Detail.PRICE:
        stop(WRONG, "boreworth estimate: --spread: goes with --detail plan or full")
    if detail is not None and not as_json:
        stop(WRONG, "boreworth estimate: --detail: goes with --json; the page says more with --show or --full")
    if "spread" in (show or []) and not spread:
        spread = USUAL_DAYS
    asked: Wanted = detail.value if detail else "full" if wanted & WEIGHED and not as_json else "plan"
    found = estimated(job, pricebook, asked, spread, calibration)
    if as_json:
        say_warnings(job, found)
        print_json(found)
        return
    from exports.in_units import units_of
    from exports.page.estimate import page

    print_page(page(found, units.value if units else units_of(found), wanted))


def _parts(show: list[str], full: bool) -> set[str]:
    """Return the parts of the page that are asked for; end the command where one is not known."""
    from exports.page.first import SHOWN

    for name in show:
        if name not in SHOWN:
            stop(WRONG, f"boreworth estimate: --show: there is no part {name!r}; known are {', '.join(SHOWN)}")
    return {*show, *(name for name in SHOWN if full and name != "cost")}
