"""Published charts of wire feed over current, as printed, and how far a wire's burn-off law lies from them."""

from dataclasses import dataclass
from math import inf

from estimator.tables import Tables, raw
from estimator.tables.rows import Wire
from estimator.units import factor

__all__ = ["Gaps", "Point", "gaps_of", "points_of"]

SPRAY = "spray"


@dataclass(frozen=True)
class Point:
    """One printed point: a wire, its chart, the current and the feed, each the middle of what is printed. [SI]"""

    wire: str
    chart: str
    mark: str
    current: float
    feed: float


@dataclass(frozen=True)
class Gaps:
    """How far a law lies from printed points, as shares of the printed feed: `low` below, `high` above."""

    low: float
    high: float
    points: int
    charts: tuple[str, ...]
    printed: bool


def points_of(name: str, low: float = 0.0, high: float = inf) -> list[Point]:
    """Return the points printed for a wire short of spray whose band of current meets a range [A]."""
    amps, feed = factor("A"), factor("ipm")
    found = []
    for row in raw("charts"):
        ends = [float(row[f"current_{end} [A]"]) * amps for end in ("low", "high")]
        if row["wire"] == name and row["mode"] != SPRAY and ends[0] <= high and ends[1] >= low:
            fed = [float(row[f"feed_{end} [ipm]"]) * feed for end in ("low", "high")]
            found.append(Point(name, row["chart"], row["mark"], sum(ends) / 2, sum(fed) / 2))
    return found


def gaps_of(wire: Wire, facts: Tables) -> Gaps | None:
    """Return how far a wire's law lies from the charts behind it; None where it names none.

    A point of another size is met by the law at that size: the feed per ampere follows a power of the diameter.
    """
    power, rows, off, charts = facts.plain_constant("feed_size_power"), facts.rows("wires"), list[float](), set[str]()
    printed = True
    for name in filter(None, wire.charts.split("; ")):
        other = rows.get(name)
        if not isinstance(other, Wire):
            continue
        size = 1.0 if wire.kind != "solid" else (other.diameter / wire.diameter) ** power
        for point in points_of(name, other.current_low, other.current_high):
            law = (wire.feed_linear * point.current + wire.feed_squared * point.current**2) * size
            off.append(law / point.feed - 1)
            charts.add(point.chart)
            printed = printed and point.mark == "published"
    return Gaps(min(off), max(off), len(off), tuple(sorted(charts)), printed) if off else None
