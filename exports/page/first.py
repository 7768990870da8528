"""The first screen of an estimate: what is asked first, in at most thirty lines and three more a bore."""

import math
from collections.abc import Collection

from estimator.document.bore import Bore
from estimator.document.job import Place
from estimator.document.old import band_of, warnings_in
from estimator.estimate import Estimate
from exports.format import (
    Units,
    amount,
    bare,
    by_key,
    clock_time,
    counted,
    field,
    has,
    hours_said,
    is_demo,
    label,
    number,
    perhaps,
    shown,
    tax_percent,
    to_tens,
    told,
)
from exports.page.parts import WIDE, columns, cut, wrapped
from exports.page.spread import taught
from exports.page.warned import LEAD, check_rows, each, row, short, ways_to_settle
from exports.used import to_take

__all__ = ["SHOWN", "band", "first_screen", "in_full", "limit_of", "site_said", "valid"]

SHOWN = ("plan", "heat", "cutting", "days", "scope", "safety", "basis", "spread", "cost")
LINES, LINES_A_BORE = 30, 3
LONGEST_NAME, SHORTEST_NAME = 24, 11  # signs of a bore's name in the table
LONGEST_STEEL = 12  # signs
ENDS = ("p10", "p90")
SLIPS = {"usual_low", "usual_high"}  # codes of a figure that may be a slip of unit or decimal point
FAR = 0.5  # from nominal to a limit of the finished size, beyond which it is no usual fit [mm]
TIGHT = 2  # lines of what to take, where lines are scarce
SIZES = (
    ("nominal", "given", "nominal_diameter_mm"),
    ("long", "given", "length_mm"),
    ("worn", "wear", "largest_diameter_mm"),
    ("wear/side", "wear", "max_radial_wear_mm"),
    ("bore to", "sizes", "cleanup_mm"),
    ("weld to", "sizes", "weld_mm"),
    ("preheat", "heat", "preheat_C"),
)


def limit_of(estimate: Estimate) -> int:
    """Return how many lines the first screen may have."""
    return LINES + LINES_A_BORE * len(estimate["bores"])


def site_said(site: Place, units: Units) -> str:
    """Return how far the site is, how it is reached, its temperature and wind."""
    miles = "s" if label("distance_km", units) == "mile" else ""
    said = [f"{shown('distance_km', site['distance_km'], units)}{miles} away", f"{site['access']} access"]
    said += [] if site["ambient_C"] is None else [shown("ambient_C", site["ambient_C"], units)]
    return ", ".join(
        said + ([] if site["wind_m_s"] is None else [f"wind {shown('wind_m_s', site['wind_m_s'], units)}"])
    )


def _top(estimate: Estimate, units: Units, lines: int) -> list[str]:
    """Return which job it is, whose, of which machine and where; loudly, where no price is real. 0 lines: whole."""
    job = estimate["job"]
    machine, ran = field(job, "equipment", "description"), field(job, "equipment", "machine_hours")
    machine = machine if ran is None or not machine else f"{machine} ({number(ran, 0)} h run)"
    kind = "BUDGET PRICE, not binding: " if "budget" in estimate else ""
    name = ", ".join(one for one in (estimate["reference"], job["title"]) if one)
    said = [cut(kind + name, WIDE)] if lines else wrapped(kind + name, "")
    about = "; ".join(one for one in (job["customer"], machine, site_said(job["site"], units)) if one)
    said += wrapped(cut(about, 2 * WIDE - 20), "")[:2] if lines else wrapped(about, "")
    return said + (["!! DEMO PRICES, invented: not for use !!"] if is_demo(estimate) else [])


def valid(estimate: Estimate) -> str:
    """Return how long the price holds."""
    if "budget" in estimate:
        return "not binding"
    if any(one.grade == "stop" for one in told(estimate)):
        return "not to be quoted before the stop is settled"
    if SLIPS & {one["code"] for one in warnings_in(estimate)}:
        return "not to be quoted before the odd figure under CHECK is settled"
    return f"valid {counted(estimate['pricebook']['validity_day'], 'day')}"


def band(estimate: Estimate) -> str:
    """Return between which ends a budget price lies; empty for any other."""
    found = band_of(estimate)
    if found is None:
        return ""
    low, high = (amount(to_tens(one), estimate["price"]["currency"]) for one in (found.low, found.high))
    if found.taxed:  # as a document of before has it, by a rule
        return f"expect {low} to {high} with tax"
    return f"8 in 10 such jobs come to {low} to {high} before tax; measuring narrows that"


def _price(estimate: Estimate) -> list[str]:
    if not has(estimate, "price"):  # for who sees no money
        return []
    price, tax = estimate["price"], tax_percent(estimate)
    if "budget" in estimate:
        total, before = (amount(to_tens(price[key]), price["currency"]) for key in ("total", "before_tax"))
        said = f"about {total} with tax (about {before} before tax, tax {tax} %), {valid(estimate)}"
        return [*row("PRICE", said), *row("", band(estimate)), *_spread(estimate), *_taught(estimate)]
    total = amount(price["total"], price["currency"])
    before, added = (amount(price[key], "") for key in ("before_tax", "tax"))
    lines = row("PRICE", f"{total} with tax ({before} before tax + {added} tax, {tax} %), {valid(estimate)}")
    return lines + _spread(estimate) + _taught(estimate)


def _spread(estimate: Estimate) -> list[str]:
    """Return between which ends 8 of 10 such jobs come out, and what that hangs on most, where that was asked for."""
    found, currency = estimate.get("spread"), estimate["price"]["currency"]
    if found is None:
        return []
    low, high = (amount(by_key(found["price"])[key], currency) for key in ENDS)
    first, last = (number(by_key(found["on_site_h"])[key], 1) for key in ENDS)
    doubt = f"; the largest doubt is {found['drivers'][0]['name']}" if found["drivers"] else ""
    return row("", f"8 in 10 such jobs come to {low} to {high} before tax, {first} to {last} h on site{doubt}")


def _taught(estimate: Estimate) -> list[str]:
    """Return which calibration the estimate used."""
    said = taught(estimate)
    return row("", f"by {said}") if said else []


def _time(estimate: Estimate) -> list[str]:
    """Return how long it takes on site, for how many people, when they are back, and what hours are paid."""
    totals, schedule = estimate["totals"], perhaps(estimate.get("schedule"))
    said = f"{clock_time(totals['on_site_min'])} on site, {counted(totals['people'], 'person', 'people')}"
    said += f", {counted(schedule['machines'], 'rig')}" if schedule else ""
    back = f"back {schedule['ends']}" if schedule else f"back after {hours_said(totals['elapsed_h'])}"
    nights = f", {counted(totals['nights'], 'night')} away" if totals["nights"] else ""
    return row("TIME", f"{said}; {back}{nights}; {hours_said(totals['labour_h'])} paid with travel")


def _middle_cut(name: str, most: int) -> str:
    """Return a bore's name that fits its column, its middle left out where it is long."""
    half = most // 2
    return name if len(name) <= most else f"{name[: most - half - 1]}…{name[-half:]}"


def _figures(bore: Bore, units: Units) -> list[str]:
    """Return a bore's row without its name: as asked, as worn, to bore to, to weld to, layers, preheat, steel."""
    *sizes, _ = SIZES
    warm = bore["heat"]["preheat_C"]
    said = [bare(key, field(bore, part, key), units) for _, part, key in sizes]
    said += [f"{len(bore['buildup']['layers'])}", bare("preheat_C", warm, units) if warm else "none"]
    return [*said, cut(bore["given"]["material"], LONGEST_STEEL)]


def _table(estimate: Estimate, units: Units) -> list[str]:
    """Return a row a bore: diameter and length as asked, as worn, to bore to, to weld to, layers, preheat, steel."""
    *sizes, preheat = SIZES
    heads = [["BORE", *(name for name, _, _ in sizes), "layers", preheat[0], "steel"]]
    heads.append(["", *(label(key, units) for _, _, key in sizes), "", label(preheat[2], units), ""])
    figures = [_figures(bore, units) for bore in estimate["bores"]]
    taken = sum(
        2 + max(len(row[at]) for row in [head[1:] for head in heads] + figures) for at in range(len(figures[0]))
    )
    most = max(SHORTEST_NAME, min(LONGEST_NAME, WIDE - taken))
    names = [_middle_cut(bore["name"], most) for bore in estimate["bores"]]
    named = [[f"{name:<{LEAD - 2}}", *row] for name, row in zip(names, figures, strict=True)]
    return [line[2:] for line in columns(heads, named, LONGEST_NAME)]


def _unlike_nominal(estimate: Estimate, units: Units) -> list[str]:
    """Return which bores are finished about another axis than their readings', and which to another size."""
    moved, larger = list[str](), list[str]()
    for bore in estimate["bores"]:
        place = field(bore, "sizes", "clock_axis")
        if place is not None:
            moved.append(f"{bore['name']} {shown('x_mm', math.hypot(place['x_mm'], place['y_mm']), units, 1)}")
        least, most = (bore["sizes"][key] for key in ("finish_min_mm", "finish_max_mm"))
        if not least - FAR <= bore["given"]["nominal_diameter_mm"] <= most + FAR:
            size = f"{bare('finish_min_mm', least, units)} to {shown('finish_max_mm', most, units)}"
            larger.append(f"{bore['name']} {size}")
    rows = short("AXIS", f"bored about the line, off the readings' zero by: {', '.join(moved)}", 2) if moved else []
    return rows + (short("FINISH", f"another size than nominal, as asked: {', '.join(larger)}", 2) if larger else [])


def _foot(estimate: Estimate, units: Units, lines: int) -> list[str]:
    """Return what to take and what the customer provides in so many lines each, where safety and the rest are."""
    shade = max((one["minimum_shade"] for one in estimate["shades"]), default=0)
    safety = f"{counted(len(estimate['cautions']), 'caution')}, filter shade {number(shade, 0)} or darker"
    rows = short("TAKE", to_take(estimate, units), lines)
    rows += short("CUSTOMER", "; ".join(estimate["scope"]["customer"]), lines)
    rows += short("SAFETY", f"{safety}: read --show safety before work")
    if "budget" in estimate:
        measure = counted(len(estimate["budget"]["measure"]), "point")
        rows += short("MEASURE", f"{measure} before a quote may be issued: --show basis")
    if field(estimate, "variation", "price_more") is not None:
        rows += short("SIGN", "a variation, before work goes on: --show scope")
    return rows


def _laid_out(estimate: Estimate, units: Units, lines: int) -> tuple[list[str], list[str]]:
    """Return what stands above and below the warnings; closer together where that takes fewer lines."""
    gap = [""] if lines != TIGHT else []
    above = [*_top(estimate, units, lines), *gap, *_price(estimate), *_time(estimate)]
    more = row("MORE", f"--show {'|'.join(SHOWN)}, or --full (no cost)")
    return above, [
        "",
        *_table(estimate, units),
        *_unlike_nominal(estimate, units),
        *gap,
        *_foot(estimate, units, lines),
        *gap,
        *more,
    ]


def in_full(estimate: Estimate, units: Units, parts: Collection[str]) -> list[str]:
    """Return the first screen with nothing shortened, as parts stand below it; what these repeat is pointed at."""
    above, below = _laid_out(estimate, units, 0)
    checks = [one for one in told(estimate) if one.grade == "check"]
    if checks and "basis" in parts:
        rows = row("CHECK", f"{counted(len(checks), 'point')}, below under CHECK")
    else:
        rows = each(checks, "CHECK", 0)
    return [*above, *next(ways_to_settle(estimate)), *rows, *below[:-2]]  # what to ask for has been asked for


def first_screen(estimate: Estimate, units: Units) -> list[str]:
    """Return what an estimator needs first: price, time, stop, approve, check, one row a bore, what to take.

    Every stop and every approval stands there, shortened where there is little room; of what is to be checked the
    first ones, and where the rest is.
    """
    layouts = [_laid_out(estimate, units, lines) for lines in (TIGHT + 2, TIGHT + 1, TIGHT)]
    checks = [one for one in told(estimate) if one.grade == "check"]
    ways = [
        (settled, [limit_of(estimate) - sum(map(len, (above, settled, below))) for above, below in layouts])
        for settled in ways_to_settle(estimate)
    ]
    settled, rooms = next((way for way in ways if max(way[1]) > 0), ways[-1])
    fits = [check_rows(checks, room) for room in rooms]
    chosen = max(range(len(layouts)), key=lambda n: (rooms[n] > 0, fits[n][0], -n))
    above, below = layouts[chosen]
    return [*above, *settled, *fits[chosen][1], *below]
