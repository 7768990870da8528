"""How one figure came about: the road is run again while every step is recorded, back to what the user typed."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from estimator.book.pricebook import PriceBook
from estimator.errors import UnknownEntryError
from estimator.estimate import Estimate, estimate_job, read_job
from estimator.fields import si_unit_of
from estimator.formula import Kind, Why, expression, leaf, recording, why_of
from estimator.job.job import Job
from estimator.nomenclature import quantities
from estimator.strict import parse

__all__ = ["explain", "explain_whole", "figures_of", "recorded", "steps_of"]

NUMBERS = (int, float, Decimal)
FIGURES = FIGURE, SINGLE = "figure", "single figure"
STATED = {
    "wire": "the first wire on the van that serves, solid before cored; it is not changed for a small saving",
    "gas": "among the gases on the van, the first choice for this axis and wire (table of gases)",
    "rotation": "alternates layer by layer on a horizontal axis unless pinned to one way; seen from the machine's side",
}


def _aware(model: BaseModel, path: str) -> Any:  # noqa: ANN401  # the same type as the model
    """Return a copy of a job whose numbers know the key they were typed under; tables of readings stay as they are."""
    changes: dict[str, Any] = {}
    for name in type(model).model_fields:
        value, here = getattr(model, name), f"{path}.{name}" if path else name
        if isinstance(value, float | int) and not isinstance(value, bool):
            kind: Kind = "given"
            changes[name] = leaf(value, kind, here, "as typed in the job document", unit=si_unit_of(type(model), name))
        elif isinstance(value, BaseModel) and name != "readings":
            changes[name] = _aware(value, here)
        elif isinstance(value, tuple):
            unit = si_unit_of(type(model), name)
            changes[name] = tuple(_aware_item(item, f"{here}.{_label(item, n)}", unit) for n, item in enumerate(value))
    return model.model_copy(update=changes)


def _aware_item(item: Any, path: str, unit: str) -> Any:  # noqa: ANN401  # a part of a job
    if isinstance(item, BaseModel):
        return _aware(item, path)
    if isinstance(item, float) and not isinstance(item, bool):
        return leaf(item, "given", path, "as typed in the job document", unit=unit)
    return item


def _label(item: object, number: int) -> str:
    """Return how a key names an item of a list: by the item's name, else by its number."""
    name = getattr(item, "name", None)
    return name if isinstance(name, str) else str(number)


def recorded(document: bytes | str | dict[str, Any], book: PriceBook) -> Estimate:
    """Return the estimate document with every number knowing why; raise as `estimate` does."""
    data = document if isinstance(document, dict) else parse(document)
    job = read_job(data, book)
    with recording():
        aware: Job = _aware(job, "")
        return estimate_job(aware, book, data, "full")


def figures_of(found: Any, path: str = "") -> Iterator[tuple[str, Any]]:  # noqa: ANN401  # a document
    """Yield every number of a document with its key."""
    if isinstance(found, dict):
        for key, value in found.items():
            yield from figures_of(value, f"{path}.{key}" if path else str(key))
    elif isinstance(found, list):
        for number, value in enumerate(found):
            yield from figures_of(value, f"{path}.{number}")
    elif isinstance(found, NUMBERS) and not isinstance(found, bool):
        yield path, found


def _find(found: Estimate, key: str) -> tuple[str, Any]:
    """Return the full path and the value of a key, bores by number or name."""
    here: Any = found
    rest, path = key, list[str]()
    while rest:
        step, rest_of = _step(here, rest)
        if step is None:
            known = [name for name, _ in figures_of(found)]
            raise UnknownEntryError(FIGURE, key, known)
        here = here[step] if isinstance(here, dict) else here[int(step)]
        path.append(step)
        rest = rest_of
    return ".".join(path), here


def _step(here: Any, rest: str) -> tuple[str | None, str]:  # noqa: ANN401  # a document
    """Return the next step of a key and what is left of it."""
    if isinstance(here, dict):
        step, _, left = rest.partition(".")
        return (step if step in here else None), left
    if isinstance(here, list):
        step, _, left = rest.partition(".")
        if step.isascii() and step.isdigit() and len(step) < 7 and int(step) < len(here):  # noqa: PLR2004  # no list is longer
            return step, left
        for number, item in enumerate(here):
            name = item.get("name") if isinstance(item, dict) else None
            if isinstance(name, str) and (rest == name or rest.startswith(name + ".")):
                return str(number), rest[len(name) + 1 :]
    return None, ""


def steps_of(*values: object) -> list[tuple[object, Why]]:
    """Return every step behind some numbers, inputs before what they lead to, each once."""
    order: list[tuple[object, Why]] = []
    seen: set[int] = set()
    stack: list[tuple[object, bool]] = [(value, False) for value in reversed(values)]
    while stack:
        here, done = stack.pop()
        why = why_of(here)
        if why is None or (id(here) in seen and not done):
            continue
        if done:
            order.append((here, why))
            continue
        seen.add(id(here))
        stack.append((here, True))
        stack.extend((item, False) for _, item in reversed(why.inputs))
    return order


def _plain(value: object) -> object:
    """Return a number as JSON has it, anything else as text."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, int):
        return int(value)
    if isinstance(value, float):
        return float(f"{value:.12g}")
    return str(value)


def _step_document(number: int, value: object, why: Why, numbers: dict[int, int]) -> dict[str, Any]:
    inputs = []
    for name, item in why.inputs:
        entry: dict[str, Any] = {"name": name, "value": _plain(item)}
        known = why_of(item)
        if known is not None:
            entry |= {"step": numbers[id(item)], "unit": known.unit}
        inputs.append(entry)
    said = expression(why.function) if why.function is not None else ""
    step = {
        "step": number,
        "kind": why.kind,
        "name": why.name,
        "value": _plain(value),
        "unit": why.unit,
        "text": why.text,
    }
    return {**step, "formula": said, "source": why.source, "mark": why.mark, "inputs": inputs}


def _explained(path: str, value: object) -> dict[str, Any]:
    steps = steps_of(value)
    numbers = {id(item): number for number, (item, _) in enumerate(steps, 1)}
    name = next((part for part in reversed(path.split(".")) if not part.isdigit()), path)
    row = quantities().get(name)
    return {
        "key": path,
        "value": _plain(value),
        "unit": row.unit if row else "",
        "meaning": row.meaning if row else STATED.get(name, ""),
        "steps": [_step_document(numbers[id(item)], item, why, numbers) for item, why in steps],
    }


def explain(document: bytes | str | dict[str, Any], book: PriceBook, key: str) -> dict[str, Any]:
    """Return how one figure of a job's estimate came about.

    Parameters
    ----------
    document
        The job document.
    book
        The price book.
    key
        Path of the figure in the estimate document, a bore by its number or its name.

    Raises
    ------
    DocumentError, JobRefusedError
        As `estimate` does.
    UnknownEntryError
        If the estimate has no such figure; it holds near keys.
    """
    found = recorded(document, book)
    path, value = _find(found, key)
    if isinstance(value, (dict, list)):
        raise UnknownEntryError(SINGLE, key, [name for name, _ in figures_of(value, path)][:200] or [path])
    return _explained(key, value)


def explain_whole(document: bytes | str | dict[str, Any], book: PriceBook) -> dict[str, Any]:
    """Return every figure of a job's estimate with the number of its step, and every step behind any of them, once.

    Raises as `estimate` does.
    """
    figures = dict(figures_of(recorded(document, book)))
    steps = steps_of(*figures.values())
    numbers = {id(item): number for number, (item, _) in enumerate(steps, 1)}
    return {
        "figures": {path: numbers.get(id(value)) for path, value in figures.items()},
        "steps": [_step_document(numbers[id(item)], item, why, numbers) for item, why in steps],
    }
