"""Shadow prices: what loosening a limit by one unit would save, found by searching again with the looser limit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from estimator.tables import Tables
from estimator.units import factor
from estimator.weld.cases import Case, aim_of
from estimator.weld.search import Found, best_of
from estimator.weld.technique import Window, Windows

__all__ = ["Shadow", "loosened", "shadows"]

UNIT = {
    "current": (1.0, "A"),
    "travel_speed": (0.1, "mm/s"),
    "step": (0.1, "mm"),
    "layer_thickness": (0.1, "mm"),
    "bead_area": (1.0, "mm2"),
    "heat_input": (0.1, "kJ/mm"),
}
PLAIN = {"step_ratio": 0.01, "layers": 1.0}
NEAR = 0.05  # relative: an end nearer than this may hold the plan
LEAST = 1e-6  # relative: what counts as a saving


@dataclass(frozen=True)
class Shadow:
    """What one limit costs: its name and reason, by how much it was loosened, what that saves by the plan's aim."""

    limit: str
    reason: str
    quantity: str
    by: str
    saves: float


def unit_of(quantity: str) -> tuple[float, str]:
    """Return by how much a limit of a quantity is loosened, in SI and in words."""
    if quantity in PLAIN:
        return PLAIN[quantity], f"{PLAIN[quantity]:g}"
    number, symbol = UNIT[quantity]
    return number * factor(symbol), f"{number:g} {symbol}"


def loosened(windows: Windows, scope: str, quantity: str, end: str) -> Windows:
    """Return the windows with one end of one quantity a unit looser."""
    by, _ = unit_of(quantity)
    must, calm = windows["must"][quantity], windows["comfort"][quantity]
    if scope == "must":
        must, met = _moved(must, end, by), calm
        alike = getattr(calm, end) == getattr(windows["must"][quantity], end)
        calm = _moved(met, end, by) if alike else met
    else:
        calm = _moved(calm, end, by)
    own = {"must": {**windows["must"], quantity: must}, "comfort": {**windows["comfort"], quantity: calm}}
    return {**windows, **own}


def _moved(window: Window, end: str, by: float) -> Window:
    return replace(window, low=window.low - by) if end == "low" else replace(window, high=window.high + by)


def _ends(case: Case, values: Mapping[str, float]) -> list[tuple[str, str, str]]:
    """Return the ends of windows (scope, quantity, end) that a plan stands near."""
    found = []
    for quantity, value in values.items():
        for scope in ("must", "comfort"):
            window = case.windows[scope][quantity]
            for end, rows in (("low", window.low_row), ("high", window.high_row)):
                limit = getattr(window, end)
                same = scope == "comfort" and limit == getattr(case.windows["must"][quantity], end)
                if rows and not same and abs(value - limit) <= NEAR * abs(limit):
                    found.append((scope, quantity, end))
    return found


def shadows(cases: Sequence[tuple[Case, Found]], facts: Tables) -> list[tuple[Shadow, ...]]:
    """Return what each limit that binds a plan costs, for several cases with what was found for them."""
    asked = [(number, end) for number, (case, found) in enumerate(cases) for end in _ends(case, found.values)]
    looser = [replace(cases[n][0], windows=loosened(cases[n][0].windows, *end)) for n, end in asked]
    told: list[list[Shadow]] = [[] for _ in cases]
    for (number, end), hit in zip(asked, (best_of(one, facts) for one in looser), strict=True):
        case, found = cases[number]
        if found.best is None or hit is None:
            continue
        saves = aim_of(found.best, case.aim) - aim_of(hit, case.aim)
        if saves > LEAST * abs(aim_of(found.best, case.aim)):
            told[number].append(_shadow(case, *end, saves))
    return [tuple(sorted(one, key=lambda shadow: -shadow.saves)) for one in told]


def _shadow(case: Case, scope: str, quantity: str, end: str, saves: float) -> Shadow:
    window = case.windows[scope][quantity]
    rows = window.low_row if end == "low" else window.high_row
    name, reason = "; ".join(row.name for row in rows), "; ".join(row.reason for row in rows)
    return Shadow(name, reason, quantity.replace("_", " "), unit_of(quantity)[1], saves)
