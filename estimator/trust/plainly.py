"""A value of a job or a price book in plain words, for whoever reads what changed."""

from collections.abc import Iterator
from typing import Any

__all__ = ["key_said", "value_said"]

LONGEST = 60  # signs; fits a line
MANY = 4  # values of a list that are told one by one


def key_said(path: tuple[str | int, ...], document: object, other: object) -> str:
    """Return a path in words, a bore by its name: "bore A, readings", "site distance"."""
    words = list[str]()
    here: Any = document
    there: Any = other
    for step in path:
        here, there = _within(here, step), _within(there, step)
        if isinstance(step, int) and words:
            words[-1] = f"{words[-1].removesuffix('s')} {_name(there) or _name(here) or step + 1},"
        else:
            words.append(str(step).replace("_", " "))
    return " ".join(words).removesuffix(",") or "the whole"


def _within(document: object, step: str | int) -> object:
    if isinstance(document, dict):
        return document.get(step)
    return document[step] if isinstance(document, list) and isinstance(step, int) and step < len(document) else None


def _name(value: object) -> str:
    name = value.get("name") if isinstance(value, dict) else None
    return name if isinstance(name, str) else ""


def value_said(value: object) -> str:
    """Return a value in words; long ones by what they hold."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return _object(value)
    if isinstance(value, list):
        return _list(value)
    text = " ".join(str(value).split())
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "…"


def _object(value: dict[str, Any]) -> str:
    """Return readings by their number and largest, anything else key by key."""
    figures = list(_figures(value.get("values")))
    if figures:
        unit = value.get("unit")
        return f"{len(figures)} readings, largest {max(figures):g}" + (f" {unit}" if isinstance(unit, str) else "")
    text = ", ".join(f"{key.replace('_', ' ')} {value_said(one)}" for key, one in value.items())
    return text if len(text) <= LONGEST else f"{len(value)} entries: {', '.join(value)}"[:LONGEST]


def _figures(value: object) -> Iterator[float]:
    """Yield every reading as a number, its unit left off."""
    if isinstance(value, list):
        for one in value:
            yield from _figures(one)
    elif isinstance(value, str):
        try:
            yield float(value.split()[0])
        except (IndexError, ValueError):
            return
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)


def _list(value: list[Any]) -> str:
    names = [_name(one) for one in value]
    if value and all(names):
        return ", ".join(names) if len(names) <= MANY else f"{len(names)}: {', '.join(names[:MANY])} …"
    if len(value) > MANY or any(isinstance(one, (dict, list)) for one in value):
        return f"{len(value)} entries"
    return ", ".join(map(value_said, value)) or "nothing"
