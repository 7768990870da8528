"""What a bore has besides a plain cylinder, in the estimate document."""

from typing import Any

from estimator.express import all_shown
from estimator.features.figures import FeatureFigures
from estimator.features.plan import FeaturePass

__all__ = ["feature_of"]


def _pass(one: FeaturePass, time: float) -> dict[str, Any]:
    each = one.one
    keys = {"from_mm": each.start, "to_mm": each.end, "depth_mm": each.depth, "speed_m_min": each.speed}
    keys |= {"rpm": each.turning, "feed_mm_rev": each.feed, "time_min": time, "power_kW": each.power}
    return {"purpose": each.purpose, **all_shown(keys)}


def feature_of(one: FeatureFigures) -> dict[str, Any]:
    """Return one feature of a bore under the document's keys."""
    feature = one.feature
    keys = {
        "fill_volume_mm3": feature.fill,
        "fill_mass_kg": one.mass,
        "arc_time_min": one.arc_time,
        "removed_volume_mm3": feature.removed,
        "ground_volume_mm3": feature.ground,
        "grinding_min": one.grinding,
        "time_min": one.total,
    }
    passes = zip((*feature.before, *feature.after), one.cutting, strict=True)
    return {
        "code": feature.code,
        "name": feature.name,
        "text": feature.text,
        **all_shown(keys),
        "passes": [_pass(each, time) for each, time in passes],
    }
