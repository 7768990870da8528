"""Pictures for a page: each an image of its own, with words for those who do not see it."""

import re
from html import unescape
from typing import NamedTuple

from estimator.document.bore import Bore
from estimator.estimate import Estimate
from exports.pictures.job import spread_pictures
from exports.pictures.line_axis import line_of_bores
from exports.pictures.plate_ends import plate_ends, used_of
from exports.pictures.schedule import schedule_pictures
from exports.pictures.section import section
from exports.pictures.wear import has_map
from exports.pictures.wear_map import wear_map

__all__ = ["Drawn", "as_image", "of_bore", "of_lines", "of_one", "of_schedule", "of_spread"]

MOST_BORES = 24  # a job of more would make a page of many megabytes; `boreworth draw` draws them all
IN_A_URL = str.maketrans(
    {"%": "%25", "#": "%23", "<": "%3C", ">": "%3E", '"': "%22", "\n": ""}
)  # packs better than base64
SAID = re.compile(r"<desc>(.*?)</desc>", re.DOTALL)
TITLE = re.compile(r"<title>(.*?)</title>", re.DOTALL)


class Drawn(NamedTuple):
    """A picture: its source as a `data:` URL, and what it shows."""

    source: str
    words: str


def of_bore(bore: Bore, estimate: Estimate) -> list[Drawn]:
    """Return wear map and section of a bore."""
    if len(estimate["bores"]) > MOST_BORES:
        return []
    own = of_one(bore)
    used = used_of(estimate) if bore["name"] == estimate["bores"][0]["name"] else []  # one sheet for all
    return [*own, *([as_image(plate_ends(used))] if used else [])]


def of_one(bore: Bore) -> list[Drawn]:
    """Return wear map and section of a bore alone."""
    return [*([as_image(wear_map(bore))] if has_map(bore) else []), as_image(section(bore))]


def of_lines(estimate: Estimate) -> list[Drawn]:
    """Return the axis of every line of bores."""
    if len(estimate["bores"]) > MOST_BORES:
        return []
    return [as_image(line_of_bores(line, estimate)) for line in estimate.get("lines") or []]


def of_schedule(estimate: Estimate) -> list[Drawn]:
    """Return the order of work by the clock; nothing where the document does not hold it."""
    return [as_image(svg) for svg in schedule_pictures(estimate)]


def of_spread(estimate: Estimate) -> list[Drawn]:
    """Return how far the job may come out otherwise and what that hangs on; nothing where no days were drawn."""
    return [as_image(one.svg) for one in spread_pictures(estimate)]


def as_image(svg: str) -> Drawn:
    """Return a picture as a page shows it, with what it says of itself."""
    found = SAID.search(svg) or TITLE.search(svg)
    words = unescape(found[1]) if found else ""
    return Drawn("data:image/svg+xml," + svg.translate(IN_A_URL), words)
