"""What stands behind the arc and the beads, in the estimate document: transfer, charts, own arc, ends, composition."""

from typing import Literal

from typing_extensions import TypedDict

from estimator.book.own_arc import section_share
from estimator.book.pricebook import PriceBook
from estimator.document.ends import Ends, ends_of
from estimator.express import all_shown
from estimator.formula import choice, is_recording, leaf
from estimator.inputs import Inputs
from estimator.plans import BoreFigures
from estimator.tables import Tables, explained
from estimator.tables.charts import gaps_of
from estimator.tables.messages import say, text_of
from estimator.tables.rows import Transfer as TransferRow
from estimator.tables.rows import Wire
from estimator.weld.arc import aspect_of, wire_feed
from estimator.weld.bead import moved
from estimator.weld.steel import Base, base_share, mixed

__all__ = ["Arc", "Composition", "arc_of", "composition_of"]


class Composition(TypedDict):
    """What a layer is made of, in percent by mass."""

    C: float
    Si: float
    Mn: float


class Transfer(TypedDict):
    """How metal goes over in the arc, by which row of its table and why."""

    mode: Literal["short arc", "pulse", "large drops", "spray", "spray under slag", "unknown"]
    row: str
    reason: str
    source: str


class Charts(TypedDict):
    """The printed charts behind a wire's burn-off law, and how far it lies from them."""

    points: int
    charts: list[str]
    published: bool
    feed_band_low: float
    feed_band_high: float


class OwnArc(TypedDict):
    """By what share the shop's own arc moved the wire's row."""

    text: str
    feed_moved: float
    aspect_moved: float


class Arc(TypedDict):
    """What stands behind the arc of a bore."""

    transfer: Transfer
    charts: Charts | None
    own_arc: OwnArc | None
    ends: Ends
    cleans_up: bool


GAP = "by how much the burn-off law lies {} the printed points, as a share of the printed feed (table of charts)"


def arc_of(one: BoreFigures, book: PriceBook, inputs: Inputs) -> Arc:
    """Return what stands behind the arc of a bore: how metal goes over, charts, the shop's own arc, the bore's ends."""
    ends = ends_of(one, book, inputs)
    return {
        "transfer": _transfer(one, book),
        "charts": _charts(one, book),
        "own_arc": _own_arc(one, book),
        "ends": ends,
        "cleans_up": ends["cleans_up"],
    }


def _transfer(one: BoreFigures, book: PriceBook) -> Transfer:
    """Return how metal goes over at the highest current of the plan, by the first row that holds it."""
    weld = one.plan.weld
    current = max(layer.current for layer in weld.layers)
    for row in book.facts.rows("transfer").values():
        if isinstance(row, TransferRow) and row.meets(weld.wire, weld.gas, current):
            return {"mode": row.mode, "row": row.name, "reason": row.reason, "source": row.source}
    return {"mode": "unknown", "row": "", "reason": text_of(say("transfer_unknown")), "source": ""}


def _charts(one: BoreFigures, book: PriceBook) -> Charts | None:
    """Return how far the wire's burn-off law, before any own arc, lies from the charts behind it."""
    wire = one.plan.weld.wire
    before, _ = book.facts.moved.get(wire.name, (wire, wire))
    gaps = gaps_of(before, book.facts) if isinstance(before, Wire) else None
    if gaps is None:
        return None
    return all_shown(
        Charts(
            points=leaf(gaps.points, "fact", "points", "printed points that the wire's range of current meets"),
            charts=list(gaps.charts),
            published=gaps.printed,
            feed_band_low=_gap(gaps.low, "band_low", "below"),
            feed_band_high=_gap(gaps.high, "band_high", "above"),
        )
    )


def _gap(share: float, name: str, where: str) -> float:
    return leaf(share, "fact", name, GAP.format(where), source="table of charts", mark="computed")


def _own_arc(one: BoreFigures, book: PriceBook) -> OwnArc | None:
    """Return by how much the shop's own arc moved the wire's row, at the plan's last layer."""
    wire, current = one.plan.weld.wire, one.plan.weld.layers[-1].current
    own, (before, _) = book.own_arc.get(wire.name), book.facts.moved.get(wire.name, (None, None))
    if own is None or not isinstance(before, Wire):
        return None
    table = explained(before, f"tables.wires.{wire.name}") if is_recording() else before
    feeds = (wire_feed(current, each.feed_linear, each.feed_squared) for each in (wire, table))
    feed, aspect = moved(*feeds), moved(aspect_of(wire, book.facts), aspect_of(table, book.facts))
    amps = sorted(pair.current for pair in own.pairs)
    pairs = {"pairs": len(own.pairs), "low": amps[0], "high": amps[-1]}
    scatter = {"scatter": wire.feed_scatter, "before": before.feed_scatter}
    said = say("own_arc", feed=feed, current=current, **pairs, **scatter)
    if not amps[0] <= current <= amps[-1]:
        said = say("own_arc_outside", said=said)
    if own.bead is not None:
        said = say("own_arc_bead", said=said, aspect=aspect, share=section_share(own, before))
    return all_shown(OwnArc(text=text_of(said), feed_moved=feed, aspect_moved=aspect))


def composition_of(number: int, base: Base, wire: Wire, facts: Tables) -> tuple[Composition, float]:
    """Return what a layer is made of [% by mass], and its share of base metal [-]."""
    layers = choice(number, "layers", "layers are numbered as they are laid")
    deposit, _ = mixed(base, wire, layers, facts)
    made = Composition(C=deposit["C"], Si=deposit["Si"], Mn=deposit["Mn"])
    return all_shown(made), base_share(facts.constant("dilution_first"), layers)
