"""What the search is asked and what it answers: the ask of a bore, what weighs in a choice, one plan."""

from dataclasses import dataclass

from estimator.job.options import Aim, Ends
from estimator.tables.rows import Wire
from estimator.weld.technique import Situation, Windows

__all__ = ["AS_IS", "Ask", "Candidate", "Case", "EndWay", "Passes", "Worth", "aim_of"]


@dataclass(frozen=True)
class EndWay:
    """A way to lay the bore's ends: turns beyond the bore's length at both together, and time that both cost. [s]"""

    name: Ends
    turns_over: float
    time: float = 0.0


AS_IS = EndWay("run over", 1.0)


@dataclass(frozen=True)
class Ask:
    """What a plan must do: build up `build` a side over `length` from `cleanup`, with what the user pinned. [SI]

    `share`: share of the clock built up; `bead_loss`: time that each bead costs besides its arc; `ways`: in which
    the ends may be laid, the plainest first; `left`: what boring takes off a side of a layer that ends at the weld
    bore; `thickness`: of each layer, `dwells`: layers with a dwell at both ends, where they are pinned layer by layer;
    `skim_time`: of a cut between two layers, which `gap_time` holds; `once`: what the wire takes once, its slag.
    """

    build: float
    length: float
    cleanup: float
    skim: float
    gap_time: float
    current: float | None = None
    step: float | None = None
    layers: int | None = None
    share: float = 1.0
    bead_loss: float = 0.0
    ways: tuple[EndWay, ...] = (AS_IS,)
    left: float = 0.0
    thickness: float | None = None
    dwells: int | None = None
    skim_time: float = 0.0
    once: float = 0.0


@dataclass(frozen=True)
class Passes:
    """Boring passes after welding, where the layers come out inside the weld bore. [SI; worth in currency]

    `usual`: depth a side from which they are counted, which holds an overbuild of `allowed`; `deepest`: of one pass;
    `time`, `worth`: what one more takes, and what that weighs.
    """

    usual: float
    allowed: float
    deepest: float
    time: float
    worth: float


@dataclass(frozen=True)
class Worth:
    """What weighs in a choice, in the shop's money, per unit: time, arc time [s], metal laid [kg], arc heat [J], layer.

    `odds`: of a layer to be cut out and laid again, where a plan stands at a limit that must be kept; they grow from
    nothing in the comfortable window. `rework`: what that takes besides laying the layer again [s]. `passes`: what
    boring takes more where layers come out far inside; None where nothing more.
    """

    time: float = 1.0
    arc: float = 0.0
    layer: float = 0.0
    mass: float = 0.0
    heat: float = 0.0
    odds: float = 0.0
    rework: float = 0.0
    passes: Passes | None = None


@dataclass(frozen=True)
class Candidate:
    """One plan of the grid: what to set, and what the search weighed. [SI; cost in the book's currency]

    `dwells`: the last layers in which the arc dwells for a whole turn at both ends; `way`: how the ends are laid.
    """

    current: float
    step: float
    layers: int
    thickness: float
    turns: int
    arc_time: float
    time: float
    hours: float
    cost: float
    heat: float
    odds: float
    dwells: int = 0
    way: EndWay = AS_IS


@dataclass(frozen=True)
class Case:
    """One bore with one wire: the ask, wire, windows that hold, current of a cooler first bead, worth, aim.

    `near`: the plan about which a finer search looks.
    """

    ask: Ask
    wire: Wire
    windows: Windows
    first: float | None
    here: Situation
    worth: Worth = Worth()
    aim: Aim = "cost"
    near: Candidate | None = None


def aim_of(plan: Candidate, aim: str) -> float:
    """Return what a plan is weighed by: cost [currency], hours [s] or heat [J]."""
    return {"cost": plan.cost, "hours": plan.hours, "heat": plan.heat}[aim]
