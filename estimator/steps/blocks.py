"""Days of very many samples taken a block at a time, so that what is worked on stays small and near."""

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Any, TypeVar, cast

import numpy as np

from estimator.inputs import Inputs

__all__ = ["BLOCK", "blocks_of", "joined"]

T = TypeVar("T")
BLOCK = 2000  # samples


def blocks_of(day: Inputs) -> list[Inputs]:
    """Return a day of arrays as days of no more samples than a block; a day of few samples, or of none, as it is."""
    length = max((one.size for one in _arrays(vars(day))), default=0)
    if length <= BLOCK:
        return [day]
    names = [field.name for field in dataclasses.fields(day)]
    starts = range(0, length, BLOCK)
    return [dataclasses.replace(day, **{name: _part(getattr(day, name), at) for name in names}) for at in starts]


def _arrays(part: dict[str, Any]) -> Iterator[Any]:
    for value in part.values():
        if isinstance(value, dict):
            yield from _arrays(value)
        elif isinstance(value, np.ndarray):
            yield value


def _part(value: Any, start: int) -> Any:  # noqa: ANN401  # a number, an array, or several by name
    if isinstance(value, dict):
        return {name: _part(one, start) for name, one in value.items()}
    return value[start : start + BLOCK] if isinstance(value, np.ndarray) and value.ndim else value


def joined(parts: Sequence[T]) -> T:
    """Return what was found of several blocks as one: arrays end to end, what is the same in all as it is."""
    first: Any = parts[0]
    if all(one is first for one in parts):
        return cast(T, first)
    if isinstance(first, np.ndarray):
        return cast(T, np.concatenate(cast(Sequence[Any], parts)))
    if dataclasses.is_dataclass(first) and not isinstance(first, type):
        names = [field.name for field in dataclasses.fields(first)]
        whole = {name: joined([getattr(one, name) for one in parts]) for name in names}
        return cast(T, dataclasses.replace(first, **whole))
    if isinstance(first, tuple):
        return cast(T, tuple(joined(each) for each in zip(*cast(Any, parts), strict=True)))
    if isinstance(first, dict):
        return cast(T, {key: joined([cast(Any, one)[key] for one in parts]) for key in first})
    return cast(T, first)
