"""What is asked about a record that lies far from what was expected: most often a slip of a unit or of a point."""

import math
from collections.abc import Collection
from typing import NamedTuple

from estimator.tables.messages import Message, say

__all__ = ["FAR", "PARTS", "SCATTERS", "Usual", "is_far", "question_of"]

FAR = 1.8  # times, or part of it: one written twice, or half of it, and all that lies beyond
SCATTERS = 2.2  # and so many times as far off as such records scatter
NEAR, ROOM = 0.25, 1 / 12  # of a logarithm: how near a slip's own factor a record lies; more for larger factors
UNITS = {
    "time": ((60.0, "minutes"), (1 / 60, "hours"), (24.0, "hours"), (1 / 24, "days")),
    "wire": ((1000.0, "grams"), (1 / 1000, "kilograms"), (1 / 2.2046, "pounds")),
    "gas": ((1000.0, "litres"), (1 / 1000, "cubic_metres"), (1 / 28.317, "cubic_feet")),
}
SLIPS = ((2.0, "twice"), (0.5, "half"), (10.0, "point"), (0.1, "point"), (100.0, "point"), (0.01, "point"))
GUESSES = {
    "minutes": "guess_minutes",
    "hours": "guess_hours",
    "days": "guess_days",
    "grams": "guess_grams",
    "kilograms": "guess_kilograms",
    "pounds": "guess_pounds",
    "litres": "guess_litres",
    "cubic_metres": "guess_cubic_metres",
    "cubic_feet": "guess_cubic_feet",
    "twice": "guess_twice",
    "half": "guess_half",
    "point": "guess_point",
    "none": "guess_none",
}
PARTS = {
    "setup": "part_setup",
    "precut": "part_precut",
    "preheat": "part_preheat",
    "weld": "part_weld",
    "cooldown": "part_cooldown",
    "finish": "part_finish",
    "inspection": "part_inspection",
    "teardown": "part_teardown",
    "arc_time": "part_arc",
    "machining": "part_machining",
    "on_site": "part_on_site",
}


class Usual(NamedTuple):
    """Where records of a kind lie: the middle of their logarithms of recorded over expected, and their scatter."""

    middle: float = 0.0
    scatter: float = 0.25


def is_far(recorded: float, expected: float, usual: Usual) -> bool:
    """Return whether a record lies too far from what was expected to be believed unasked.

    Parameters
    ----------
    recorded, expected
        Above zero where anything is. [any, the same]
    usual
        Where records of the kind lie. [-]
    """
    if expected <= 0:
        return False
    if recorded <= 0:
        return True
    off = abs(math.log(recorded / expected) - usual.middle)
    return off > math.log(FAR) and off > SCATTERS * usual.scatter


def _guess(kind: str, off: float) -> Message:
    """Return what may have gone wrong, by how far a record lies from what is usual, as a logarithm."""
    tried = [(math.log(factor), name) for factor, name in (*UNITS[kind], *SLIPS)]
    far, name = min((abs(off - log) / (NEAR + ROOM * abs(log)), name) for log, name in tried)
    return say(GUESSES[name if far < 1 else "none"])


def question_of(key: str, recorded: float, expected: float, usual: Usual, sure: Collection[str] = ()) -> Message | None:
    """Return what is asked about a record, None where nothing is.

    Parameters
    ----------
    key
        What was recorded, as its key is named.
    recorded, expected
        In the units of the SI. [kg, m³, s]
    usual
        Where records of the kind lie. [-]
    sure
        Keys that somebody has confirmed.
    """
    if key not in UNITS and key not in PARTS:  # parts that wear are whole ones: any number may be right
        return None
    if key in sure or not is_far(recorded, expected, usual):
        return None
    kind = key if key in UNITS else "time"
    off = math.log(recorded / expected) - usual.middle if recorded > 0 else math.inf
    guess = _guess(kind, off)
    if kind == "wire":
        return say("asked_wire", recorded=recorded, expected=expected, guess=guess)
    if kind == "gas":
        return say("asked_gas", recorded=recorded, expected=expected, guess=guess)
    return say("asked_time", recorded=recorded, expected=expected, what=say(PARTS[key]), guess=guess)
