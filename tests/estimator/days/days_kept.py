"""Random jobs for crews and days, and an examiner that proves an order of work from the estimate document alone.

The examiner's rules are written from the words of the contract, with no part of the engine. Times are minutes.
"""

import itertools
import math
import random
from collections import defaultdict
from typing import Any

from tests.estimator.days.attended import DAY, WATCH, attended
from tests.jobs import bore, job, quick

__all__ = ["examined", "random_case"]

NEAR = 1e-4  # minutes; figures are printed to ten digits
STEELS = ["S355J2", "S355J2", "C45", "42CrMo4", "S690QL", "G20Mn5"]
ONCE = {"arrive", "test bead", "pack", "papers", "watch"}
OF_LINE = {"rig", "to torch", "to bar", "strip"}
OF_BORE = {"prepare", "clean-up", "weld", "cool", "finish", "inspect"}
ON_BAR = {"clean-up", "to torch", "weld", "to bar", "finish", "strip"}
WHOLE = {"clean-up", "weld", "finish"}
Case = tuple[dict[str, Any], dict[str, Any]]
Task = dict[str, Any]


def random_case(seed: int) -> Case:
    """Return a job of 1 to 4 bores on 1 to 3 lines, and a patch of the price book: crew, machines, hours."""
    dice = random.Random(seed)
    count = dice.randint(1, 4)
    lines = [f"L{dice.randint(1, 3)}" for _ in range(count)]
    bores = [_bore(dice, name, line) for name, line in zip("ABCD", lines, strict=False)]
    if seed % 4 == 3:  # a worn step is a bore of its own in the same boss
        size = int(bores[0]["nominal_diameter"].split()[0]) + 20
        step = {"nominal_diameter": f"{size} mm", "worn_diameter": f"{size + 1.5} mm", "length": "12 mm"}
        bores[0]["steps"] = [step]
    shift, late = dice.choice([6, 8, 9, 10, 12]), dice.choice([0, 0, 0.5, 1, 2])
    site = {"distance": f"{dice.choice([0, 5, 30, 85, 160, 260, 400])} km", "ambient": "12 degC"}
    site["access"] = dice.choice(["open", "restricted", "confined"])
    book = {
        "crew": dice.randint(1, 3),
        "shift_length": f"{shift} h",
        "overtime": f"{late} h",
        "equipment": {"sets": dice.randint(1, 3)},
    }
    return job(*bores, site=site), book


def _bore(dice: random.Random, name: str, line: str) -> dict[str, Any]:
    nominal, wear = dice.choice([50, 65, 80, 90, 120]), dice.choice([0.6, 1.5, 2.5, 4.0])
    more = {
        "line": line,
        "material": dice.choice(STEELS),
        "length": f"{dice.choice([25, 40, 70, 110])} mm",
        "outside_diameter": f"{nominal + dice.choice([70, 90, 120])} mm",
    }
    if dice.random() < 0.5:
        return quick(nominal, nominal + wear, name=name, **more)
    length = float(more["length"].split()[0])
    values = [[round(nominal + wear * dice.uniform(0.3, 1), 2) for _ in range(4)] for _ in range(2)]
    readings = {"kind": "diameter", "unit": "mm", "clock": [0, 45, 90, 135]}
    readings |= {"depth": [length / 4, length * 3 / 4], "values": values}
    sizes = {"nominal_diameter": f"{nominal} mm", "readings": readings}
    return bore(name=name, **sizes, **more)


def examined(document: dict[str, Any], book: dict[str, Any], distance: float) -> list[str]:
    """Return in words all that is wrong with the order of work in a document: empty where it is proven."""
    tasks = document["schedule"]["tasks"]
    says = [*_each_once(tasks, document), *_waits_kept(tasks), *_bosses_cold(tasks)]
    says += [*_nobody_twice(tasks, document), *_machines_held(tasks, book["equipment"]["sets"])]
    return [
        *says,
        *_within_days(document, book),
        *_way_and_days(document),
        *_hours(document, _hours_of(document, book, _late(document, book))),
        *_paid(document, distance),
    ]


def _each_once(tasks: list[Task], document: dict[str, Any]) -> list[str]:
    expected = [(code, None, None) for code in ONCE]
    lines = {one["line"] for one in tasks if one["line"]}
    expected += [(code, line, None) for code in OF_LINE for line in lines]
    homes = {one["bore"]: one["line"] for one in tasks if one["bore"]}
    expected += [(code, homes.get(one["name"]), one["name"]) for code in OF_BORE for one in document["bores"]]
    found = [(one["code"], one["line"], one["bore"]) for one in tasks if one["code"] != "change"]
    says = [] if sorted(map(str, found)) == sorted(map(str, expected)) else ["a task is missing or done twice"]
    says += [] if [one["number"] for one in tasks] == list(range(1, len(tasks) + 1)) else ["numbers"]
    short = [one for one in tasks if one["end_min"] - one["start_min"] < one["duration_min"] - NEAR]
    return says + [f"{one['name']} ends before it is done" for one in short]


def _waits_kept(tasks: list[Task]) -> list[str]:
    """Hold each task against what its own `after` names and against what the trade asks for, by code."""
    asked = [(tasks[n - 1], one) for one in tasks for n in one["after"]]
    by = defaultdict(list)
    for one in tasks:
        by[one["code"]].append(one)
    same_bore = [("prepare", "clean-up"), ("cool", "finish"), ("finish", "inspect")]
    same_line = [("rig", "clean-up"), ("clean-up", "to torch"), ("to torch", "weld"), ("weld", "to bar")]
    same_line += [("to bar", "finish"), ("inspect", "strip")]
    always = [("arrive", "prepare"), ("arrive", "rig"), ("arrive", "test bead"), ("test bead", "weld")]
    always += [("strip", "pack"), ("strip", "papers")]
    for key, pairs in (("bore", same_bore), ("line", same_line), (None, always)):
        for first, then in pairs:
            asked += [(a, b) for a in by[first] for b in by[then] if key is None or a[key] == b[key]]
    asked += [(one, by["watch"][0]) for one in tasks if one["hot"]]
    says = [f"{b['name']} before {a['name']}" for a, b in asked if b["start_min"] < a["end_min"] - NEAR]
    hot = [one for one in tasks if one["code"] in {"test bead", "rig", "weld", "strip"} and not one["hot"]]
    says += [f"{one['name']} is not said to be hot" for one in hot]
    watched = max(one["end_min"] for one in tasks) - max(one["end_min"] for one in tasks if one["hot"])
    return says + ([] if watched > WATCH - NEAR else ["they leave before the fire watch is over"])


def _bosses_cold(tasks: list[Task]) -> list[str]:
    """Every boss here has one bore of its own, or steps named after it."""
    boss = {one["bore"]: one["bore"].split(" of ")[-1] for one in tasks if one["bore"]}
    says = []
    for cut in (one for one in tasks if one["code"] == "finish"):
        of_boss = [one for one in tasks if one["bore"] and boss[one["bore"]] == boss[cut["bore"]]]
        last = max(one["end_min"] for one in of_boss if one["code"] == "weld")
        cool = next(one["duration_min"] for one in of_boss if one["code"] == "cool" and one["bore"] == cut["bore"])
        if cut["start_min"] < last + cool - NEAR:
            says.append(f"{cut['name']} while it is warm")
    return says


def _overlaps(spans: list[tuple[float, float, str]]) -> list[str]:
    spans = sorted(spans)
    return [f"{a[2]} and {b[2]} at once" for a, b in itertools.pairwise(spans) if b[0] < a[1] - NEAR]


def _span(one: Task) -> tuple[float, float, str]:
    return one["start_min"], one["end_min"], one["name"]


def _nobody_twice(tasks: list[Task], document: dict[str, Any]) -> list[str]:
    says, crew = [], set(range(1, document["schedule"]["technicians"] + 1))
    for one in tasks:
        alone = len(one["people"]) == (0 if one["code"] in {"cool", "watch"} else 1)
        if not alone or not set(one["people"]) <= crew:
            says.append(f"{one['name']} is done by {one['people']}")
    for person in crew:
        says += _overlaps([_span(one) for one in tasks if person in one["people"]])
    return says


def _machines_held(tasks: list[Task], owned: int) -> list[str]:
    """A line's bar does one thing at a time, and its machine serves it alone from setting it up to taking it off."""
    says, held = [], defaultdict(list)
    for line in sorted({one["line"] for one in tasks if one["line"]}):
        here = [one for one in tasks if one["line"] == line]
        bar = [one for one in here if one["code"] in ON_BAR]
        rig, strip = (next(one for one in here if one["code"] == code) for code in ("rig", "strip"))
        machines = {one["machine"] for one in (*bar, rig)}
        if len(machines) != 1 or not machines <= set(range(1, owned + 1)):
            says.append(f"{line} is on machines {machines}")
        says += _overlaps([_span(one) for one in (*bar, rig)])
        held[rig["machine"]].append((rig["start_min"], strip["end_min"], line))
    return says + [said for spans in held.values() for said in _overlaps(spans)]


def _hours_of(document: dict[str, Any], book: dict[str, Any], late: float) -> tuple[float, float]:
    shift = 60 * float(book["shift_length"].split()[0])
    way = document["schedule"]["arrives_min"] if not document["schedule"]["stays"] else 0.0
    return document["schedule"]["opens_min"], shift + late - way - document["schedule"]["closing_min"]


def _worked(start: float, end: float, opens: float, closes: float) -> float:
    """Return the minutes between two moments that lie within the hours of the days."""
    days = range(int(start // DAY), int(end // DAY) + 1)
    return math.fsum(max(0.0, min(end, k * DAY + closes) - max(start, k * DAY + opens)) for k in days)


def _late(document: dict[str, Any], book: dict[str, Any]) -> float:
    """Return the overtime of a day that is planned. [min]"""
    return float(document["schedule"]["day_min"]) - 60 * float(book["shift_length"].split()[0])


def _within_days(document: dict[str, Any], book: dict[str, Any]) -> list[str]:
    """Prove each task's hours, within the shift and the overtime that is planned."""
    most = 60 * float(book["overtime"].split()[0])
    late = _late(document, book)
    says = [] if -NEAR < late < most + NEAR else [f"{late:.1f} min of overtime a day are planned, {most:.1f} allowed"]
    return says + _kept_hours(document, *_hours_of(document, book, late)) + _overtime(document, book, late)


def _kept_hours(document: dict[str, Any], opens: float, closes: float) -> list[str]:
    says = []
    for one in document["schedule"]["tasks"]:
        if not one["people"]:
            continue
        until = max(closes - WATCH, (opens + closes) / 2) if one["hot"] else closes
        start, end, long = one["start_min"], one["end_min"], one["duration_min"]
        worked = _worked(start, end, opens, until)
        if abs(worked - long) > NEAR * 10 and long > 0:
            says.append(f"{one['name']}: {worked:.2f} of {long:.2f} min lie within the hours of the days")
        if one["code"] in WHOLE and long <= until - opens - NEAR and start // DAY != (end - NEAR) // DAY:
            says.append(f"{one['name']} is broken off for a night")
    return says


def _overtime(document: dict[str, Any], book: dict[str, Any], late: float) -> list[str]:
    """Reckon the crew's hours beyond the shift: work, the watch after each day's last hot work, the way home."""
    shift = 60 * float(book["shift_length"].split()[0])
    opens, closes = _hours_of(document, book, late)
    whole, beyond = document["schedule"], 0.0
    way = 0.0 if whole["stays"] else whole["arrives_min"]
    for day in range(len(whole["days"])):
        until = [0.0]
        for one in whole["tasks"]:
            last = closes if not one["hot"] else max(closes - WATCH, (opens + closes) / 2)
            start, end = one["start_min"] - day * DAY, min(one["end_min"] - day * DAY, last)
            if one["people"] and start < end and end > opens:
                until.append(end + way + whole["closing_min"] + (WATCH if one["hot"] else 0.0))
        if way == 0.0 and day * DAY <= whole["sets_off_min"] < (day + 1) * DAY:
            until.append(min(whole["home_min"] - day * DAY, shift + late))
        beyond += max(0.0, min(max(until), DAY) - shift)
    told = 60 * document["totals"]["overtime_h"]
    return [] if abs(beyond - told) < NEAR * 10 else [f"{told:.2f} min beyond the shift, not {beyond:.2f}"]


def _way_and_days(document: dict[str, Any]) -> list[str]:
    whole, totals, says = document["schedule"], document["totals"], []
    home, days = whole["home_min"], max(1, math.ceil(whole["home_min"] / DAY - 1e-9))
    if abs(whole["leaves_min"] - max(one["end_min"] for one in whole["tasks"]) - whole["closing_min"]) > NEAR:
        says.append("they leave at another time than the last task ends")
    way = totals["travel_min"] / 2 / totals["trips"]
    drives = [(0.0, whole["arrives_min"]), (whole["sets_off_min"], home)]
    for start, end in drives:
        if way and abs(_worked(start, end, 0.0, whole["day_min"]) - way) > 1e-3:
            says.append(f"the drive from {start:.1f} to {end:.1f} is not {way:.1f} min within the shift")
    if whole["sets_off_min"] < whole["leaves_min"] - NEAR:
        says.append("they set off for home before they leave the site")
    if abs(totals["elapsed_h"] * 60 - home) > NEAR:
        says.append("elapsed is not the time at home")
    expected = (days - 1, 1) if whole["stays"] else (0, days)
    if (totals["nights"], totals["trips"]) != expected:
        says.append(f"nights and trips {totals['nights']}, {totals['trips']}, not {expected}")
    if [one["day"] for one in whole["days"]] != list(range(1, days + 1)):
        says.append("days are left out")
    for one in whole["days"]:
        first, after = (one["day"] - 1) * DAY, one["day"] * DAY
        here = [t["number"] for t in whole["tasks"] if t["start_min"] < after - NEAR and t["end_min"] > first + NEAR]
        if sorted(here) != one["tasks"]:
            says.append(f"day {one['day']} lists {one['tasks']}, not {here}")
    return says


def _hours(document: dict[str, Any], hours: tuple[float, float]) -> list[str]:
    totals, whole, says = document["totals"], document["schedule"], []
    bores = math.fsum(one["time"]["total_min"] for one in document["bores"])
    site = bores + totals["once_min"] + totals["fire_watch_min"] - totals["used_wait_min"] - totals["away_wait_min"]
    says += [] if abs(site - totals["on_site_min"]) < NEAR * 10 else ["hours on site do not add up"]
    way = 0.0 if whole["stays"] else whole["arrives_min"]
    here = math.ceil(whole["leaves_min"] / DAY - 1e-9) - math.floor(whole["arrives_min"] / DAY + 1e-9)
    daily = (whole["opens_min"] - way + whole["closing_min"] - whole["pause_min"]) * here
    there, watches = attended(document, *hours)
    here_min = min(whole["order_min"], there) + watches + daily
    if abs(totals["on_site_min"] - here_min) > NEAR * 10:
        says.append(f"on site {totals['on_site_min']:.2f}, but somebody is there for {here_min:.2f}")
    paid = (totals["on_site_min"] + totals["travel_min"]) * totals["people"] / 60
    says += [] if abs(paid - totals["labour_h"]) < NEAR else ["labour hours"]
    confined = document["job"]["site"].get("access") == "confined"
    people = whole["technicians"] + confined
    says += [] if totals["people"] == people == len(whole["roles"]) else ["people"]
    for number, role in enumerate(whole["roles"], 1):
        own = math.fsum(one["duration_min"] for one in whole["tasks"] if number in one["people"]) / 60
        if abs(own - role["work_h"]) > NEAR or abs(own + role["waiting_h"] - totals["on_site_min"] / 60) > NEAR:
            says.append(f"hours of {role['role']}")
        if abs(role["travel_h"] * 60 - totals["travel_min"]) > NEAR:
            says.append(f"road of {role['role']}")
    work = math.fsum(one["duration_min"] for one in whole["tasks"] if one["people"])
    idle = totals["on_site_min"] * whole["technicians"] - work - totals["fire_watch_min"] - daily
    if abs(max(0.0, idle) - totals["standing_h"] * 60) > NEAR * 10:
        says.append(f"standing by {60 * totals['standing_h']:.2f} min, not {idle:.2f}")
    return says


def _paid(document: dict[str, Any], way: float) -> list[str]:
    """Hold the hours on the bill against the hours; each line is printed to 0.01 h."""
    totals, lines, says = document["totals"], document["cost"]["lines"], []
    by = defaultdict[str, float](float)
    for one in lines:
        by[one["unit"]] += float(one["quantity"])
    count = sum(one["unit"] == "h" for one in lines)
    if abs(by["h"] - totals["labour_h"]) > 0.005 * count + NEAR:
        says.append(f"hours on the bill {by['h']:.3f}, hours worked {totals['labour_h']:.3f}")
    if abs(by["overtime h"] - totals["overtime_h"] * totals["people"]) > 0.005 + NEAR:
        says.append("overtime on the bill")
    if by["night"] != totals["nights"] * totals["people"]:
        says.append("nights on the bill")
    if abs(by["km"] - 2 * way * totals["trips"]) > 0.05 + NEAR:
        says.append("kilometres on the bill")
    machine = totals["on_site_min"] / 60 * document["schedule"]["machines"]
    if abs(by["rig h"] - machine) > 0.005 + NEAR:
        says.append("machine hours on the bill")
    return says
