"""What a bore has besides a plain cylinder, in the estimate document."""

from collections.abc import Iterator
from typing import Literal

from typing_extensions import TypedDict

from estimator.document.cut import Pass, pass_of
from estimator.express import all_shown
from estimator.features.figures import FeatureFigures
from estimator.plans import BoreFigures
from estimator.tables.messages import text_of

__all__ = ["Feature", "features_of"]


class Feature(TypedDict):
    """What a bore has besides a plain cylinder, and what it takes.

    `stage`: its metal is laid before the clean-up cut, or after the last layer; `hot`: ground or welded before it.
    """

    code: str
    name: str
    text: str
    stage: Literal["before", "after"]
    hot: bool
    fill_volume_mm3: float
    fill_mass_kg: float
    arc_time_min: float
    removed_volume_mm3: float
    ground_volume_mm3: float
    grinding_min: float
    time_min: float
    passes: list[Pass]


def _feature(one: FeatureFigures, edges: Iterator[tuple[float, float]]) -> Feature:
    """Return one feature of a bore; `edges`: life of an edge and edges used of each pass over features, in turn."""
    feature = one.feature
    passes = zip((*feature.before, *feature.after), one.cutting, strict=True)
    return all_shown(
        Feature(
            code=feature.code,
            name=feature.name,
            text=text_of(feature.text),
            stage=feature.stage,
            hot=feature.hot,
            fill_volume_mm3=feature.fill,
            fill_mass_kg=one.mass,
            arc_time_min=one.arc_time,
            removed_volume_mm3=feature.removed,
            ground_volume_mm3=feature.ground,
            grinding_min=one.grinding,
            time_min=one.total,
            passes=[pass_of(each.one, time, *next(edges)) for each, time in passes],
        )
    )


def features_of(one: BoreFigures) -> list[Feature]:
    """Return the features of a bore under the document's keys."""
    own, used = len(one.time.pass_times), one.supplies.edges
    edges = zip(used.lives[own:], used.edges[own:], strict=True)
    return [_feature(each, edges) for each in one.features]
