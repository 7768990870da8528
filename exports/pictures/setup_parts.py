"""What the side view of a line's set-up is drawn from: bosses, bearings and the sheet's scale."""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from estimator.document.bore import Bore
from estimator.estimate import Estimate
from exports.format import field, has, perhaps

__all__ = ["Setup", "View", "bearings", "ends", "set_ups", "view_of"]

LEFT, WIDE, TALL = 26.0, 108.0, 44.0  # where the line is drawn, and how high at most [mm on paper]
SAME = 0.05  # two places nearer than this are one [mm]


class Setup(NamedTuple):
    """One line: its name, bores and steps from the machine's side on, undamaged bores as (name, from, to)."""

    name: str
    bores: list[Bore]
    datums: list[tuple[str, float, float]]


class View(NamedTuple):
    """How a line lies on the sheet: its first place, mm on paper a mm. [mm, -]"""

    first: float
    scale: float

    def x(self, place: float) -> float:
        """Return the place across the sheet of a place along the line. [mm]"""
        return LEFT + self.scale * (place - self.first)


def ends(bore: Bore) -> tuple[float, float]:
    """Return where a bore begins and ends along its line. [mm]"""
    start = bore["setup"]["place_mm"]
    return start, start + bore["given"]["length_mm"]


def bearings(bores: list[Bore]) -> list[float]:
    """Return where the bearings of a line stand, each once. [mm]"""
    found: list[float] = []
    for bore in bores:
        setup = bore["setup"]
        places = [setup["insert_mm"] - setup["span_before_mm"]]
        if setup["span_after_mm"] is not None:
            places.append(setup["insert_mm"] + setup["span_after_mm"])
        found += [place for place in places if all(abs(place - one) > SAME for one in found)]
    return sorted(found)


def _datums(name: str, bores: list[Bore], estimate: Estimate) -> Iterator[tuple[str, float, float]]:
    """Yield the undamaged bores of a line whose axis was sought, from the line's machine-side end."""
    places = {bore["name"]: bore["setup"]["place_mm"] for bore in bores}
    lines = perhaps(estimate.get("lines")) or []
    stations = next((one["stations"] for one in lines if one["name"] == name), [])
    known = next((one for one in stations if one["kind"] == "bore" and one["name"] in places), None)
    if known is None:
        return
    shift = places[known["name"]] - known["position_mm"]
    for one in stations:
        if one["kind"] == "datum":
            start = one["position_mm"] + shift
            yield one["name"], start, start + one["length_mm"]


def set_ups(estimate: Estimate) -> list[Setup]:
    """Return the lines of which it is known where their bores lie along them."""
    lines: dict[str, list[Bore]] = {}
    for bore in estimate["bores"]:
        name = field(bore, "given", "line")
        if name is not None and has(bore, "setup"):
            lines.setdefault(name, []).append(bore)
    found = []
    for name, bores in lines.items():
        bores.sort(key=ends)
        if all(other[0] >= one[1] - SAME for one, other in pairwise(map(ends, bores))):
            found.append(Setup(name, bores, list(_datums(name, bores, estimate))))
    return found


def view_of(line: Setup) -> View:
    """Return the scale by which a line fits the sheet, the same along and across."""
    places = [*bearings(line.bores), *(end for bore in line.bores for end in ends(bore))]
    places += [end for _, *both in line.datums for end in both]
    first, last = min(places), max(places)
    tallest = max(bore["given"]["outside_diameter_mm"] for bore in line.bores)
    return View(first, min(WIDE / (last - first), TALL / tallest))
