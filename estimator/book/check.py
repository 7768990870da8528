"""Check a price book against itself: its currency, and the user's own constants."""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from estimator.book.consumables import GasStock
from estimator.book.house import CustomerClass
from estimator.errors import Fault, nearest
from estimator.fields import Document, Price
from estimator.job.features import PER_FEATURE
from estimator.tables import Tables, builtin
from estimator.tables.rows import Gas, TimeStandard
from estimator.tables.work_rows import PLAIN

__all__ = [
    "article_faults", "basis_faults", "carried_faults", "class_faults", "constant_faults", "currency_faults",
    "cylinder_faults", "prices_in",
]  # fmt: skip

FEW = 5  # prices in another currency that are told one by one
MAY_BE_ZERO = {
    "anti_spatter_start",
    "attendant",
    "brackets_per_bearing",
    "bulk_scatter",
    "cleanup_allowance",
    "crest_allowance",
    "draught_flow",
    "fire_watch",
    "flow_cored",
    "gas_scatter",
    "hardness_odds_due",
    "hardness_odds_told",
    "heel_length",
    "hose_pressure",
    "interpass_above_preheat",
    "layer_saves",
    "leak_flow",
    "least_weld",
    "left_in_unknown_cylinder",
    "machining_allowance",
    "overbuild_allowance",
    "past_room",
    "purge_time",
    "residual_pressure",
    "ring_room",
    "ring_turns",
    "run_over_turns",
    "skim_depth",
    "start_stub",
    "temper_hold_least",
    "test_bead_arc",
    "turn_slack",
    "wire_loss",
}


AT_MOST_ONE, AT_LEAST_ONE = ("learning_rate", "time_spread_low"), ("time_spread_high",)


def _beyond(name: str, value: float) -> list[Fault]:
    """Return what is wrong with a share above one, or a multiple below it."""
    path = f"tables.constants.{name}.value"
    if name in AT_MOST_ONE and value > 1:
        return [Fault(path, f"must be 1 at most, not {value:g}")]
    return [Fault(path, f"must be 1 at least, not {value:g}")] if name in AT_LEAST_ONE and value < 1 else []


def constant_faults(own: dict[str, Any], facts: Tables) -> list[Fault]:
    """Return which of the user's own constants cannot stand: zero or below where the built-in one is above."""
    faults = []
    for name in own:
        faults += _beyond(name, facts.plain_constant(name))
        value, usual = facts.plain_constant(name), builtin("constants").get(name)
        least = -1.0 if name in MAY_BE_ZERO else 0.0
        if usual is not None and usual.value > 0 and not max(value, least) > least:  # pyrefly: ignore[missing-attribute] # a constant's row
            faults.append(Fault(f"tables.constants.{name}.value", "must be above zero"))
    return faults


def basis_faults(own: Iterable[str], facts: Tables) -> list[Fault]:
    """Return which of the user's own times are counted per what no job, bore or feature has."""
    known = (*PLAIN, *PER_FEATURE)
    said = f"should be one of {', '.join(map(repr, known))}"
    rows = ((name, facts.rows("times").get(name)) for name in own)
    return [
        Fault(f"tables.times.{name}.basis", said)
        for name, row in rows
        if isinstance(row, TimeStandard) and row.basis not in known
    ]


def currency_faults(book: Document, currency: str, built_in: str) -> list[Fault]:
    """Return which prices of a book are in another currency than its own; those left from the built-in book as one."""
    odd = [(path, price) for path, price in prices_in(book, "") if price.currency != currency]
    if len(odd) > FEW and all(price.currency == built_in for _, price in odd):
        said = f"{len(odd)} prices are left from the built-in book, in {built_in}, first {odd[0][0]}: give yours, or"
        by = 'by which rate they are turned: "converted": {"rate": 0.94, "on": "2026-11-30"}'
        return [Fault("currency", f"{said} {by} for 1 {built_in} = 0.94 {currency}")]
    return [Fault(path, f"{price.currency} is not the book's currency {currency}") for path, price in odd]


def class_faults(classes: Mapping[str, CustomerClass], way: str) -> list[Fault]:
    """Return which classes of customers have a margin in a book of markups, or the other way round."""
    other = "markup" if way == "margin" else "margin"
    said = f"the book's prices are made by {way}; give {way} here as well"
    return [Fault(f"classes.{name}.{other}", said) for name, one in classes.items() if getattr(one, other) is not None]


MOST_CO2 = 50.0  # [%] richer mixes turn liquid in the cylinder at 15 degC, and pressure no longer says what is in it


def cylinder_faults(gases: Mapping[str, GasStock], facts: Tables) -> list[Fault]:
    """Return which cylinders are said to be filled by pressure though their gas is liquid in them."""
    rich = (name for name, row in facts.rows("gases").items() if isinstance(row, Gas) and row.co2 > MOST_CO2)
    said = "this gas is filled as a liquid: give fill_mass instead"
    return [
        Fault(f"consumables.gases.{name}.cylinder.fill_pressure", said)
        for name in rich
        if name in gases and (size := gases[name].cylinder) is not None and size.fill_pressure is not None
    ]


def prices_in(model: object, path: str) -> list[tuple[str, Price]]:
    """Return every price of the book with its path."""
    if isinstance(model, Price):
        return [(path, model)]
    inside: Iterable[tuple[str, Any]] = model.items() if isinstance(model, dict) else ()
    if isinstance(model, Document):
        inside = ((name, getattr(model, name)) for name in type(model).model_fields if name != "tables")
    return [found for name, value in inside for found in prices_in(value, f"{path}.{name}" if path else name)]


def carried_faults(kind: str, carried: Collection[str], stock: Collection[str], known: Collection[str]) -> list[Fault]:
    """Return what is wrong with the wires or gases on the van: each is a row of the table, and has a price."""
    faults: list[Fault] = []
    if not carried:
        faults.append(Fault(f"carried.{kind}", f"is empty; name one of the {kind} on the van"))
    for name in carried:
        if name not in known:
            faults.append(
                Fault(f"carried.{kind}.{name}", f"no such row in tables.{kind}; near: {nearest(name, known)}")
            )
        elif name not in stock:
            faults.append(Fault(f"carried.{kind}.{name}", f"has no price under consumables.{kind}"))
    return faults


def article_faults(articles: Mapping[str, str], items: Collection[str]) -> list[Fault]:
    """Return what is wrong with the shop's own article numbers: each stands for an item that there is."""
    return [
        Fault(f"articles.{code}", f"no item named {item!r}; near: {', '.join(nearest(item, items)) or 'tip, nozzle'}")
        for code, item in articles.items()
        if item not in items
    ]
