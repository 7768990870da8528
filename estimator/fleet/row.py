"""A row of a fleet's list, read: its sizes and hours, what stood in for what it does not say, and its job document."""

import functools
import math
from dataclasses import dataclass
from typing import Any

from typing_extensions import TypedDict

from estimator.fleet.lines import BARE, REQUIRED, Raw
from estimator.strict import validated
from estimator.tables import raw
from estimator.tables.row import Row as TableRow
from estimator.units import UnitError, deci, read, split

__all__ = ["Bore", "Default", "RowError", "bore_of"]

ANY = "any"  # the class of a machine that does not say what it is
YES, NO = ("yes", "y", "true", "1", "ja"), ("no", "n", "false", "0", "nein")
SMALLEST_SHARE = 0.98  # of the nominal: a worn bore that reads less is a slip of the pen
USUAL_RATE, USUAL_TOLERANCE, USUAL_DISTANCE = "0.08", "H8", "0 km"
WANTED = ("outside_diameter", "earlier_diameter", "wear_limit", "downtime_cost", "part_price", "sleeve_price")


class Default(TypedDict):
    """A value that stood in for a column that says nothing, as it would be typed."""

    column: str
    value: str


class MachineClass(TableRow):
    """What is usual for a class of machines where a list says nothing."""

    name: str
    material: str
    hours_per_year: str
    repair_life: str
    sleeve_life: str
    part_life: str
    lead_time: str
    wear_share: float


class RowError(Exception):
    """A row that cannot be answered, with its reasons."""

    def __init__(self, reasons: list[str]) -> None:
        """Keep the reasons."""
        super().__init__("; ".join(reasons))
        self.reasons = reasons


@dataclass(frozen=True)
class Bore:
    """A row read. Sizes in mm, times in hours of the machine; `document`: its job without names."""

    line: int
    machine: str
    name: str
    site: str
    worn: float
    read_at: float
    earlier: tuple[float, float] | None
    limit: float
    now: float
    hours_per_year: float
    left: float
    lead_days: float
    can_run: bool
    document: dict[str, Any]
    defaults: tuple[Default, ...]
    missing: tuple[str, ...]


@functools.cache
def _classes() -> dict[str, MachineClass]:
    return {row["name"]: validated(MachineClass, dict(row), {}) for row in raw("machine_classes")}


class _Cells:
    """The cells of a row being read: faults are kept, and what stood in is marked."""

    def __init__(self, row: Raw) -> None:
        self.row, self.faults, self.defaults = row, list(row.faults), list[Default]()

    def text(self, column: str, default: str = "") -> str:
        """Return a cell, or what stands in for it."""
        if column in self.row.cells:
            return self.row.cells[column]
        if default:
            self.defaults.append({"column": column, "value": default})
        return default

    def quantity(self, column: str, unit: str, default: str = "") -> float:
        """Return a cell as a number in a unit; NaN where it is empty or wrong."""
        text = self.text(column, default)
        if not text:
            return math.nan
        if unit == "h" and BARE.fullmatch(text):
            text += " h"  # a meter of hours shows nothing else
        try:
            number = deci(read(text, "length" if unit == "mm" else "time"), unit)
        except UnitError as error:
            self.faults.append(f"{column}: {error}")
            return math.nan
        if number < 0:
            self.faults.append(f"{column}: must not be below zero")
        return number

    def yes(self, column: str, default: str) -> bool:
        """Return whether a cell says yes."""
        text = self.text(column, default).lower()
        if text not in (*YES, *NO):
            self.faults.append(f'{column}: {text[:20]!r} is neither "yes" nor "no"')
        return text in YES


def _class_of(cells: _Cells) -> MachineClass:
    """Return the class that a machine's own words name; one not known counts as any, and is marked so."""
    said, known = cells.text("class", ANY).lower(), _classes()
    named = next((name for name in known if name in said.split() or name == said), None)
    if named is None:
        named = next((name for name in known if name in said and name != ANY), ANY)
        if named == ANY:
            cells.defaults.append({"column": "class", "value": ANY})
    return known[named]


def _a_year(cells: _Cells, default: str) -> float:
    """Return the hours that a machine runs in a year, typed with or without their unit."""
    text = cells.text("hours_per_year", default)
    try:
        number, unit = split(text)
    except UnitError as error:
        cells.faults.append(f"hours_per_year: {error}")
        return math.nan
    if unit not in ("", "h", "h/a", "h/year", "h/y"):
        cells.faults.append(f"hours_per_year: {text[:40]!r} is not in hours")
    return number


def _earlier(cells: _Cells, read_at: float) -> tuple[float, float] | None:
    """Return the earlier reading and its hours; none where only one of the two is there."""
    if not {"earlier_diameter", "earlier_at"} <= set(cells.row.cells):
        return None
    size, at = cells.quantity("earlier_diameter", "mm"), cells.quantity("earlier_at", "h")
    if at >= read_at:
        cells.faults.append("earlier_at: must lie before read_at")
    return size, at


def bore_of(row: Raw, currency: str) -> Bore:
    """Return a row read; raise `RowError` with every reason why it cannot be."""
    cells = _Cells(row)
    cells.faults += [f"{column}: is missing" for column in REQUIRED if column not in row.cells]
    usual = _class_of(cells)
    nominal, worn = (cells.quantity(column, "mm") for column in ("nominal_diameter", "worn_diameter"))
    read_at = cells.quantity("read_at", "h")
    if worn < SMALLEST_SHARE * nominal:
        cells.faults.append("worn_diameter: is smaller than the nominal diameter: is one of the two a slip?")
    earlier = _earlier(cells, read_at)
    due = "" if math.isnan(nominal) else f"{nominal * (1 + usual.wear_share):.5g} mm"
    limit = cells.quantity("wear_limit", "mm", due)
    if limit <= nominal:
        cells.faults.append("wear_limit: is the diameter at which the bore is due, above the nominal one")
    now = cells.quantity("hours_now", "h", "" if math.isnan(read_at) else f"{read_at:.12g} h")
    if now < read_at:
        cells.faults.append("hours_now: must not lie before read_at")
    a_year, runs = _a_year(cells, usual.hours_per_year), cells.yes("can_run", "yes")
    lead = cells.quantity("lead_time", "day", usual.lead_time)
    document = _document(cells, usual, a_year, runs, currency)
    left = document["economics"].get("remaining_life", "")
    hours = math.inf if not left else _hours_left(cells, left, a_year)
    if cells.faults:
        raise RowError(cells.faults)
    return Bore(
        line=row.line,
        machine=row.cells["machine"],
        name=row.cells["bore"],
        site=row.cells.get("site", ""),
        worn=worn,
        read_at=read_at,
        earlier=earlier,
        limit=limit,
        now=now,
        hours_per_year=a_year,
        left=hours,
        lead_days=lead,
        can_run=runs,
        document=document,
        defaults=tuple(cells.defaults),
        missing=tuple(column for column in WANTED if column not in row.cells),
    )


def _hours_left(cells: _Cells, text: str, a_year: float) -> float:
    """Return how long a machine still runs, years being years of use. [h]"""
    try:
        number, unit = split(text)
    except UnitError as error:
        cells.faults.append(f"remaining_life: {error}")
        return math.inf
    return number * a_year if unit.startswith(("y", "a")) else cells.quantity("remaining_life", "h")


def _document(cells: _Cells, usual: MachineClass, a_year: float, runs: bool, currency: str) -> dict[str, Any]:
    """Return the job document of a row, as `compare` takes it."""
    given = cells.row.cells
    bore = {"name": "A", **{key: given.get(key, "") for key in ("nominal_diameter", "length", "worn_diameter")}}
    bore |= {"material": cells.text("material", usual.material), "tolerance": cells.text("tolerance", USUAL_TOLERANCE)}
    bore |= {"outside_diameter": given["outside_diameter"]} if "outside_diameter" in given else {}
    rate = cells.text("discount_rate", USUAL_RATE)
    economics: dict[str, Any] = {
        "discount_rate": float(rate) if _is_number(rate) else rate,
        "hours_per_year": a_year,
        "downtime_cost": cells.text("downtime_cost", f"0 {currency}/h"),
        "can_run": runs,
        "repair": {"life": cells.text("repair_life", usual.repair_life)},
    }
    if "remaining_life" in given:
        economics["remaining_life"] = given["remaining_life"]
    if "sleeve_price" in given or "sleeve_life" in given:
        price = {"price": given["sleeve_price"]} if "sleeve_price" in given else {}
        economics["sleeve"] = {**price, "life": cells.text("sleeve_life", usual.sleeve_life)}
    if "part_price" in given:
        life, lead = cells.text("part_life", usual.part_life), given.get("lead_time", usual.lead_time)
        economics["replace"] = {"price": given["part_price"], "life": life, "lead_time": lead}
    distance = cells.text("distance", USUAL_DISTANCE)
    return {"reference": "fleet", "site": {"distance": distance}, "bores": [bore], "economics": economics}


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False
