"""What happened on site, as it was recorded, set beside the estimate of the quote.

A finished size conforms where it lies inside its limits by more than the uncertainty of the gauge, and does not conform
where it lies outside them by more than that; between the two the gauge cannot tell.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from estimator.after.asked import Usual, question_of
from estimator.after.planned import TIMES, planned_of
from estimator.after.record import DoneBore, Finished, Happened, read_happened
from estimator.document.bore import Bore
from estimator.document.sizes import Sizes
from estimator.estimate import Estimate
from estimator.express import digits
from estimator.tables import Tables
from estimator.tables.messages import text_of
from estimator.tables.rows import Gauge

__all__ = ["Happened", "judged", "read_happened", "verdict"]

HUNDREDTH = 0.01  # [mm] to which wear is read
COVERAGE = 2.0  # standard uncertainties; about 95 % of a normal distribution
MILLI, KELVIN, MINUTE, LITRE = 1e-3, 273.15, 60.0, 1e-3
Verdict = Literal["conforms", "does not conform", "not proven"]
# Key of a record, its SI number per document unit, and where the estimate says the same.
KINDS: dict[str, tuple[str, float, tuple[tuple[str, str], ...]]] = {
    "arc_time": ("arc_time_min", MINUTE, (("buildup", "arc_time_min"),)),
    "wire": ("wire_kg", 1.0, (("consumption", "wire_kg"),)),
    "gas": ("gas_L", LITRE, (("consumption", "gas_L"),)),
    "tips": ("tips", 1.0, (("consumption", "tips"),)),
    "setup": ("setup_min", MINUTE, (("time", "setup_min"),)),
    "machining": ("machining_min", MINUTE, (("time", "precut_min"), ("time", "finish_min"))),
    "on_site": ("on_site_min", MINUTE, (("time", "total_min"),)),
    **{name: (f"{name}_min", MINUTE, (("time", f"{name}_min"),)) for name in TIMES if name != "setup"},
}


def verdict(diameter: float, low: float, high: float, uncertainty: float) -> Verdict:
    """Return whether a diameter lies within its limits.

    Guarded acceptance and guarded rejection with a guard band of U = 2 u (JCGM 106:2012, 8.3.2 and 8.3.3; published).

    Parameters
    ----------
    diameter
        As gauged [m]
    low, high
        Limits of size [m]
    uncertainty
        Standard uncertainty of a reading [m]
    """
    band = COVERAGE * uncertainty
    if low + band <= diameter <= high - band:
        return "conforms"
    return "does not conform" if diameter < low - band or diameter > high + band else "not proven"


def judged(found: Happened, estimate: Estimate, facts: Tables) -> dict[str, Any]:
    """Return a record set beside its estimate: recorded against estimated, verdicts of sizes, remarks, questions."""
    planned = {bore["name"]: bore for bore in estimate["bores"]}
    bores = [_bore(bore, planned[bore.name], facts) for bore in found.bores]
    remarks = [remark for bore in found.bores for remark in _remarks(bore, planned[bore.name])]
    for bore in bores:
        off = [size for size in bore["finished"] if size["verdict"] != "conforms"]
        remarks += [f"bore {bore['name']}: {size['diameter_mm']:g} mm {size['verdict']}" for size in off]
    asked = [one for bore in found.bores for one in _asked(bore, planned[bore.name])]
    who = {key: said for key in ("finished_at", "crew", "rig") if (said := getattr(found, key)) is not None}
    return {"bores": bores, "remarks": remarks, "asked_about": asked, **who}


def _asked(bore: DoneBore, planned: Bore) -> Iterator[dict[str, str]]:
    """Yield what is asked about a bore's record before it counts."""
    for key, (_, unit, places) in KINDS.items():
        value = getattr(bore, key)
        question = None if value is None else question_of(key, value, unit * _said(planned, places), Usual(), bore.sure)
        if question is not None:
            yield {"bore": bore.name, "key": key, "question": text_of(question)}


def _said(planned: Bore, places: tuple[tuple[str, str], ...]) -> float:
    """Return what the estimate says at some places together."""
    rooms: Mapping[str, Any] = planned  # read by the places that the table names
    return float(sum(rooms[room][name] for room, name in places))


def _bore(bore: DoneBore, planned: Bore, facts: Tables) -> dict[str, Any]:
    taken: dict[str, dict[str, float]] = {}
    for kind, (key, unit, places) in KINDS.items():
        value = getattr(bore, kind)
        if value is not None:
            said = _said(planned, places)
            taken[key] = {"recorded": digits(places[0][1], value / unit), "estimated": digits(places[0][1], said)}
    sizes = _sizes(bore.finished, planned["sizes"], facts)
    return {
        "name": bore.name,
        "taken": taken,
        "finished": sizes,
        "planned": planned_of(planned),
        "sure": list(bore.sure),
    }


def _sizes(finished: Finished | None, sizes: Sizes, facts: Tables) -> list[dict[str, Any]]:
    if finished is None:
        return []
    usual = facts.row("gauges", "diameter", Gauge).uncertainty
    doubt = usual if finished.uncertainty is None else finished.uncertainty
    low, high = sizes["finish_min_mm"] * MILLI, sizes["finish_max_mm"] * MILLI
    return [
        {
            "depth_mm": digits("depth_mm", one.depth / MILLI),
            "clock": one.clock,
            "diameter_mm": digits("diameter_mm", one.diameter / MILLI),
            "uncertainty_mm": digits("diameter_uncertainty_mm", doubt / MILLI),
            "verdict": verdict(one.diameter, low, high, doubt),
        }
        for one in finished.stations
    ]


def _remarks(bore: DoneBore, planned: Bore) -> Iterator[str]:
    """Yield where heat was other than was asked for."""
    heat, quoted = planned["heat"], planned["wear"]["max_radial_wear_mm"]
    if bore.wear is not None and bore.wear / MILLI > quoted + HUNDREDTH:
        yield f"bore {bore.name}: {bore.wear / MILLI:.2f} mm worn a side, {quoted:.2f} were quoted: offer a variation"
    if bore.preheat_read is not None and bore.preheat_read - KELVIN < heat["preheat_C"]:
        yield f"bore {bore.name}: {bore.preheat_read - KELVIN:.0f} degC read, {heat['preheat_C']:.0f} preheat was asked"
    if bore.interpass_read is not None and bore.interpass_read - KELVIN > heat["interpass_max_C"]:
        read, most = bore.interpass_read - KELVIN, heat["interpass_max_C"]
        yield f"bore {bore.name}: {read:.0f} degC read between layers, {most:.0f} was the most"
