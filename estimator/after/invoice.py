"""The lines of an invoice: the price as quoted, accepted variations, approved work and waiting, tax by rate.

All comes from the frozen estimate, records and variations, so that an invoice stays what it was whatever the price
book does. A line that stands on an earlier invoice is not invoiced again.
"""

from collections.abc import Collection, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from estimator.after.happened import Happened, Standing, Variation
from estimator.after.taxes import by_rate, minor_of, usual_rate
from estimator.estimate import Estimate
from estimator.money.lines import to_minor

__all__ = ["hour_charged", "invoice"]

HOUR = 3600.0  # [s]
HUNDREDTH = Decimal("0.01")
HUNDRED = 100
Line = dict[str, Any]
Record = tuple[int, Happened]


def hour_charged(cost: Decimal, overhead: Decimal, fraction: Decimal, method: str) -> Decimal:
    """Return what a person-hour that costs so much is charged out at, by the way the price is made. [the currency/h]"""
    borne = cost * (1 + overhead)
    return borne / (1 - fraction) if method == "margin" else borne * (1 + fraction)


def _labour(estimate: Estimate) -> Decimal:
    """Return what a person-hour of waiting is charged at: as the letter says, else as the quote charges labour."""
    letter: Any = estimate.get("letter")
    told = letter["terms"]["standing_time"] if letter else None
    if told:
        return Decimal(told["price"])
    lines, rule = estimate["cost"]["lines"], estimate["price"]["rule"]
    labour = next(line for line in lines if line["code"] == "labour-job")
    cost = Decimal(labour["unit_cost"])
    if not labour["bears_margin"]:
        return cost
    overhead = next((Decimal(repr(line["quantity"])) for line in lines if line["code"] == "overhead"), Decimal(0))
    return hour_charged(cost, overhead, Decimal(repr(rule["fraction"])), rule["method"])


def invoice(
    quote: str,
    estimate: Estimate,
    records: Sequence[Record],
    variations: Sequence[Mapping[str, Any]] = (),
    billed: Collection[str] = (),
) -> dict[str, Any]:
    """Return the lines of a quote's invoice.

    Parameters
    ----------
    quote
        Number of the accepted quote.
    estimate
        The quote's frozen estimate document.
    records
        What happened, each record with the number of the first one that it corrects, or its own; none that was
        replaced.
    variations
        Variation orders of the quote as `estimator.after.variation.variation` made them, each with who accepted it.
    billed
        Keys of lines that stand on an earlier invoice.

    Returns
    -------
    dict[str, Any]
        Lines and sums as money texts; what was not approved stands under `left_out`, what is missing under `open`.
    """
    minor, price, job = minor_of(estimate), estimate["price"], estimate["job"]
    found = [*_quoted(quote, estimate, minor), *_extras(records, estimate, minor), *_ordered(variations, minor)]
    fresh = [line for line in found if line["key"] not in billed]
    lines = [line for line in fresh if line["approved_by"] or line["code"] == "quoted"]
    left_out = [line for line in fresh if line not in lines]
    ordered = _last(records, "purchase_order") or job.get("purchase_order")
    return {
        "quote": quote,
        "reference": estimate["reference"],
        "customer": job["customer"],
        "purchase_order": ordered,
        "signature": _last(records, "signature"),
        "currency": price["currency"],
        "lines": lines,
        **by_rate(lines, str(minor)),
        "left_out": left_out,
        "open": _open(records, left_out, ordered),
    }


def _line(code: str, text: str, quantity: Decimal, unit: str, unit_price: Decimal, minor: Decimal) -> Line:
    price = to_minor(quantity * unit_price, str(minor))
    return {
        "code": code,
        "description": text,
        "said": text,
        "quantity": float(quantity),
        "unit": unit,
        "unit_price": f"{unit_price:f}",
        "price": f"{price:f}",
        "approved_by": None,
        "record": None,
        "variation": None,
    }


def _quoted(quote: str, estimate: Estimate, minor: Decimal) -> list[Line]:
    """Return the lines of the price as quoted, one a rate of tax."""
    price, text, one = estimate["price"], f"repair as quoted, quote {quote}", Decimal(1)
    rates = price.get("taxes") or [{"tax_fraction": usual_rate(estimate), "before_tax": price["before_tax"]}]
    found = []
    for rate in rates:
        fraction = rate["tax_fraction"]
        said = text if len(rates) == 1 else f"{text}, taxed at {HUNDRED * fraction:g} %"
        line = _line("quoted", said, one, "job", Decimal(rate["before_tax"]), minor)
        found.append(line | {"key": f"quoted {fraction:g}", "tax_fraction": fraction})
    return found


def _extras(records: Sequence[Record], estimate: Estimate, minor: Decimal) -> list[Line]:
    """Return the lines of extra work and standing time that were recorded, at the usual rate of tax."""
    found = []
    for number, record in records:
        items: tuple[Variation | Standing, ...] = (*record.variations, *record.standing)
        for place, item in enumerate(items):
            line = _extra(item, estimate, minor)
            key = {"record": number, "key": f"record {number} item {place}", "tax_fraction": usual_rate(estimate)}
            found.append(line | key)
    return found


def _extra(item: Variation | Standing, estimate: Estimate, minor: Decimal) -> Line:
    """Return the line of a variation or of standing time."""
    if isinstance(item, Variation):
        line = _line("variation", item.description, Decimal(1), "each", item.price.amount, minor)
    else:
        hours = (Decimal(repr(item.time)) * item.people / Decimal(repr(HOUR))).quantize(HUNDREDTH, ROUND_HALF_UP)
        charged = item.rate.amount if item.rate else to_minor(_labour(estimate), str(minor))
        line = _line("standing", f"standing time: {item.reason}", hours, "h", charged, minor)
        line["said"] = item.reason
    return line | {"approved_by": item.approved_by}


def _ordered(variations: Sequence[Mapping[str, Any]], minor: Decimal) -> list[Line]:
    """Return a line each variation order that was not declined."""
    found = []
    for one in variations:
        text = f"variation order {one['number']}: {one['cause']}"
        line = _line("variation", text, Decimal(1), "each", Decimal(one["before_tax"]), minor)
        key = {"key": f"variation {one['number']}", "tax_fraction": one["taxes"][0]["tax_fraction"]}
        told = {"said": one["cause"], "variation": one["number"], "approved_by": one["approved_by"]}
        found.append(line | key | told)
    return found


def _last(records: Sequence[Record], key: str) -> str | None:
    """Return what was recorded last under a key."""
    return next((said for _, record in reversed(records) if (said := getattr(record, key))), None)


def _open(records: Sequence[Record], left_out: list[Line], ordered: str | None) -> list[str]:
    """Return what is to be settled before the invoice goes out; `ordered`: the purchase order named in the job."""
    said = [] if ordered else ["no purchase order is recorded"]
    said += [] if _last(records, "signature") else ["nobody's signature is recorded"]
    return said + [f"{line['code']} without approval: {line['description']}" for line in left_out]
