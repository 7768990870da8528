"""How long an edge lasts: Taylor's law with feed and depth, and the edges that passes use up."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.formula import formula, summed

__all__ = ["EdgeUse", "chips", "edge_share", "edges_used", "lasting", "life_ratio", "life_within", "use_of"]

TAYLOR = "Taylor's law with feed and depth, v T^n f^a d^b = C, as a ratio to a cut whose life is known"


@dataclass(frozen=True)
class EdgeUse:
    """Life of an edge in each pass [s], edges each pass uses up, and all of them."""

    lives: tuple[float, ...]
    edges: tuple[float, ...]
    total: float


@formula("life_ratio", TAYLOR, "published")
def life_ratio(
    speed: float,
    usual_speed: float,
    feed: float,
    usual_feed: float,
    depth: float,
    usual_depth: float,
    n: float,
    a: float,
    b: float,
) -> float:
    """Life of an edge over its life in the usual cut. [-]"""
    by_speed, by_feed, by_depth = usual_speed / speed, usual_feed / feed, usual_depth / depth
    return float((by_speed * by_feed**a * by_depth**b) ** (1 / n))


@formula("life_ratio", "however light the cut, scale, spatter and starts chip an edge in the end", "from memory")
def life_within(ratio: float, longest: float) -> float:
    """Life of an edge over its life in the usual cut, no longer than edges last at all. [-]"""
    return min(ratio, longest)


@formula("life_ratio", "blows of an interrupted cut, and scale, shorten an edge's life", "from memory")
def edge_share(ratio: float, interrupted_life: float) -> float:
    """Life of an edge over its life in the usual cut, where the cut is interrupted. [-]"""
    return ratio * interrupted_life


@formula("edge_life", "life in the usual cut times the cut's ratio to it", "computed", unit="s")
def lasting(edge_life: float, ratio: float) -> float:
    """Cutting time of one edge in a pass. [s]"""
    return edge_life * ratio


@formula("edges", "definition: cutting time over the life of an edge", "published")
def edges_used(time: float, edge_life: float) -> float:
    """Edges that a pass uses up. [-]"""
    return time / edge_life


@formula("chips", "volume cut times how loosely curled chips lie", "from memory", unit="m3")
def chips(removed: float, chip_bulk: float) -> float:
    """Volume that the chips fill as they lie. [m³]"""
    return removed * chip_bulk


def use_of(ratios: Sequence[float], times: Sequence[float], edge_life: float) -> EdgeUse:
    """Return what edges passes use up; `times` [s] and `edge_life` [s] may be arrays of one length."""
    lives = tuple(lasting(edge_life, ratio) for ratio in ratios)
    edges = tuple(edges_used(time, life) for time, life in zip(times, lives, strict=True))
    return EdgeUse(lives, edges, summed("edges", "", *edges))
