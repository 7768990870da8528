"""What came out otherwise than quoted, in money: hours, rate, what was used up, scope.

Each difference stands at its planned price, and a dearer hour at the hours that were really worked, so that the parts
add up. What is asked about in a record counts for nothing until it is answered.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from estimator.after.happened import judged
from estimator.after.invoice import invoice
from estimator.after.record import Happened
from estimator.estimate import Estimate
from estimator.money.lines import to_minor
from estimator.tables import Tables

__all__ = ["variance"]

MINUTES = Decimal(60)  # of an hour
TIMES = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")
SHARED = {"machining": ("precut", "finish")}  # a record that stands for several elements
LABOUR, ATTENDANT, RIG = "labour-job", "labour-attendant", "equipment"  # lines whose unit cost is the rate of an hour


def variance(
    quote: str,
    estimate: Estimate,
    records: Sequence[tuple[int, Happened]],
    facts: Tables,
    variations: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """Return what an accepted quote's work cost more or less than was planned, and what was charged beside it.

    Parameters
    ----------
    quote
        Number of the accepted quote.
    estimate
        The quote's frozen estimate document.
    records
        What happened, each record with its number; none that was replaced.
    facts
        Tables.
    variations
        The quote's variation orders; those that were accepted count as scope.

    Returns
    -------
    dict[str, Any]
        Lines as money texts; above nought it cost more than planned. `result`: what was charged beside the quote, less
        that.
    """
    rates = {line["code"]: Decimal(line["unit_cost"]) for line in estimate["cost"]["lines"]}
    taken = list(_taken(estimate, records, facts))
    hours = [(bore, more / MINUTES) for bore, key, more, _ in taken if key == "hours"]
    worked = sum((whole for _, key, _, whole in taken if key == "hours"), Decimal(0)) / MINUTES
    lines = [_line("hours", bore, more, "h", rates[LABOUR]) for bore, more in hours]
    if ATTENDANT in rates:  # who stands by is there as long
        lines += [_line("hours", bore, more * _beside(estimate), "h", rates[ATTENDANT]) for bore, more in hours]
    lines += [_line("rig", bore, more, "rig h", rates[RIG]) for bore, more in hours if RIG in rates]
    lines += [
        _line(key, bore, more, unit, _unit_cost(estimate, key, bore))
        for bore, key, more, _ in taken
        for unit in ({"wire": "kg", "gas": "L"}.get(key, ""),)
        if unit
    ]
    paid = [one.labour.amount for _, one in records if one.labour is not None]
    if paid:
        lines.append(_line("rate", None, worked, "h", paid[-1] - rates[LABOUR]))
    minor = str(Decimal(1).scaleb(-len(estimate["price"]["total"].partition(".")[2])))
    for line in lines:
        line["amount"] = f"{to_minor(line.pop('exact'), minor):f}"
    cost = sum((Decimal(line["amount"]) for line in lines), Decimal(0))
    billed = invoice(quote, estimate, records, variations)
    scope = sum((Decimal(line["price"]) for line in billed["lines"] if line["code"] != "quoted"), Decimal(0))
    return {
        "quote": quote,
        "currency": estimate["price"]["currency"],
        "lines": [line for line in lines if line["quantity"]],
        "cost_more": f"{to_minor(cost, minor):f}",
        "scope": f"{to_minor(scope, minor):f}",
        "result": f"{to_minor(scope - cost, minor):f}",
        "left_out": billed["left_out"],
        "asked_about": [one for _, record in records for one in judged(record, estimate, facts)["asked_about"]],
    }


def _line(code: str, bore: str | None, quantity: Decimal, unit: str, unit_cost: Decimal) -> dict[str, Any]:
    return {
        "code": code,
        "bore": bore,
        "quantity": float(round(quantity, 6)),
        "unit": unit,
        "unit_cost": f"{unit_cost:f}",
        "exact": quantity * unit_cost,
    }


def _beside(estimate: Estimate) -> int:
    """Return how many of the crew stand by while others work."""
    return len(estimate["schedule"]["roles"]) - estimate["schedule"]["technicians"]


def _unit_cost(estimate: Estimate, code: str, bore: str) -> Decimal:
    """Return what a bore's wire or gas was planned to cost, a unit; nothing where it has no line."""
    each = (line for line in estimate["cost"]["lines"] if line["code"] == code and line["bore"] == bore)
    return next((Decimal(line["unit_cost"]) for line in each), Decimal(0))


def _taken(
    estimate: Estimate, records: Sequence[tuple[int, Happened]], facts: Tables
) -> Iterator[tuple[str, str, Decimal, Decimal]]:
    """Yield bore, what of it, how much more than planned, and how much in all; records of several days added up."""
    sums: dict[str, dict[str, list[Decimal]]] = {}
    for _, record in records:
        told = judged(record, estimate, facts)
        asked = {(one["bore"], one["key"]) for one in told["asked_about"]}
        for bore in told["bores"]:
            for name, pair in bore["taken"].items():
                key = name.rpartition("_")[0]
                if (bore["name"], key) not in asked:
                    both = sums.setdefault(bore["name"], {}).setdefault(key, [Decimal(0), Decimal(0)])
                    both[0] += Decimal(repr(pair["recorded"]))
                    both[1] = Decimal(repr(pair["estimated"]))
    for bore_name, found in sums.items():
        more, whole = _hours(found)
        yield bore_name, "hours", more, whole
        for key in ("wire", "gas"):
            if key in found:
                yield bore_name, key, found[key][0] - found[key][1], found[key][0]


def _hours(found: Mapping[str, Sequence[Decimal]]) -> tuple[Decimal, Decimal]:
    """Return how many minutes more than planned, and how many in all, by the time on site or by its parts."""
    if "on_site" in found:
        recorded, planned = found["on_site"]
        return recorded - planned, recorded
    covered = {part for key, parts in SHARED.items() if key in found for part in parts}
    parts = [pair for key, pair in found.items() if key in SHARED or (key in TIMES and key not in covered)]
    parts += [found["arc_time"]] if "arc_time" in found and "weld" not in found else []
    return sum((one[0] - one[1] for one in parts), Decimal(0)), sum((one[0] for one in parts), Decimal(0))
