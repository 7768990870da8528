"""What the features of a bore take: arc time, hand work, cutting. No choices; scalars or arrays."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.book.calibration import by_shop
from estimator.cut.passes import pass_time
from estimator.features.feature import BEFORE, Feature, FeaturePass
from estimator.formula import choice, formula, summed
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.weld import arc
from estimator.weld.build import Build
from estimator.weld.plan import WeldPlan

NOTHING: Mapping[str, float] = {}

__all__ = ["FeatureFigures", "features_of", "fill_time", "grinding_time"]


@dataclass(frozen=True)
class FeatureFigures:
    """What one feature takes. [SI]; `phases`: its time by phase of the bore's time."""

    feature: Feature
    mass: float
    arc_time: float
    cutting: tuple[float, ...]
    grinding: float
    phases: Mapping[str, float]
    total: float


@formula(
    "arc_time",
    "definition: mass over deposition rate, at the share a torch led by hand reaches",
    "from memory",
    unit="s",
)
def fill_time(mass: float, deposition_rate: float, rate_share: float) -> float:
    """Arc time of a fill at a share of the bore's own deposition rate. [s]"""
    return mass / (deposition_rate * rate_share)


@formula("grinding", "volume over the rate of a hand grinder", "from memory", unit="s")
def grinding_time(ground: float, grinding_rate: float) -> float:
    """Time to grind a volume of steel away by hand. [s]"""
    return ground / grinding_rate


@formula("element_time", "time standard times how often it is done", "computed", unit="s")
def element_time(duration: float, count: int) -> float:
    """Time of an element of work. [s]"""
    return duration * count


def _cutting(passes: Sequence[FeaturePass], facts: Tables) -> list[float]:
    return [pass_time(each.path, facts.constant("approach"), each.one.feed, each.one.turning) for each in passes]


def _figures(
    feature: Feature, weld: WeldPlan, built: Build, facts: Tables, inputs: Inputs, factors: Mapping[str, float]
) -> FeatureFigures:
    mass = arc.mass_of(feature.fill, weld.wire.deposit_density)
    time = fill_time(mass, built.deposition_rate, facts.constant("fill_rate_share"))
    ground = grinding_time(feature.ground, facts.constant("grinding_rate"))
    before, after = _cutting(feature.before, facts), _cutting(feature.after, facts)
    first = feature.stage == BEFORE
    parts: dict[str, list[float]] = {"weld": [] if first else [time], "precut": [*before, ground], "finish": [*after]}
    parts["precut"] += [time] if first else []
    for row in facts.rows("times").values():
        if isinstance(row, TimeStandard) and (count := feature.counts.get(row.basis, 0)):
            number = choice(count, "count", f"{row.meaning}: counted per {row.basis}")
            parts.setdefault(row.phase, []).append(element_time(inputs.times[row.code], number))
    phases = {phase: by_shop(summed(phase, "s", *each), phase, factors) for phase, each in parts.items() if each}
    total = summed("total", "s", *phases.values())
    return FeatureFigures(
        feature=feature,
        mass=mass,
        arc_time=time,
        cutting=(*before, *after),
        grinding=ground,
        phases=phases,
        total=total,
    )


def features_of(
    features: Sequence[Feature],
    weld: WeldPlan,
    built: Build,
    facts: Tables,
    inputs: Inputs,
    factors: Mapping[str, float] = NOTHING,
) -> tuple[FeatureFigures, ...]:
    """Return what each feature takes; `factors`: what recorded jobs have taught, by element."""
    return tuple(_figures(feature, weld, built, facts, inputs, factors) for feature in features)
