"""The axis goes along when its line is turned, moved, resized or listed in another order; rules and wear only cost."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.bore.axis import AxisChoice, CentreDistance, Datum, Ring, least_deposit_axis
from tests.depth import deep
from tests.estimator.bore.lines import MM, WornLine, volumes, worn_line

SAME = 1e-7  # the least volume is known to 1e-7 of itself, so two searches may end that far apart
SOME = settings(max_examples=deep(25, 5), suppress_health_check=[HealthCheck.too_slow])


def _best(line: WornLine) -> AxisChoice:
    return least_deposit_axis(line.rings, line.datums, line.distance)


def _turned(line: WornLine, angle: float) -> WornLine:
    """Return a line turned about the wire."""
    c, s = math.cos(angle), math.sin(angle)

    def turn(x: float, y: float) -> tuple[float, float]:
        return c * x - s * y, s * x + c * y

    rings = [
        dataclasses.replace(one, x=c * one.x - s * one.y, y=s * one.x + c * one.y, original=turn(*one.original))
        for one in line.rings
    ]
    datums = [dataclasses.replace(one, x=turn(one.x, one.y)[0], y=turn(one.x, one.y)[1]) for one in line.datums]
    far = line.distance
    if far is not None:
        far = dataclasses.replace(far, x=turn(far.x, far.y)[0], y=turn(far.x, far.y)[1])
    return WornLine(rings, datums, far)


def _moved(line: WornLine, along: float) -> WornLine:
    """Return a line further along the wire."""
    rings = [dataclasses.replace(one, start=one.start + along, z=one.z + along) for one in line.rings]
    datums = [dataclasses.replace(one, start=one.start + along) for one in line.datums]
    return WornLine(rings, datums, line.distance)


def _sized(line: WornLine, by: float) -> WornLine:
    """Return a line with every length in another unit."""

    def sized(one: Ring | Datum | CentreDistance) -> dict[str, object]:
        changes: dict[str, object] = {}
        for field in dataclasses.fields(one):
            value = getattr(one, field.name)
            if isinstance(value, tuple):
                changes[field.name] = tuple(by * item for item in value)
            elif value is not None and not isinstance(value, str):
                changes[field.name] = by * value
        return changes

    rings = [dataclasses.replace(one, **sized(one)) for one in line.rings]  # pyrefly: ignore[bad-argument-type] # fields of the same
    datums = [dataclasses.replace(one, **sized(one)) for one in line.datums]  # pyrefly: ignore[bad-argument-type] # fields of the same
    far = line.distance
    return WornLine(rings, datums, None if far is None else dataclasses.replace(far, **sized(far)))  # pyrefly: ignore[bad-argument-type] # the same


@given(st.integers(0, 10_000), st.floats(-math.pi, math.pi), st.floats(-2.0, 2.0), st.floats(0.02, 50.0))
@SOME
def test_turning_moving_and_resizing_the_line_take_the_axis_along(
    seed: int, angle: float, along: float, by: float
) -> None:
    line = worn_line(seed)
    here = _best(line)
    turned, moved, sized = _best(_turned(line, angle)), _best(_moved(line, along)), _best(_sized(line, by))
    for other, scale in ((turned, 1.0), (moved, 1.0), (sized, by)):
        assert other.feasible is here.feasible
        assert other.required_volume / scale**3 == pytest.approx(here.required_volume, rel=SAME)
    # the same axis in the other frame costs the same, to rounding
    c, s = math.cos(angle), math.sin(angle)
    x0, y0, sx, sy = (here.x0, here.y0, here.sx, here.sy)
    there = np.array([c * x0 - s * y0, s * x0 + c * y0, c * sx - s * sy, s * sx + c * sy])
    assert volumes(_turned(line, angle), there[None])[0] == pytest.approx(here.required_volume, rel=1e-12)
    along_it = np.array([x0 - sx * along, y0 - sy * along, sx, sy])
    assert volumes(_moved(line, along), along_it[None])[0] == pytest.approx(here.required_volume, rel=1e-11)


@given(st.integers(0, 10_000), st.data())
@SOME
def test_the_order_of_bores_and_points_does_not_matter(seed: int, data: st.DataObject) -> None:
    line = worn_line(seed)
    rings = data.draw(st.permutations(line.rings))
    mixed = [dataclasses.replace(one, x=one.x[::-1], y=one.y[::-1], z=one.z[::-1]) for one in rings]
    other = least_deposit_axis(mixed, line.datums, line.distance)
    here = _best(line)
    assert other.feasible is here.feasible
    assert other.required_volume == pytest.approx(here.required_volume, rel=SAME)
    assert sorted(other.binding) == sorted(here.binding)


@given(st.integers(0, 10_000), st.floats(0.0, 0.5))
@SOME
def test_tighter_rules_never_save_metal(seed: int, less: float) -> None:
    line = worn_line(seed)
    tighter = [
        one if one.position_tolerance is None
        else dataclasses.replace(one, position_tolerance=(1 - less) * one.position_tolerance)
        for one in line.rings
    ]  # fmt: skip
    here, other = _best(line), least_deposit_axis(tighter, line.datums, line.distance)
    assert not other.feasible or other.required_volume >= here.required_volume * (1 - SAME)


@given(st.integers(0, 10_000), st.floats(0.0, 2.0))
@SOME
def test_more_wear_never_saves_metal(seed: int, more: float) -> None:
    line = worn_line(seed)
    first = line.rings[0]
    deeper = dataclasses.replace(first, x=first.x.copy(), most_radius=None)
    deeper.x[int(np.argmax(first.x))] += more * MM
    free = [dataclasses.replace(first, most_radius=None), *line.rings[1:]]
    here = least_deposit_axis(free, line.datums, line.distance)
    other = least_deposit_axis([deeper, *line.rings[1:]], line.datums, line.distance)
    assert other.feasible is here.feasible or not other.feasible
    assert not other.feasible or other.required_volume >= here.required_volume * (1 - SAME)
