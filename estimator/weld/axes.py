"""What a search tries of each quantity: currents, whole turns, whole layers of a round thickness."""

import math

from estimator.either import whole_up
from estimator.weld.cases import Case

__all__ = ["TIE", "currents_of", "layers_of", "turns_of"]

TURN_CHOICES, LAYER_CHOICES, CURRENT_CHOICES = 14, 3, 24
CLOSER = 16  # steps of the raster below a plan that a finer search looks at
FINER = 10  # steps of a finer search in one of the first
THICKER = (0, 1, 2, 5, 10, 20, 35, 60)  # steps of the raster above the thinnest layer that builds enough
TIE = 1e-9  # relative: plans this near are equal, and the order of ties decides


def currents_of(case: Case, spacing: float) -> list[float]:
    """Return rising currents: evenly spaced, with the ends of the windows; close about a plan that is known. [A]"""
    if case.ask.current is not None:
        return [case.ask.current]
    must = case.windows["must"]["current"]
    low, high = max(case.wire.current_low, must.low), min(case.wire.current_high, must.high)
    if low > high:
        return [low]
    if case.near is not None:
        fine = [case.near.current + spacing * n / FINER for n in range(-FINER, FINER + 1)]
        return [amps for amps in fine if low * (1 - TIE) <= amps <= high * (1 + TIE)]
    count = min(int((high - low) / spacing * (1 + 1e-9)), CURRENT_CHOICES - 2)
    comfort = case.windows["comfort"]["current"]
    ends = [end for end in (comfort.low, comfort.high) if low <= end <= high]
    return _apart(sorted([*(low + spacing * n for n in range(count + 1)), high, *ends]))


def _apart(values: list[float]) -> list[float]:
    """Return rising values, of those that are the same to rounding only the last."""
    return [one for one, after in zip(values, [*values[1:], math.inf], strict=True) if after - one > TIE * one]


def turns_of(case: Case) -> list[tuple[float, float]]:
    """Return whole turns over the bore's length, each with the step that it makes."""
    ask, steps = case.ask, case.windows["must"]["step"]
    if ask.step is not None:
        return [(float(whole_up(ask.length / ask.step)), ask.step)]
    fewest = max(1, int(whole_up(ask.length / steps.high)))
    most = max(fewest, int(ask.length / steps.low * (1 + 1e-9)))
    count = min(TURN_CHOICES, most - fewest + 1)
    reach = -(-(most - fewest) // max(1, count - 1))
    if case.near is not None:
        turns = int(whole_up(ask.length / case.near.step))
        about = range(max(fewest, turns - reach), min(most, turns + reach) + 1)
        return [(float(turns), ask.length / turns) for turns in about]
    chosen = {round(fewest + (most - fewest) * n / max(1, count - 1)) for n in range(count)}
    return [(float(turns), ask.length / turns) for turns in sorted(chosen)]


def layers_of(case: Case, spacing: float) -> list[tuple[float, float]]:
    """Return numbers of layers with the thickness each is laid: round thicknesses that build enough.

    The thicknesses lie on one raster for all bores. What serves a deeper bore then serves a shallower one, so that
    more wear never comes out quicker.
    """
    ask, thickness = case.ask, case.windows["must"]["layer_thickness"]
    if ask.thickness is not None:
        return [(float(ask.layers or 1), ask.thickness)]
    fewest = max(1, int(case.windows["must"]["layers"].low), int(whole_up(ask.build / thickness.high)))
    counts = [fewest + n for n in range(LAYER_CHOICES)] if ask.layers is None else [ask.layers]
    pairs = []
    for count in counts:
        least = (ask.build + ask.skim * (count - 1)) / count
        steps = int(whole_up(max(least, thickness.low) / spacing))
        if case.near is not None:
            if count == case.near.layers:
                fine = [case.near.thickness - spacing * n for n in range(-CLOSER // 2, CLOSER)]
                pairs += [(float(count), each) for each in fine if each >= steps * spacing * (1 - TIE)]
            continue
        calm = case.windows["comfort"]["layer_thickness"]
        ends = [end for end in (calm.low, calm.high) if end >= steps * spacing]
        pairs += [(float(count), each) for each in [*((steps + n) * spacing for n in THICKER), *ends]]
    return pairs
