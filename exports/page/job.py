"""The job as a whole on the page: what is used up, hours, and what is for the house only."""

import math
from decimal import Decimal

from estimator.document.totals import Totals
from estimator.estimate import Estimate
from exports.adding import round_half_up, rounded_rows, said_adding_up
from exports.format import Units, amount, by_key, clock_time, counted, field, hours_said, number, share
from exports.page.parts import columns, heading, named, wrapped
from exports.used import ENOUGH, things, uncounted

__all__ = ["consumables", "hours", "house"]

LONGEST_KIND = 50  # signs
KINDS = (
    ("set-up and once-a-job work", ("labour-setup", "labour-job")),
    ("welding, labour", ("labour-welding",)),
    ("boring, labour", ("labour-boring",)),
    ("waiting and standby, labour", ("labour-waiting", "labour-attendant")),
    ("overtime, work at night and weekends", ("overtime", "labour-night", "labour-weekend")),
    ("rise of costs until the start", ("escalation",)),
    ("call-out", ("call-out",)),
    ("travel and nights", ("labour-travel", "distance", "nights")),
    ("equipment", ("equipment",)),
    ("wire, gas, tips, nozzles, inserts, electricity", ("wire", "gas", "tips", "nozzles", "inserts", "energy")),
    (
        "liner, discs, brackets, burner gas, fuel",
        ("liners", "discs", "brackets", "anti-spatter", "burner-gas", "fuel"),
    ),
    ("overhead", ("overhead",)),
    ("contingency", ("contingency",)),
    ("extras, passed on", ("extra",)),
    ("allowance for a deposit too hard to bore", ("hardness-allowance",)),
)
PHASES = (
    ("set-up", "setup_min"),
    ("clean-up", "precut_min"),
    ("preheat", "preheat_min"),
    ("weld", "weld_min"),
    ("cool", "cooldown_min"),
    ("finish", "finish_min"),
    ("inspect", "inspection_min"),
    ("strip", "teardown_min"),
    ("total", "total_min"),
)


def consumables(estimate: Estimate, units: Units) -> list[str]:
    """Return what is expected to be used up and what to take."""
    rows = [[f"{one.words} {one.name}".strip(), *one[3:]] for one in things(estimate, units)]
    lines = [*heading("CONSUMABLES"), *columns([["", "expected", "take", "packs"]], rows, LONGEST_KIND)]
    lines += wrapped("Wire and gas include what stays on the spool and in the cylinder; of parts the wear is expected.")
    besides = uncounted(estimate)
    lines += wrapped(f"Besides, not counted: {', '.join(besides)}.") if besides else []
    return lines + (wrapped(ENOUGH) if estimate.get("take") else [])


def hours(estimate: Estimate) -> list[str]:
    """Return the hours: by phase for each bore, and of the whole job."""
    totals = estimate["totals"]
    people, away = counted(totals["people"], "person", "people"), counted(totals["nights"], "night")
    days = len(field(estimate, "schedule", "days") or [])
    home = "nights at home included" if days > 1 else "the same day"
    nights = f"{away} away" if totals["nights"] else home
    each = rounded_rows([[by_key(bore["time"])[key] for _, key in PHASES[:-1]] for bore in estimate["bores"]])
    names = [bore["name"] for bore in estimate["bores"]]
    rows = [[name, *(number(one, 0) for one in row)] for name, row in zip(names, each, strict=True)]
    if len(rows) > 1:
        rows.append(["all bores", *(number(sum(row[at] for row in each), 0) for at in range(len(PHASES)))])
    lines = heading("HOURS: minutes by bore")
    lines += [*columns([["", *(name for name, _ in PHASES)]], rows), ""]
    parts = [math.fsum(bore["time"]["total_min"] for bore in estimate["bores"]), totals["once_min"]]
    nobody = totals.get("away_wait_min", 0.0)
    parts += [totals["fire_watch_min"], -totals["used_wait_min"], -nobody]
    bores, once, watch, less, gone = said_adding_up(parts, totals["on_site_min"])
    job = (
        ("bores", bores, "all bores together, as above"),
        ("once a job", once, "arrival, permit, test bead, packing, papers"),
        ("fire watch", watch, "what other work does not fill"),
        ("less", less, "overlapping work, counted once"),
        *([("less", gone, "cooling while nobody is on site")] if nobody else []),
        ("on site", clock_time(totals["on_site_min"]), f"{clock_time(totals['arc_time_min'])} of arc"),
        ("travel", _travel(totals), "there and back"),
        ("paid hours", hours_said(totals["labour_h"]), f"hours to pay for, of {people}, travel included"),
        ("away in all", hours_said(totals["elapsed_h"]), f"from leaving to being back; {nights}"),
    )
    return [*lines, *(line for name, value, said in job for line in named(name, f"{value:<13}{said}"))]


def _travel(totals: Totals) -> str:
    """Return the travel; of one person so that it adds up with the time on site to the paid hours."""
    site, away, paid = totals["on_site_min"], totals["travel_min"], 60 * totals["labour_h"]
    alone = totals["people"] == 1 and math.isclose(site + away, paid, abs_tol=0.1)
    return clock_time(round_half_up(paid) - round_half_up(site)) if alone else clock_time(away)


def _by_kind(estimate: Estimate) -> list[tuple[str, Decimal]]:
    """Return the cost by kind of work, or nothing where cost is not for the reader."""
    lines, total = field(estimate, "cost", "lines"), field(estimate, "cost", "total")
    if not lines or total is None or any(line.get("amount") is None for line in lines):
        return []
    kind = {code: name for name, codes in KINDS for code in codes}
    found: dict[str, Decimal] = {name: Decimal(0) for name, _ in KINDS}
    for line in lines:
        name = kind.get(line["code"], line["description"])
        found[name] = found.get(name, Decimal(0)) + Decimal(line["amount"])
    return list(found.items())


def house(estimate: Estimate) -> list[str]:
    """Return what is not read out: cost by kind of work and margin; nothing where they are not for the reader."""
    found = [(name, part) for name, part in _by_kind(estimate) if part]
    if not found:
        return []
    price, cost = estimate["price"], estimate["cost"]["total"]
    places, total = len(cost.partition(".")[2]), Decimal(cost)
    rows = [[name, amount(f"{part:.{places}f}", price["currency"]), share(part, total)] for name, part in found]
    rows.append(["cost", amount(cost, price["currency"]), share(total, total)])
    lines = [*heading("INTERNAL: COST AND MARGIN, not to be read out"), *columns([], rows, LONGEST_KIND)]
    margin = price.get("margin")
    if margin is not None:
        lines += wrapped(f"margin reached: {number(100 * margin, 1)} % of the price before tax")
    if field(estimate, "pricebook", "basis") == "charge-out":
        lines += wrapped("labour stands at charge-out rates, which already bear overhead and margin")
    return lines
