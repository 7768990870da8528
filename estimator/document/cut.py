"""What cuts a bore and what each pass takes, in the estimate document."""

from typing import NotRequired

from typing_extensions import TypedDict

from estimator.book.pricebook import PriceBook
from estimator.cut.gauging import Gauging
from estimator.cut.passes import Pass as Planned
from estimator.express import all_shown
from estimator.plans import BoreFigures
from estimator.tables.messages import text_of

__all__ = ["Machining", "Pass", "machining_of", "pass_of"]


class Cutting(TypedDict):
    """What one pass does; bending of the bar and roughness of the bar's own passes only."""

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


class Pass(Cutting):
    """One pass: `limit` held its depth, `speed_limit` its speed; bending and roughness of the bar's own passes only."""

    limit: str
    speed_limit: NotRequired[str]
    interrupted: bool


class Gauged(TypedDict):
    """What the bore gauge can prove: readings from, to, its uncertainty off the limits."""

    gauge_uncertainty_mm: float
    accept_min_mm: float
    accept_max_mm: float


class Machining(TypedDict):
    """What is cut, and with which bar; `bearing_after_mm` is null where the bar is overhung.

    `accept_min_mm`, `accept_max_mm`: readings that prove the size, the gauge's uncertainty off the limits.
    """

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
    gauge_uncertainty_mm: NotRequired[float]
    accept_min_mm: NotRequired[float]
    accept_max_mm: NotRequired[float]
    grade: NotRequired[str]
    edges: float
    passes: list[Pass]


def pass_of(one: Planned, time: float, life: float, edges: float) -> Pass:
    """Return a pass under the document's keys; `time` and `life` of its edge [s], `edges` that it uses up."""
    work = one.work
    found = Cutting(
        purpose=one.purpose,
        from_mm=one.start,
        to_mm=one.end,
        depth_mm=one.depth,
        speed_m_min=one.speed,
        rpm=one.turning,
        feed_mm_rev=one.feed,
        time_min=time,
        power_kW=work.power,
        force_N=work.force,
        torque_Nm=work.torque,
        edge_life_min=life,
        edges=edges,
    )
    if one.deflection is not None:
        found["deflection_mm"] = one.deflection
    if one.ra is not None:
        found["ra_um"] = one.ra
    if one.rz is not None:
        found["rz_um"] = one.rz
    whole: Pass = {**all_shown(found), "limit": text_of(one.limit), "interrupted": one.broken}
    return whole if one.pace is None else {**whole, "speed_limit": text_of(one.pace)}


def machining_of(one: BoreFigures, book: PriceBook) -> Machining:
    """Return what is cut of a bore, by which bar, and in which passes."""
    cut, used, bar = one.plan.cut, one.supplies.edges, one.plan.cut.bar
    passes = zip((*cut.before, *cut.between, *cut.after), one.time.pass_times, strict=True)
    found = all_shown(
        Machining(
            precut_volume_mm3=one.precut_volume,
            finish_volume_mm3=one.finish_volume,
            time_min=one.time.cutting,
            chips_L=one.chips,
            bar_diameter_mm=bar.diameter,
            bearing_before_mm=bar.span.before,
            roughness_um=cut.roughness,
            measuring_stops=cut.measures,
            edges=used.total,
            bearing_after_mm=bar.span.after,
            machine=book.equipment.name,
            bar=bar.name,
            supports=text_of(bar.supports),
            passes=[
                pass_of(each, time, used.lives[number], used.edges[number])
                for number, (each, time) in enumerate(passes)
            ],
        )
    )
    gauging = cut.gauging
    if gauging is None:
        return found
    return {**found, **all_shown(_gauged(gauging)), "grade": gauging.grade}


def _gauged(one: Gauging) -> Gauged:
    return Gauged(gauge_uncertainty_mm=one.uncertainty, accept_min_mm=one.accept_min, accept_max_mm=one.accept_max)
