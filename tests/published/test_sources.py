"""Each formula has a check here or stands on the list of unchecked ones; each fact has a source and an honest mark."""

import ast
import csv
import functools
import importlib
import pkgutil
import re
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any, get_args

import pytest

import estimator
from estimator.formula import Mark

HERE = Path(__file__).parent
DEVELOPERS = (HERE.parents[1] / "DEVELOPERS.md").read_text("utf-8")
UNCHECKED = set(
    re.findall(r"^- `([\w.]+)`", DEVELOPERS.split("## What is unchecked")[1].split("\n## ")[0], re.MULTILINE)
)
TABLES = sorted(p.name for p in resources.files("estimator.tables").iterdir() if p.name.endswith(".csv"))
# Proved row by row against pint; our own words.
WITHOUT_SOURCE = {
    "units.csv",
    "nomenclature.csv",
    "arguments.csv",
    "used.csv",
}


def _formulas() -> dict[str, Callable[..., Any]]:
    """Return every formula of the engine by module and name."""
    found = {}
    for module in pkgutil.walk_packages(estimator.__path__, "estimator."):
        for name, value in vars(importlib.import_module(module.name)).items():
            if hasattr(value, "formula_of") and value.__module__ == module.name:
                found[f"{module.name.removeprefix('estimator.')}.{name}"] = value
    return found


FORMULAS = _formulas()


@functools.cache
def _checks() -> dict[str, set[str]]:
    """Return which files here call a formula: the very function, looked up as the file names it, not a namesake."""
    names = {id(formula): name for name, formula in FORMULAS.items()}
    found: dict[str, set[str]] = {}
    for path in sorted(HERE.glob("test_*.py")):
        module = vars(importlib.import_module(f"tests.published.{path.stem}"))
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            called = _called(node.func, module) if isinstance(node, ast.Call) else None
            if id(called) in names:
                found.setdefault(names[id(called)], set()).add(path.stem)
    return found


def _called(function: ast.expr, module: dict[str, Any]) -> object:
    """Return what a name or a dotted name stands for in a module, or None."""
    if isinstance(function, ast.Name):
        return module.get(function.id)
    if isinstance(function, ast.Attribute):
        return getattr(_called(function.value, module), function.attr, None)
    return None


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_a_formula_is_checked_or_said_not_to_be(name: str) -> None:
    called = name in _checks()
    assert called is not (name in UNCHECKED), "checked and on the list" if called else "neither checked nor on the list"
    assert FORMULAS[name].source  # pyrefly: ignore[missing-attribute] # set by the decorator
    assert FORMULAS[name].mark in get_args(Mark)[:4]  # pyrefly: ignore[missing-attribute] # the same


def test_the_list_of_unchecked_names_formulas() -> None:
    assert UNCHECKED
    assert set(FORMULAS) >= UNCHECKED


def test_what_rests_on_memory_is_marked_so() -> None:
    assert {FORMULAS[name].mark for name in UNCHECKED} <= {"from memory", "computed"}  # pyrefly: ignore[missing-attribute] # the decorator's


@pytest.mark.parametrize("table", [name for name in TABLES if name not in WITHOUT_SOURCE])
def test_each_fact_has_a_source_and_a_mark(table: str) -> None:
    text = resources.files("estimator.tables").joinpath(table).read_text("utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    assert rows
    for row in rows:
        assert row["source"].strip(), row
        assert row["mark"] in get_args(Mark)[:4], row
        assert None not in row, row
