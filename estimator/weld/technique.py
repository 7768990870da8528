"""Limits of technique: every bound is a row with its reason; here they meet the wire, axis and wall at hand."""

from dataclasses import dataclass

from estimator.tables import Tables
from estimator.tables.messages import Message, say
from estimator.tables.rows import Limit

__all__ = ["BOUNDED", "ELEMENT", "Situation", "Window", "Windows", "bound", "windows_of"]

SLACK = 1e-9  # relative: a value computed to its bound is on it, not over it
BOUNDED = ("current", "travel_speed", "step", "step_ratio", "layer_thickness", "bead_area", "heat_input", "layers")
UNITS = {
    "current": "A",
    "travel_speed": "mm/min",
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
ELEMENT = "mass%"
WHAT = {
    "current": "current",
    "travel_speed": "travel_speed",
    "step": "step",
    "step_ratio": "step_ratio",
    "layer_thickness": "layer_thickness",
    "bead_area": "bead_area",
    "heat_input": "heat_input",
    "layers": "layers",
    "wind": "wind_speed",
    "method B CET": "method_cet",
    "method B thickness": "method_thickness",
    "method B hydrogen": "method_hydrogen",
    "method B heat input": "heat_input",
    "hardness cooling time": "cooling_time",
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

    @property
    def unit(self) -> str:
        """The unit that the quantity is told in; empty for a plain number."""
        return UNITS.get(self.quantity, "")

    @property
    def what(self) -> Message:
        """What is bounded, by its name."""
        return say(WHAT[self.quantity])

    def why_not(self, value: float, what: Message | None = None, unit: str | None = None) -> Message:
        """Return the reason of the end a value lies beyond; `what` it is, where the quantity has no name of its own."""
        below = value < self.low
        rows, end = (self.low_row, self.low) if below else (self.high_row, self.high)
        return say(
            "under_limit" if below else "over_limit",
            what=what or self.what,
            value=value,
            limit=end,
            unit=self.unit if unit is None else unit,
            rows=_reasons(rows),
        )

    def held(self, value: float) -> Message:
        """Return the end that holds a value back: the nearer one."""
        top = bool(self.high_row) and not abs(value - self.low) < abs(value - self.high)
        rows, end = (self.high_row, self.high) if top else (self.low_row, self.low)
        return say(
            "limit_top" if top else "limit_bottom",
            what=self.what,
            value=value,
            limit=end,
            unit=self.unit,
            rows=tuple(dict.fromkeys(row.name for row in rows)),
        )

    def reached(self, top: bool) -> Message:
        """Return that an end is reached, with the reasons of the rows that set it."""
        rows, end = (self.high_row, self.high) if top else (self.low_row, self.low)
        return say("limit_reached", what=self.what, limit=end, unit=self.unit, rows=_reasons(rows))


def _reasons(rows: tuple[Limit, ...]) -> tuple[Message, ...]:
    return tuple(say("limit_row", name=row.name, reason=row.reason) for row in rows)


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
