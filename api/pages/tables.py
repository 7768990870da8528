"""An estimate document as tables of texts for a page, in the page's units; nothing is computed here but places."""

from dataclasses import dataclass
from dataclasses import field as of_a_table
from decimal import Decimal

from estimator.document.bore import Bore
from estimator.document.cost import CostLine
from estimator.document.old import kind_of
from estimator.estimate import Estimate
from exports.adding import rounded_rows
from exports.format import (
    Units,
    amount,
    bare,
    by_key,
    clock_time,
    expected,
    field,
    has,
    hours_said,
    in_percent,
    label,
    moved,
    number,
)
from exports.settings import settings_of
from exports.used import ENOUGH, things

__all__ = ["Table", "cost", "crews", "cutting", "days", "hours", "layers", "sizes", "used", "whole"]


@dataclass(frozen=True)
class Table:
    """A table: its caption, the heads of its columns with their units, rows that begin with a name, and a last row.

    `keys` are those of the figures in the rows, after their names, where they can be explained; else empty.
    """

    caption: str
    heads: list[tuple[str, str]]
    rows: list[list[str]]
    foot: list[str] = of_a_table(default_factory=list)
    keys: list[list[str]] = of_a_table(default_factory=list)


SIZES = (
    ("Worn up to", "wear", "largest_diameter_mm"),
    ("Wear a side", "wear", "max_radial_wear_mm"),
    ("Finish, min", "sizes", "finish_min_mm"),
    ("Finish, max", "sizes", "finish_max_mm"),
    ("Bore to", "sizes", "cleanup_mm"),
    ("Weld to", "sizes", "weld_mm"),
)
LAYERS = (
    ("Layer from", "start_diameter_mm"),
    ("Layer down to", "end_diameter_mm"),
    ("Layer's arc", "arc_time_min"),
)
PASSES = (
    ("From", "from_mm"),
    ("To", "to_mm"),
    ("Depth a side", "depth_mm"),
    ("Rotation", "rpm"),
    ("Feed/turn", "feed_mm_rev"),
    ("Time", "time_min"),
)
PHASES = (
    ("Set-up", "setup_min"),
    ("Clean-up", "precut_min"),
    ("Preheat", "preheat_min"),
    ("Weld", "weld_min"),
    ("Cool", "cooldown_min"),
    ("Finish", "finish_min"),
    ("Inspect", "inspection_min"),
    ("Strip", "teardown_min"),
    ("Total", "total_min"),
)


def sizes(estimate: Estimate, units: Units) -> Table:
    """Return the sizes of every bore."""
    heads = [("Bore", "")] + [(name, label(key, units)) for name, _, key in SIZES]
    rows = [
        [bore["name"], *(bare(key, field(bore, part, key), units) for _, part, key in SIZES)]
        for bore in estimate["bores"]
    ]
    keys = [[f"bores.{at}.{part}.{key}" for _, part, key in SIZES] for at in range(len(rows))]
    return Table("Sizes as found and to work to", heads, rows, keys=keys)


def layers(bore: Bore, units: Units, place: int = 0) -> Table:
    """Return the weld plan of the bore of some place, layer by layer, the cooler first bead before the first."""
    built = bore["buildup"]
    feed = ("Wire feed", label("wire_feed_m_min", units))
    heads = [("Layer", ""), feed, ("Current to expect", "A"), ("Volts", "V")]
    heads += [("Travel", label("travel_mm_min", units)), ("Step", label("step_mm", units)), ("Beads", "")]
    heads += [(name, label(key, units)) for name, key in LAYERS] + [("Rotation", "")]
    rows, keys = [], list[list[str]]()
    for number_of, layer in enumerate(built["layers"]):
        at = f"bores.{place}.buildup.layers.{number_of}."
        own = [f"{at}{key}" for _, key in LAYERS]
        ends = [bare(key, by_key(layer)[key], units) for _, key in LAYERS]
        for one in settings_of(layer):
            set_to = [bare("wire_feed_m_min", one.wire_feed, units), expected(one.current, built["feed_scatter"])]
            set_to += [bare("voltage_V", one.voltage, units), bare("travel_mm_min", one.travel, units)]
            set_to += [bare("step_mm", layer["step_mm"], units), number(one.beads, 0)]
            rows.append([one.name, *set_to, *ends, layer["rotation"]])
            keys.append(["", "", "", "", f"{at}step_mm", "", *own, ""])
            ends = own = [""] * len(LAYERS)
    return Table(f"Bore {bore['name']}: layers, in the order they are laid", heads, rows, keys=keys)


def cutting(bore: Bore, units: Units, place: int = 0) -> Table:
    """Return the boring passes of the bore of some place."""
    heads = [("Pass", "")] + [(name, label(key, units)) for name, key in PASSES]
    passes = bore["machining"]["passes"]
    rows = [[one["purpose"], *(bare(key, by_key(one)[key], units) for _, key in PASSES)] for one in passes]
    keys = [[f"bores.{place}.machining.passes.{at}.{key}" for _, key in PASSES] for at in range(len(rows))]
    return Table(f"Bore {bore['name']}: boring passes", heads, rows, keys=keys)


def hours(estimate: Estimate) -> Table:
    """Return the minutes of every bore by phase, and of all of them."""
    each = rounded_rows([[by_key(bore["time"])[key] for _, key in PHASES[:-1]] for bore in estimate["bores"]])
    names = [bore["name"] for bore in estimate["bores"]]
    rows = [[name, *(number(one, 0) for one in row)] for name, row in zip(names, each, strict=True)]
    sums = [number(sum(row[at] for row in each), 0) for at in range(len(PHASES))]
    foot = ["All bores", *sums] if len(rows) > 1 else []
    keys = [[f"bores.{at}.time.{key}" for _, key in PHASES] for at in range(len(rows))]
    return Table("Minutes by bore", [("Bore", ""), *((name, "min") for name, _ in PHASES)], rows, foot, keys)


def days(estimate: Estimate) -> Table:
    """Return the days of the job by the clock; no rows where the document does not hold them."""
    heads = [(name, "") for name in ("Day", "Date", "From", "To", "Hot work until", "Fire watch until")]
    keys = ("date", "begins", "ends", "hot_until", "watch_until")
    found = field(estimate, "schedule", "days") or []
    return Table("Days", heads, [[f"{day['day']}", *(day[key] or "-" for key in keys)] for day in found])


def crews(estimate: Estimate) -> Table:
    """Return what another crew or another rig would change; no rows where the document does not say."""
    money = has(estimate, "price")
    heads = [(name, "") for name in ("With", "On site", "Away in all", *(["Price with tax, change"] if money else []))]
    rows = [
        [
            one["name"],
            clock_time(one["on_site_min"]),
            hours_said(one["elapsed_h"]),
            *([moved(one["price_more"], estimate["price"]["currency"])] if money else []),
        ]
        for one in field(estimate, "schedule", "crews") or []
    ]
    return Table("With another crew", heads, rows)


def used(estimate: Estimate, units: Units) -> Table:
    """Return what is expected to be used up and what to take."""
    rows = [[f"{one.words.capitalize()} {one.name}".strip(), *one[3:]] for one in things(estimate, units)]
    heads = [(name, "") for name in ("What", "Expected", "Take", "Packs")]
    return Table(ENOUGH if estimate.get("take") else "Expected use", heads, rows)


def whole(estimate: Estimate) -> list[tuple[str, str]]:
    """Return the hours of the whole job, each with its name."""
    totals = by_key(estimate["totals"])
    times = (("On site", "on_site_min"), ("Arc", "arc_time_min"), ("Travel", "travel_min"))
    hours = (("Hours to pay, with travel", "labour_h"), ("From leaving to being back", "elapsed_h"))
    found = [(name, clock_time(totals[key])) for name, key in times]
    found += [(name, hours_said(totals[key])) for name, key in hours]
    return [*found, ("People", number(totals["people"], 0)), ("Nights away", number(totals["nights"], 0))]


def cost(estimate: Estimate) -> Table | None:
    """Return the cost lines, or None where they are not for the reader."""
    if not has(estimate, "cost"):
        return None
    currency, total = estimate["price"]["currency"], estimate["cost"]["total"]
    heads = [("What", ""), ("Bore", ""), ("Quantity", ""), ("Unit", ""), ("Unit cost", currency), ("Amount", currency)]
    rows = []
    for line in estimate["cost"]["lines"]:
        money = [_plain(line["unit_cost"]), _plain(line["amount"])]
        rows.append([line["description"], line["bore"] or "", _quantity(line), line["unit"], *money])
    of_line = ("", "quantity", "", "unit_cost", "amount")
    keys = [[key and f"cost.lines.{at}.{key}" for key in of_line] for at in range(len(rows))]
    return Table("Cost lines", heads, rows, ["Total cost", "", "", "", "", _plain(total)], keys)


def _quantity(line: CostLine) -> str:
    if kind_of(line) == "share":
        return f"{in_percent(line['quantity'])} %"
    return f"{Decimal(str(line['quantity'])):,f}"


def _plain(text: str) -> str:
    """Return an amount without its currency."""
    return amount(text, "").strip()
