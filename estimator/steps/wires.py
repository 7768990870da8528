"""Which other wires may pay their change: in all bores of a job, or in those alone where one comes out better.

Asked of the search, by its cost; whether one does pay is for the bill to say, waits, days and nights included.
"""

from collections import Counter
from collections.abc import Sequence

from estimator.book.scale import Scale
from estimator.inputs import Inputs
from estimator.job.options import Aim
from estimator.plans import BorePlan
from estimator.tables import Tables
from estimator.weld.cases import Case, aim_of
from estimator.weld.floor import floor_of
from estimator.weld.search import search

__all__ = ["Wires", "aim_in", "change_time", "changes_in", "wires_to_try"]

Wires = tuple[str | None, ...]
MOST = 2  # ways to change wires that are priced in full


def aim_in(bores: Sequence[BorePlan]) -> Aim:
    """Return the aim that all bores have in common; the least cost where they differ."""
    aims = {one.weld.aim for one in bores}
    return aims.pop() if len(aims) == 1 else "cost"


def change_time(day: Inputs) -> float:
    """Return how long it takes to change the wire, and the gas that goes with it. [s]"""
    return day.times["change_wire"] + day.times["change_gas"]


def changes_in(bores: Sequence[BorePlan]) -> int:
    """Return how often a wire is changed for another in a job."""
    return len({one.weld.wire.name for one in bores}) - 1


def wires_to_try(bores: Sequence[BorePlan], scale: Scale, day: Inputs) -> list[Wires]:
    """Return the ways to weld some bores with another wire that the search finds better by more than the change."""
    aim = aim_in(bores)
    least = {"cost": scale.time, "hours": 1.0, "heat": 0.0}[aim] * change_time(day)
    names = dict.fromkeys(case.wire.name for one in bores for case in one.weld.others)
    found: list[tuple[float, Wires]] = []
    for name in names:
        if sum(max(0.0, _floor_saves(one, name, aim)) for one in bores) > least:
            found += _ways(name, [_saves(one, name, aim, scale.book.facts) for one in bores], bores, least)
    best = sorted(found, key=lambda one: -round(one[0], PLACES))
    return list(dict.fromkeys(wires for _, wires in best))[:MOST]


PLACES = 6  # of the currency, or of a second: ways nearer together than that come in the order of the wires


def _case(one: BorePlan, name: str) -> Case | None:
    return next((case for case in one.weld.others if case.wire.name == name), None)


def _floor_saves(one: BorePlan, name: str, aim: Aim) -> float:
    """Return the most that another wire may save in a bore."""
    case = _case(one, name)
    return 0.0 if case is None or one.weld.weighed is None else aim_of(one.weld.weighed, aim) - floor_of(case)


def _saves(one: BorePlan, name: str, aim: Aim, facts: Tables) -> float | None:
    """Return what another wire saves in a bore by its cost in the search; None where it does not serve as well."""
    if one.weld.wire.name == name:
        return 0.0
    case, now = _case(one, name), one.weld.weighed
    if case is None or now is None:
        return None
    (found,) = search([case], facts, beside=False)
    if found.best is None or not found.comfortable:
        return None
    return aim_of(now, aim) - aim_of(found.best, aim)


def _ways(
    name: str, saves: Sequence[float | None], bores: Sequence[BorePlan], least: float
) -> list[tuple[float, Wires]]:
    """Return the ways to weld with a wire that save more than its change: all bores that it serves, or some."""
    found = list[tuple[float, Wires]]()
    for wanted in (lambda save: save is not None, lambda save: save is not None and save > 0):
        taken = [wanted(save) for save in saves]
        wires: Wires = tuple(name if here else one.weld.wire.name for here, one in zip(taken, bores, strict=True))
        more = len(Counter(wires)) - 1 - changes_in(bores)
        saved = sum(save for save, here in zip(saves, taken, strict=True) if here and save is not None) - more * least
        new = name not in {one.weld.wire.name for one in bores}
        if any(taken) and saved > (least if new else 0.0):
            found.append((saved, wires))
    return found
