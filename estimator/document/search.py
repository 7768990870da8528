"""What the search weighed, in the estimate document: odds of rework, efficient plans, neighbours, shadow prices."""

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.express import all_shown, shown
from estimator.formula import choice
from estimator.tables.messages import say, texts_of
from estimator.weld.cases import Candidate
from estimator.weld.plan import WeldPlan

__all__ = ["Search", "ShadowPrice", "Weighed", "search_of"]


class Weighed(TypedDict):
    """A plan that the search weighed; `cost` is what the weld is worth in the choice, not what is billed."""

    layers: int
    current_A: float
    step_mm: float
    thickness_mm: float
    time_min: float
    heat_kJ: float
    rework_odds: float
    cost: NotRequired[str]
    why_not: NotRequired[str]


class Loosened(TypedDict):
    """What loosening a limit saves, by the plan's aim."""

    cost: NotRequired[str]
    time_min: NotRequired[float]
    heat_kJ: NotRequired[float]


class ShadowPrice(TypedDict):
    """What one limit costs: loosened by one unit it would save that much."""

    limit: str
    reason: str
    quantity: str
    loosened_by: str
    saves: Loosened


class Search(TypedDict):
    """What the search weighed for one bore; the plans beside its own, where they were asked for."""

    aim: Literal["cost", "hours", "heat"]
    rework_odds: float
    frontier: NotRequired[list[Weighed]]
    neighbours: NotRequired[list[Weighed]]
    shadow_prices: NotRequired[list[ShadowPrice]]


SAID = "as the search found it"
TWICE = "difference of two searches"
GROWS = "grow from the end of the comfortable window to the limit"


PLACES = 2


def _plan(plan: Candidate) -> Weighed:
    return all_shown(
        Weighed(
            layers=choice(plan.layers, "layers", SAID),
            current_A=choice(plan.current, "current", SAID, unit="A"),
            step_mm=choice(plan.step, "step", SAID, unit="m"),
            thickness_mm=choice(plan.thickness, "thickness", SAID, unit="m"),
            time_min=choice(plan.time, "time", "arc and work between layers, " + SAID, unit="s"),
            heat_kJ=choice(plan.heat, "heat", "heat that the arc brings in, " + SAID, unit="J"),
            rework_odds=choice(plan.odds, "odds", GROWS),
            cost=_cost(plan.cost),
        )
    )


def _cost(amount: float) -> str:
    """Return an amount of the book's currency, weighed and not billed; as `cost` it can be left out."""
    return f"{amount:.{PLACES}f}"


def _saves(aim: str, saves: float) -> Loosened:
    if aim == "cost":
        return {"cost": _cost(saves)}
    if aim == "hours":
        return all_shown(Loosened(time_min=choice(saves, "saves", TWICE, unit="s")))
    return all_shown(Loosened(heat_kJ=choice(saves, "saves", TWICE, unit="J")))


def search_of(weld: WeldPlan) -> Search:
    """Return what the search weighed for one bore."""
    found: Search = {"aim": weld.aim, "rework_odds": shown("rework_odds", choice(weld.odds, "odds", GROWS))}
    if weld.beside is None:
        return found
    worse, beside = say("worse_by_aim", aim=weld.aim), weld.beside
    return {
        **found,
        "frontier": [_plan(plan) for plan in beside.frontier],
        "neighbours": [
            {**_plan(one.plan), "why_not": "; ".join(texts_of(one.broken or (worse,)))} for one in beside.neighbours
        ],
        "shadow_prices": [
            {
                "limit": one.limit,
                "reason": one.reason,
                "quantity": one.quantity,
                "loosened_by": one.by,
                "saves": _saves(weld.aim, one.saves),
            }
            for one in beside.shadows
        ],
    }
