"""One feature of a bore as decided, and what the planner of its kind knows of the bore. [SI]"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Literal

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.cut.passes import Pass
from estimator.formula import leaf
from estimator.tables.messages import Message, say
from estimator.weld.plan import WeldPlan

__all__ = ["BEFORE", "Feature", "FeaturePass", "Site", "edge_at", "side_of"]

BEFORE: Literal["before"] = "before"  # the clean-up cut
AFTER: Literal["after"] = "after"  # the bore's last layer


def _none(name: str) -> float:
    return leaf(0.0, "fact", name, "this feature has none", unit="m3")


@dataclass(frozen=True)
class FeaturePass:
    """A pass of the bar over a feature, and the way its insert feeds. [SI]"""

    one: Pass
    path: float


@dataclass(frozen=True)
class Feature:
    """One feature as decided: metal to lay and to cut, passes, elements of work by their basis. [SI]

    `stage`: its metal is laid before the clean-up cut, or after the last layer; `hot`: it is ground or welded before
    the clean-up cut.
    """

    code: str
    name: str
    text: Message
    fill: float = field(default_factory=partial(_none, "fill"))
    removed: float = field(default_factory=partial(_none, "removed"))
    ground: float = field(default_factory=partial(_none, "ground"))
    before: tuple[FeaturePass, ...] = ()
    after: tuple[FeaturePass, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)
    stage: Literal["before", "after"] = AFTER
    hot: bool = False


@dataclass(frozen=True)
class Site:
    """Where a feature is: its bore as surveyed, the weld as planned, the steel's family, and the price book."""

    survey: Survey
    weld: WeldPlan
    family: str
    book: PriceBook

    @property
    def turns(self) -> int:
        """Turns of the torch over all layers."""
        return sum(layer.beads for layer in self.weld.layers)


def side_of(side: str) -> Message:
    """Return the name of a side of the bore."""
    return say("side_drive" if side == "machine" else "side_far")


def edge_at(survey: Survey, side: str) -> float:
    """Return the diameter at which a face or chamfer begins: the bore's, or that of the step on its side. [m]"""
    steps = [step.nominal_diameter for step in survey.bore.steps if step.side == side]
    return steps[0] if steps else survey.sizes.finish
