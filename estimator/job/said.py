"""Faults of a job in words as well: a bore by its name beside the path that programs read."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from estimator.errors import Fault

__all__ = ["in_words"]

LONGEST = 60  # signs of a name that is told


def in_words(faults: Iterable[Fault], document: dict[str, Any]) -> list[Fault]:
    """Return faults whose text names the bore and the key it is about: "bore A, length: ..."; the path stays."""
    return [_in_words(fault, document) for fault in faults]


def _in_words(fault: Fault, document: dict[str, Any]) -> Fault:
    head, *steps = fault.path.split(".")
    name = _name_at(document, steps) if head == "bores" else ""
    if not name:
        return fault
    place = ", ".join([f"bore {name}", *_words(steps[1:])])
    return replace(fault, message=f"{place}: {fault.message}")


def _words(steps: list[str]) -> list[str]:
    """Return the keys of a path in words; places in a list count from 1, those of readings by row and column."""
    said = list[str]()
    for step in steps:
        if not step.isdigit() or not said:
            said.append(step.replace("_", " "))
        elif said[-1] == "values":
            said[-1] = f"values, row {int(step) + 1}"
        elif said[-1].startswith("values, row"):
            said[-1] += f", column {int(step) + 1}"
        else:
            said[-1] += f" {int(step) + 1}"
    return said


def _name_at(document: dict[str, Any], steps: list[str]) -> str:
    bores = document.get("bores")
    if not isinstance(bores, list) or not steps or not steps[0].isdigit() or int(steps[0]) >= len(bores):
        return ""
    bore = bores[int(steps[0])]
    name = bore.get("name") if isinstance(bore, dict) else None
    return name if isinstance(name, str) and 0 < len(name) <= LONGEST else ""
