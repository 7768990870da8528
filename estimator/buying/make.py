"""What to take for several jobs: expected use, cover to a service level, packs, stock on hand, days."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from typing_extensions import TypedDict

from estimator.book.consumables import GasStock, WireStock
from estimator.book.pricebook import PriceBook
from estimator.buying.lasting import RunsOut, VanDay, days_of, running_out
from estimator.buying.packs import Pack, cheapest_mix
from estimator.buying.stock import known_stock
from estimator.buying.use import Document, used_by
from estimator.document.warnings import Warned, told
from estimator.either import whole_up
from estimator.errors import DocumentError, Fault
from estimator.express import money
from estimator.money.lines import amount_of, minor_of
from estimator.shop.gas_cylinder import contents_of
from estimator.tables.messages import Message, say
from estimator.tables.rows import Wire
from estimator.units import deci
from estimator.van import cover
from estimator.van.shelf import SERVICE_LEVEL, Shelf
from estimator.van.use import Item, Kind, Use, uses_of
from estimator.weld.arc import linear_density

__all__ = ["Order", "order"]

SUPPLIERS = {"wire": "filler metal", "gas": "gas", "part": "torch and tools", "bulk": "workshop stock"}
OTHERS = {"disc": "workshop stock", "bracket": "workshop stock", "insert": "cutting tools"}
ALIKE = 0.05  # a cylinder's contents as printed against as computed: filling tolerance and the equation of state


class PackTaken(TypedDict):
    """How many packs of one size."""

    pack_size: float
    packs: int
    article: str | None


class OrderLine(TypedDict):
    """One item: expected use, what covers it, what to order.

    `expected` is by chance, `planned` by rule. `packs` and `quantity` are of the usual pack; `mix` is what to order
    where an item comes in several sizes, and `cost` is that of the mix. `service` is the likelihood that `to_cover` is
    enough.
    """

    item: str
    kind: Kind
    unit: str
    supplier: str
    expected: float
    planned: float
    deviation: float
    to_cover: float
    service: float
    on_hand: float
    pack_size: float
    packs: int
    quantity: float
    mix: list[PackTaken]
    cost: str
    article: str | None
    advised_service_level: float | None
    advised_cover: float | None


class Group(TypedDict):
    """The items of one supplier."""

    supplier: str
    items: list[str]


class Order(TypedDict):
    """What to take and to order for several jobs.

    `together` is the likelihood that no item at all runs short, `level_for_all` the level to ask for so that this
    reaches the service level; both as if items ran short independently.
    """

    service_level: float
    together: float
    level_for_all: float
    jobs: int
    currency: str
    lines: list[OrderLine]
    suppliers: list[Group]
    runs_out: list[RunsOut]
    days: list[VanDay]
    total: str
    warnings: list[Warned]


@dataclass(frozen=True)
class _Stocked(Shelf):
    """The price book and the stock, asked about one item at a time."""

    stock: dict[str, dict[str, Any]]

    def packs(self, item: Item) -> list[Pack]:
        """Return the sizes an item can be bought in, the usual one first; only that of the stock list where one is."""
        entry, minor = self.entry(item), minor_of(self.book)
        said = self.stock.get(item[1], {}).get("pack_size")
        usual = self.size(item, entry.pack) if said is None else float(said)
        sizes = [(usual, entry.price.amount, entry.article)]
        if said is None:
            sizes += [(self.size(item, one.pack), one.price.amount, one.article) for one in entry.packs.values()]
        heel, found = self._heel(item, usual), []
        for size, price, article in sizes:
            usable = (size - heel) / (1 - heel / usual)
            cost = int(amount_of(Decimal(f"{size:.12g}"), price, minor) / Decimal(minor))
            found += [Pack(size, usable, cost, price, article)] if usable > 0 else []
        return found

    def _heel(self, item: Item, usual: float) -> float:
        """Return the wire that stays on any spool; the use already holds the heel of the usual one. [kg]"""
        entry = self.entry(item)
        if not isinstance(entry, WireStock) or not entry.packs:
            return 0.0
        facts = self.book.facts
        wire = facts.row("wires", item[1], Wire)
        return min(usual / 2, deci(facts.constant("heel_length") * linear_density(wire), "kg"))

    def advised(self, item: Item) -> float | None:
        """Return the service level that costs least, where the price book says what short and carry cost."""
        entry = self.entry(item)
        if entry.short is None or entry.carry is None or not entry.short.amount or not entry.carry.amount:
            return None
        return cover.critical_ratio(float(entry.short.amount), float(entry.carry.amount))


def _line(item: Item, use: Use, shelf: _Stocked) -> OrderLine:
    """Return the line of one item; `packs` and `quantity` are of the usual pack, `mix` is the cheapest of all sizes."""
    entry, minor, advised = shelf.entry(item), minor_of(shelf.book), shelf.advised(item)
    taken, on_hand = shelf.cover(item, use), float(shelf.stock.get(item[1], {}).get("on_hand", 0.0))
    need, sizes = max(0.0, taken - on_hand), shelf.packs(item)
    pack = sizes[0].size
    packs = int(whole_up(need / pack))
    mix = cheapest_mix(need, sizes)
    cost = sum((amount_of(Decimal(f"{one.size * n:.12g}"), one.price, minor) for one, n in mix), Decimal(0))
    level = None if advised is None else float(f"{advised:.12g}")
    return {
        "item": item[1],
        "kind": item[0],
        "unit": shelf.unit(item),
        "supplier": entry.supplier or OTHERS.get(item[1], SUPPLIERS[item[0]]),
        "expected": use[0],
        "planned": use[1],
        "deviation": float(f"{shelf.deviation(item, use):.12g}"),
        "to_cover": taken if item[0] == "part" else max(float(f"{taken:.10g}"), float(f"{use[0] + use[1]:.12g}")),
        "service": float(f"{shelf.service(item, use, taken):.12g}"),
        "on_hand": on_hand,
        "pack_size": pack,
        "packs": packs,
        "quantity": float(f"{packs * pack:.12g}"),
        "mix": [{"pack_size": one.size, "packs": n, "article": one.article or None} for one, n in mix],
        "cost": money(cost, minor),
        "article": entry.article or None,
        "advised_service_level": level,
        "advised_cover": None if advised is None else float(f"{shelf.cover(item, use, advised):.12g}"),
    }


def _warnings(jobs: list[str], uses: dict[Item, Use], shelf: _Stocked) -> list[Message]:
    """Return what is odd about jobs, stock and price book."""
    twice = sorted({name for name in jobs if jobs.count(name) > 1})
    said = [say("job_twice", job=name) for name in twice]
    idle = sorted(set(shelf.stock) - {name for _, name in uses})
    said += [say("stock_idle", item=name) for name in idle]
    for item in uses:
        entry = shelf.entry(item)
        if isinstance(entry, GasStock) and entry.pack is not None and entry.cylinder is not None:
            held = contents_of(item[1], entry.cylinder, shelf.book.facts)
            if abs(held / entry.pack - 1) > ALIKE:
                said.append(say("cylinder_differs", item=item[1], said=entry.pack, held=held))
    return said + ([say("prices_invented", note=shelf.book.note)] if shelf.book.invented else [])


MOST_JOBS = 2000  # in one order


def _bought(line: OrderLine) -> float:
    return float(line["on_hand"] + sum(one["pack_size"] * one["packs"] for one in line["mix"]))


def order(
    jobs: Sequence[Document],
    book: PriceBook,
    stock: Sequence[object] | None = None,
    service_level: float = SERVICE_LEVEL,
) -> Order:
    """Return the order document of several jobs, worked in the order they are given.

    Raises
    ------
    DocumentError
        If a job, the stock or the service level is wrong; paths begin with `jobs.0` and the like.
    JobRefusedError
        If one of the jobs must not be welded.
    """
    faults, level = [], service_level
    if type(level) not in (int, float) or not 0 < level < 1:
        faults.append(Fault("service_level", "must be a number between 0 and 1, for instance 0.95"))
    if not jobs:
        faults.append(Fault("jobs", "is empty; give one job at least"))
    if len(jobs) > MOST_JOBS:
        faults.append(Fault("jobs", f"holds {len(jobs)} jobs; {MOST_JOBS} at most"))
    have, wrong = known_stock(stock or [], book)
    if faults or wrong:
        raise DocumentError([*faults, *wrong])
    worked, shelf = used_by(jobs, book), _Stocked(book, level, have)
    uses = uses_of(worked)
    lines = [_line(item, use, shelf) for item, use in uses.items()]
    amounts = {item: line["on_hand"] if stock else _bought(line) for item, line in zip(uses, lines, strict=True)}
    suppliers = dict.fromkeys(str(line["supplier"]) for line in lines)
    total = sum((Decimal(str(line["cost"])) for line in lines), Decimal(0))
    return {
        "service_level": level,
        "together": float(f"{cover.together(tuple(line['service'] for line in lines)):.12g}"),
        "level_for_all": float(f"{cover.level_for_all(level, len(lines)):.12g}"),
        "jobs": len(jobs),
        "currency": book.currency,
        "lines": lines,
        "suppliers": [
            {"supplier": one, "items": [line["item"] for line in lines if line["supplier"] == one]} for one in suppliers
        ],
        "runs_out": running_out(amounts, worked, "on hand" if stock else "as ordered"),
        "days": days_of(
            worked, deci(book.number("shift_length"), "h"), shelf.cover, {item: shelf.unit(item) for item in uses}
        ),
        "total": money(total, minor_of(book)),
        "warnings": told(_warnings([job.reference for job in worked], uses, shelf)),
    }
