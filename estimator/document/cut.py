"""What cuts a bore and what each pass takes, in the estimate document."""

from typing import Any, NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.cut.passes import Pass as Cut
from estimator.express import all_shown, shown
from estimator.plans import BoreFigures
from estimator.tables.messages import text_of

__all__ = ["Machining", "Pass", "machining_of", "pass_of"]


class Pass(TypedDict):
    """One pass: `limit` says what held its depth; bending of the bar and roughness of the bar's own passes only."""

    purpose: str
    from_mm: float
    to_mm: float
    depth_mm: float
    speed_m_min: float
    rpm: float
    feed_mm_rev: float
    time_min: float
    power_kW: float
    force_N: float
    torque_Nm: float
    edge_life_min: float
    edges: float
    deflection_mm: NotRequired[float]
    ra_um: NotRequired[float]
    rz_um: NotRequired[float]
    limit: str


class Machining(TypedDict):
    """What is cut, and with which bar; `bearing_after_mm` is null where the bar is overhung."""

    precut_volume_mm3: float
    finish_volume_mm3: float
    time_min: float
    chips_L: float
    machine: str
    bar: str
    bar_diameter_mm: float
    supports: str
    bearing_before_mm: float
    bearing_after_mm: float | None
    roughness_um: float
    measuring_stops: int
    edges: float
    passes: list[Pass]


def pass_of(one: Cut, time: float, life: float, edges: float) -> dict[str, Any]:
    """Return a pass under the document's keys; `time` and `life` of its edge [s], `edges` that it uses up."""
    work = one.work
    keys = {
        "from_mm": one.start,
        "to_mm": one.end,
        "depth_mm": one.depth,
        "speed_m_min": one.speed,
        "rpm": one.turning,
        "feed_mm_rev": one.feed,
        "time_min": time,
        "power_kW": work.power,
        "force_N": work.force,
        "torque_Nm": work.torque,
        "edge_life_min": life,
        "edges": edges,
    }
    perhaps = {"deflection_mm": one.deflection, "ra_um": one.ra, "rz_um": one.rz}
    more = {key: shown(key, value) for key, value in perhaps.items() if value is not None}
    return {"purpose": one.purpose, **all_shown(keys), **more, "limit": text_of(one.limit)}


def machining_of(one: BoreFigures, book: PriceBook) -> dict[str, Any]:
    """Return what is cut of a bore, by which bar, and in which passes."""
    cut, used = one.plan.cut, one.supplies.edges
    bar = cut.bar
    passes = zip((*cut.before, *cut.between, *cut.after), one.time.pass_times, strict=True)
    keys = {
        "precut_volume_mm3": one.precut_volume,
        "finish_volume_mm3": one.finish_volume,
        "time_min": one.time.cutting,
        "chips_L": one.chips,
        "bar_diameter_mm": bar.diameter,
        "bearing_before_mm": bar.span.before,
        "roughness_um": cut.roughness,
        "measuring_stops": cut.measures,
        "edges": used.total,
    }
    far = bar.span.after
    return {
        **all_shown(keys),
        "bearing_after_mm": None if far is None else shown("bearing_after_mm", far),
        "machine": book.equipment.name,
        "bar": bar.name,
        "supports": text_of(bar.supports),
        "passes": [
            pass_of(each, time, used.lives[number], used.edges[number]) for number, (each, time) in enumerate(passes)
        ],
    }
