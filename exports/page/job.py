"""The job as a whole on the page: parts, hours, where the cost goes, and what is for the house only."""

from decimal import Decimal
from typing import Any

from exports.format import Units, amount, clock_time, counted, field, number, share, shown
from exports.page.parts import columns, heading, named, wrapped

__all__ = ["hours", "house", "parts", "shares"]

KINDS = (
    ("set-up and work once a job", ("labour-setup", "labour-job")),
    ("welding, labour", ("labour-welding",)),
    ("boring, labour", ("labour-boring",)),
    ("waiting and standing by, labour", ("labour-waiting", "labour-attendant")),
    ("overtime", ("overtime",)),
    ("travel and nights", ("labour-travel", "distance", "nights")),
    ("equipment", ("equipment",)),
    ("wire, gas, tips, nozzles, inserts, electricity", ("wire", "gas", "tips", "nozzles", "inserts", "energy")),
    (
        "liner, discs, brackets, burner gas, fuel",
        ("liners", "discs", "brackets", "anti-spatter", "burner-gas", "fuel"),
    ),
    ("overhead", ("overhead",)),
    ("contingency", ("contingency",)),
    ("allowance for a deposit too hard to bore", ("hardness-allowance",)),
)
USED = (
    ("wire", "wire_kg"),
    ("gas", "gas_L"),
    ("contact tips", "tips"),
    ("gas nozzles", "nozzles"),
    ("inserts", "inserts"),
    ("electricity", "energy_kWh"),
    ("liners", "liners"),
    ("discs", "discs"),
    ("brackets", "brackets"),
    ("anti-spatter", "anti_spatter_L"),
    ("burner gas", "burner_gas_kg"),
    ("fuel", "fuel_L"),
)
PHASES = (
    ("set up", "setup_min"),
    ("clean-up", "precut_min"),
    ("preheat", "preheat_min"),
    ("weld", "weld_min"),
    ("cool", "cooldown_min"),
    ("to size", "finish_min"),
    ("inspect", "inspection_min"),
    ("strip", "teardown_min"),
    ("in all", "total_min"),
)


def parts(estimate: dict[str, Any], units: Units) -> list[str]:
    """Return what is expected to be used up."""
    totals = estimate["totals"]
    lines = heading("USED UP, as expected")
    lines += [line for name, key in USED if totals.get(key) for line in named(name, shown(key, totals[key], units))]
    lines += wrapped("Wire and gas with what stays on the spool and in the cylinder.")
    return lines + wrapped("Of parts this is their wear; take whole ones along.")


def hours(estimate: dict[str, Any]) -> list[str]:
    """Return the hours: by phase for each bore, and of the whole job."""
    totals = estimate["totals"]
    people, away = counted(totals["people"], "person", "people"), counted(totals["nights"], "night")
    rows = [[bore["name"], *(number(bore["time"][key], 0) for _, key in PHASES)] for bore in estimate["bores"]]
    lines = heading("HOURS, minutes by bore")
    lines += [*columns([["", *(name for name, _ in PHASES)]], rows), ""]
    job = (
        ("once a job", clock_time(totals["once_min"]), "arrival, permit, test bead, packing, papers"),
        ("fire watch", clock_time(totals["fire_watch_min"]), "what is left of it after packing and papers"),
        ("saved", clock_time(totals["used_wait_min"]), "waits used and work side by side, not counted twice"),
        ("on site", clock_time(totals["on_site_min"]), f"of it {clock_time(totals['arc_time_min'])} of arc"),
        ("travel", clock_time(totals["travel_min"]), "there and back"),
        ("labour", f"{number(totals['labour_h'], 1)} h", f"{people}, travel too"),
        ("door to door", f"{number(totals['elapsed_h'], 1)} h", f"{away} away"),
    )
    return [*lines, *(line for name, value, said in job for line in named(name, f"{value:<13}{said}"))]


def _by_kind(estimate: dict[str, Any]) -> list[tuple[str, Decimal]]:
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


def shares(estimate: dict[str, Any]) -> list[str]:
    """Return where the cost goes, in percent: most of it is not wire and gas."""
    found = _by_kind(estimate)
    if not found:
        return []
    total = Decimal(estimate["cost"]["total"])
    rows = [[name, share(part, total)] for name, part in found if part]
    wide = max(len(name) for name, _ in rows)
    return [*heading("WHERE THE COST GOES"), *(f"  {name:<{wide}}  {part:>7}" for name, part in rows)]


def house(estimate: dict[str, Any]) -> list[str]:
    """Return what is not read out: cost and margin; nothing where they are not for the reader."""
    found = _by_kind(estimate)
    if not found:
        return []
    price, total = estimate["price"], estimate["cost"]["total"]
    places = len(total.partition(".")[2])
    rows = [(name, amount(f"{part:.{places}f}", price["currency"])) for name, part in found if part]
    rows.append(("cost in all", amount(total, price["currency"])))
    wide, figures = max(len(name) for name, _ in rows), max(len(figure) for _, figure in rows)
    lines = ["", "", "-" * (wide + figures + 4), "FOR US ONLY, not to be read out"]
    lines += [f"  {name:<{wide}}  {figure:>{figures}}" for name, figure in rows]
    margin = price.get("margin")
    if margin is not None:
        lines += wrapped(f"margin reached: {number(100 * margin, 1)} % of the price before tax")
    if field(estimate, "pricebook", "basis") == "charge-out":
        lines += wrapped("labour stands at charge-out rates, which bear no overhead or margin again")
    return lines
