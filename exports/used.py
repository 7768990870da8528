"""What a job is expected to use up and what is taken along: one list for page, web page, day page and workbook."""

import math
from typing import NamedTuple

from estimator.estimate import Estimate
from estimator.tables.used import used_of, used_up
from estimator.van.take import Taken
from exports.format import Units, by_key, counted, field, label, number, shown, turned

__all__ = ["ENOUGH", "PARTS", "USED", "Thing", "things", "to_cover", "to_take", "uncounted", "used"]

USED = tuple((one.key, one.words) for one in used_up())
PARTS = tuple(used_of("part"))  # counted: nobody loads half a tip
KEYS = {one.item: one.key for one in used_up() if one.item}
NAMED = {
    one.kind: one.key for one in used_up() if one.kind in ("wire", "gas")
}  # of these an item has a name of its own
ENOUGH = "Take covers the use in 95 of 100 such jobs, item by item, in whole packs."
NEAR = 1e-6


class Thing(NamedTuple):
    """One thing that is used up: its key, words and name of its own, what is expected, what to take, in which packs."""

    key: str
    words: str
    name: str
    expected: str
    take: str
    packs: str


def used(estimate: Estimate, units: Units) -> list[tuple[str, str]]:
    """Return what is expected to be used up, by name; nothing of what is not."""
    totals = by_key(estimate["totals"])
    return [(name, shown(key, totals[key], units)) for key, name in USED if totals.get(key)]


def to_cover(quantity: float, unit: str) -> str:
    """Return a quantity that covers a use, rounded up so that it still does: parts whole, bulk to its last place."""
    places = 0 if unit in ("each", "") or quantity >= 100 else 1 if quantity >= 1 else 2  # noqa: PLR2004  # digits enough
    up = math.ceil(quantity * 10**places - NEAR) / 10**places
    return number(up, places)


def _key(one: Taken) -> str:
    return NAMED.get(one["kind"]) or KEYS.get(one["item"], "")


def _quantity(key: str, quantity: float, units: Units) -> str:
    """Return a quantity to take with its unit, in the page's units."""
    unit = label(key, units)
    return f"{to_cover(turned(key, quantity, units), unit)} {unit}".strip()


def _packs(one: Taken, key: str, units: Units) -> str:
    """Return the packs of an item; of parts nothing, they are counted."""
    if one["kind"] == "part" or not one["packs"]:
        return ""
    size = f"{number(turned(key, one['pack_size'], units), 1).removesuffix('.0')} {label(key, units)}"
    return f"{one['packs']} x {size}"


def things(estimate: Estimate, units: Units) -> list[Thing]:
    """Return all that is used up in the order in which it is told, wires and gases by name.

    Of a document that does not say what to take, only what is expected.
    """
    taken, found = estimate.get("take"), list[Thing]()
    totals = by_key(estimate["totals"])
    for key, words in USED:
        own = [one for one in taken or [] if _key(one) == key]
        for one in own:
            name = one["item"] if one["kind"] in NAMED else ""
            take = _quantity(key, one["to_cover"], units) if one["to_cover"] else "none"
            expected = shown(key, one["expected"], units)
            found.append(Thing(key, words, name, expected, take, _packs(one, key, units)))
        if not own and totals.get(key):
            found.append(Thing(key, words, "", shown(key, totals[key], units), "", ""))
    return found


def uncounted(estimate: Estimate) -> list[str]:
    """Return what the work uses up besides, which nobody counts: degreaser, crack dye; nothing of an old document."""
    tasks = field(estimate, "schedule", "tasks") or []
    return list(dict.fromkeys(item for task in tasks for item in task.get("supplies", ())))


def to_take(estimate: Estimate, units: Units) -> str:
    """Return in one line what the van takes: wire and gas by name, fuel, parts; enough, not what is expected."""
    said, parts = list[str](), list[str]()
    for one in things(estimate, units):
        if one.take in ("", "none"):
            continue
        if one.key in PARTS:
            parts.append(counted(int(one.take.replace(",", "")), one.words.removesuffix("s")))
        else:
            packs = f" ({one.packs})" if one.packs and one.name else ""
            said.append(f"{one.words} {one.name} {one.take}{packs}".replace("  ", " "))
    if not said and not parts:
        return ", ".join(f"{name} {amount}" for name, amount in used(estimate, units)) + ", as expected"
    besides = uncounted(estimate)
    return "; ".join(", ".join(some) for some in (said, parts, besides) if some)
