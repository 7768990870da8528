"""Faults of a job in words as well: a bore by its name beside the path that programs read."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from estimator.errors import Fault

__all__ = ["in_words", "names_in"]

LONGEST = 60  # signs of a name that is told


def names_in(document: dict[str, Any]) -> list[str]:
    """Return the names of the bores in a document that may be wrong; empty where one has none."""
    bores = document.get("bores")
    named = [one.get("name") if isinstance(one, dict) else None for one in bores] if isinstance(bores, list) else []
    return [name if isinstance(name, str) else "" for name in named]


def in_words(faults: Iterable[Fault], names: Sequence[str]) -> list[Fault]:
    """Return faults whose text names the bore and the key it is about: "bore A, length: ..."; the path stays."""
    return [_in_words(fault, names) for fault in faults]


def _in_words(fault: Fault, names: Sequence[str]) -> Fault:
    head, *steps = fault.path.split(".")
    at = int(steps[0]) if head == "bores" and steps and steps[0].isdigit() else len(names)
    name = names[at] if at < len(names) else ""
    if not 0 < len(name) <= LONGEST:
        return fault
    said = f"{', '.join([f'bore {name}', *_words(steps[1:])])}: {fault.message}"
    return replace(fault, message=said, addressed=True)


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
