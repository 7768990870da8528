"""Limits of technique: every bound is a row with its reason; here they meet the wire, axis and wall at hand."""

from dataclasses import dataclass

from estimator.tables import Tables
from estimator.tables.rows import Limit
from estimator.units import deci

__all__ = ["BOUNDED", "Situation", "Window", "Windows", "bound", "windows_of"]

SLACK = 1e-9  # relative: a value computed to its bound is on it, not over it
BOUNDED = ("current", "travel_speed", "step", "step_ratio", "layer_thickness", "bead_area", "heat_input", "layers")
UNITS = {
    "current": "A",
    "travel_speed": "mm/s",
    "step": "mm",
    "layer_thickness": "mm",
    "bead_area": "mm2",
    "heat_input": "kJ/mm",
    "wall": "mm",
    "wind": "m/s",
    "bore": "mm",
    "wear": "mm",
    "method B thickness": "mm",
    "method B heat input": "kJ/mm",
    "hardness cooling time": "s",
}


@dataclass(frozen=True)
class Situation:
    """What decides which limits hold: wire kind, axis, thin wall or not, hardenable steel or not."""

    kind: str
    axis: str
    thin: bool = False
    hardenable: bool = False

    def meets(self, limit: Limit) -> bool:
        """Return whether a limit holds here."""
        walls = {"any", "thin" if self.thin else "thick"} | ({"hardenable"} if self.hardenable else set())
        return limit.kind in ("any", self.kind) and limit.axis in ("any", self.axis) and limit.wall in walls


def _shown(quantity: str, value: float) -> str:
    unit = UNITS.get(quantity)
    return f"{deci(value, unit):.6g} {unit}" if unit else f"{value:g}"


@dataclass(frozen=True)
class Window:
    """The tightest ends of all limits of one quantity, and the rows that set them."""

    quantity: str
    low: float = float("-inf")
    high: float = float("inf")
    low_row: tuple[Limit, ...] = ()
    high_row: tuple[Limit, ...] = ()

    @property
    def least(self) -> float:
        """Lowest value that counts as within."""
        return self.low - SLACK * abs(self.low) if self.low_row else self.low

    @property
    def most(self) -> float:
        """Highest value that counts as within."""
        return self.high + SLACK * abs(self.high) if self.high_row else self.high

    def holds(self, value: float) -> bool:
        """Return whether a value lies within."""
        return bool(self.least <= value <= self.most)

    def why_not(self, value: float) -> str:
        """Return the reason of the end a value lies beyond."""
        below = value < self.low
        rows, end = (self.low_row, self.low) if below else (self.high_row, self.high)
        said = "; ".join(f"{row.name} ({row.reason})" for row in rows)
        return f"{_shown(self.quantity, value)} is {'below' if below else 'above'} {_shown(self.quantity, end)}: {said}"

    def said(self) -> str:
        """Return the window in words, with the rows that set it."""
        ends = [
            _shown(self.quantity, end) for end, row in ((self.low, self.low_row), (self.high, self.high_row)) if row
        ]
        rows = dict.fromkeys(row.name for row in (*self.low_row, *self.high_row))
        return f"{' to '.join(ends)} ({', '.join(rows)})"

    def at_top(self) -> list[str]:
        """Return the reasons of the upper end, one a row."""
        return [f"{row.name}, up to {_shown(self.quantity, self.high)} ({row.reason})" for row in self.high_row]


Windows = dict[str, dict[str, Window]]


def _window(quantity: str, rows: list[Limit]) -> Window:
    lows = [row.low for row in rows if row.low is not None]
    highs = [row.high for row in rows if row.high is not None]
    low, high = max(lows, default=float("-inf")), min(highs, default=float("inf"))
    return Window(
        quantity,
        low,
        high,
        tuple(row for row in rows if row.low is not None and row.low == low),
        tuple(row for row in rows if row.high is not None and row.high == high),
    )


def bound(facts: Tables, quantity: str, here: Situation, *scopes: str) -> Window:
    """Return the window of one quantity where all limits of those scopes meet."""
    key = (quantity, here, scopes)
    if key not in facts.memo:
        rows = [row for row in facts.rows("limits").values() if isinstance(row, Limit) and row.quantity == quantity]
        facts.memo[key] = _window(quantity, [row for row in rows if row.scope in scopes and here.meets(row)])
    kept: Window = facts.memo[key]
    return kept


def windows_of(facts: Tables, here: Situation, duty: Limit) -> Windows:
    """Return the windows of all that bounds a plan: what must be kept, and where it is comfortable.

    `duty` is the current the user's own equipment gives at full duty; it holds besides the table's rows.
    """
    key = (here, duty.high)
    if key not in facts.memo:
        rows = [row for row in facts.rows("limits").values() if isinstance(row, Limit) and here.meets(row)]
        found: Windows = {"must": {}, "comfort": {}}
        for quantity in BOUNDED:
            own = [duty] if quantity == "current" else []
            for scope, scopes in (("must", ("must",)), ("comfort", ("must", "comfort"))):
                met = [row for row in rows if row.quantity == quantity and row.scope in scopes]
                found[scope][quantity] = _window(quantity, met + own)
        facts.memo[key] = found
    kept: Windows = facts.memo[key]
    return kept
