"""One formula, one function, one source; and, when asked to explain, numbers that know why.

`@formula` costs one look at a context variable when nobody asks. Inside `recording()`, every scalar a formula answers
becomes a number of the same kind that carries a `Why`: the formula, its inputs, its source. Leaves are made by `given`
(the user typed it), `fact` (a row of a table), `price` (the price book) and `choice` (the program chose it, with the
reason). Arrays are never recorded.
"""

import ast
import dataclasses
import functools
import inspect
import textwrap
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal, ParamSpec, TypeVar, cast

from estimator.nomenclature import arguments

__all__ = [
    "Amount",
    "Count",
    "Figure",
    "Why",
    "choice",
    "difference",
    "expression",
    "formula",
    "is_recording",
    "leaf",
    "recording",
    "rewrap",
    "summed",
    "unrecorded",
    "why_of",
]

P = ParamSpec("P")
R = TypeVar("R")
Kind = Literal["given", "fact", "price", "choice", "formula", "literal"]
Mark = Literal["published", "computed", "common practice, no source", "from memory", ""]

_RECORDING: ContextVar[bool] = ContextVar("recording", default=False)


@dataclass(frozen=True, slots=True)
class Why:
    """Where one number comes from: its kind, its name, the words and source, and its inputs."""

    kind: Kind
    name: str
    text: str
    source: str = ""
    mark: Mark = ""
    unit: str = ""
    inputs: tuple[tuple[str, object], ...] = ()
    function: Callable[..., object] | None = field(default=None, compare=False)

    def replay(self) -> object:
        """Return what the formula answers to the recorded inputs, with nothing recorded."""
        if self.function is None:
            raise TypeError(f"{self.name} is a {self.kind}, not a formula")
        return self.function(**dict(self.inputs))


class Figure(float):
    """A float that knows why."""

    why: Why


class Count(int):
    """A whole number that knows why."""

    why: Why


class Amount(Decimal):
    """A decimal number that knows why."""

    why: Why


def is_recording() -> bool:
    """Return whether figures are being recorded now."""
    return _RECORDING.get()


@contextmanager
def recording() -> Iterator[None]:
    """Record every formula called inside."""
    token = _RECORDING.set(True)
    try:
        yield
    finally:
        _RECORDING.reset(token)


def why_of(value: object) -> Why | None:
    """Return why a number is what it is, or None for one that does not know."""
    return getattr(value, "why", None)


def _wrap(value: object, why: Why) -> object:
    if isinstance(value, bool):
        return value
    for plain, aware in ((float, Figure), (int, Count), (Decimal, Amount)):
        if isinstance(value, plain):
            figure = aware(value)
            figure.why = why
            return figure
    if dataclasses.is_dataclass(value) and not isinstance(value, type) and hasattr(value, "why"):
        return dataclasses.replace(value, why=why)
    return value


def leaf(value: R, kind: Kind, name: str, text: str, *, source: str = "", mark: Mark = "", unit: str = "") -> R:
    """Return the value, as a number that knows where it was taken from while recording."""
    if not _RECORDING.get():
        return value
    return cast(R, _wrap(value, Why(kind, name, text, source, mark, unit)))


def rewrap(value: R, why: object) -> R:
    """Return the value with a `Why`, or with the why of another number; unchanged while nothing is recorded."""
    known = why if isinstance(why, Why) else why_of(why)
    return value if known is None or not _RECORDING.get() else cast(R, _wrap(value, known))


def choice(value: R, name: str, reason: str, *, unit: str = "", **weighed: object) -> R:
    """Return what the program chose, with its reason and the numbers it weighed, while recording."""
    if not _RECORDING.get():
        return value
    inputs = tuple((key, _known(item, key)) for key, item in weighed.items())
    return cast(R, _wrap(value, Why("choice", name, reason, unit=unit, inputs=inputs)))


def _known(value: object, name: str) -> object:
    """Return an argument that knows why: a bare number becomes a literal, which a test then hunts."""
    if isinstance(value, float | int | Decimal) and not isinstance(value, bool) and why_of(value) is None:
        return _wrap(value, Why("literal", name, "a number of the program's own"))
    return value


def _told(said: str, names: tuple[str, ...], source: str) -> str:
    """Return what `help` says of a formula: its docstring, what each argument is and its unit, and the source."""
    if "Parameters\n-" not in said:
        rows = [row for name in names if (row := arguments().get(name))]
        told = (f"{row.name}\n    {row.meaning} [{row.unit or '-'}]" for row in rows)
        said = "\n".join((f"{said}\n\nParameters\n----------", *told))
    return f"{said}\n\nReferences\n----------\n{source}\n"


def names_of(function: Callable[..., object]) -> tuple[str, ...]:
    """Return the names of what a function takes, without the library's look at its whole signature."""
    code = function.__code__
    several = sum(1 for flag in (inspect.CO_VARARGS, inspect.CO_VARKEYWORDS) if code.co_flags & flag)
    return code.co_varnames[: code.co_argcount + code.co_kwonlyargcount + several]


def formula(
    quantity: str, source: str, mark: Mark = "published", unit: str = ""
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Declare that a function is the formula of a quantity, and where the formula stands."""

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        names = names_of(function)
        doc = inspect.getdoc(function) or quantity
        said = doc.split("\n", 1)[0].strip()

        @functools.wraps(function)
        def call(*args: P.args, **kwargs: P.kwargs) -> R:
            if not _RECORDING.get():
                return function(*args, **kwargs)
            bound = {name: _known(value, name) for name, value in [*zip(names, args, strict=False), *kwargs.items()]}
            with unrecorded():
                value = function(**bound)  # pyrefly: ignore[invalid-param-spec] # bound by the same signature
            why = Why(
                kind="formula",
                name=quantity,
                text=said,
                source=source,
                mark=mark,
                unit=unit,
                inputs=tuple(bound.items()),
                function=function,
            )
            return cast(R, _wrap(value, why))

        call.__doc__ = _told(doc, names, f"{source} ({mark})")
        call.formula_of, call.source, call.mark, call.unit = quantity, source, mark, unit  # pyrefly: ignore[missing-attribute] # read by tests
        return call

    return decorate


@contextmanager
def unrecorded() -> Iterator[None]:
    """Record nothing inside: a formula that uses another answers as one step; what is only weighed leaves no trace."""
    token = _RECORDING.set(False)
    try:
        yield
    finally:
        _RECORDING.reset(token)


@functools.lru_cache(maxsize=512)
def expression(function: Callable[..., Any]) -> str:
    """Return the right-hand side of a formula as it stands in the code."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(function))).body[0]
    if not isinstance(tree, ast.FunctionDef):
        return ""
    body = [node for node in tree.body if not (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant))]
    return "; ".join(ast.unparse(node).removeprefix("return ") for node in body)


def _added(**parts: Any) -> Any:  # noqa: ANN401  # numbers or arrays of one kind
    """Sum of the parts."""
    return functools.reduce(_plus, parts.values())


def summed(quantity: str, unit: str, *parts: R, of: Sequence[str] = ()) -> R:
    """Return the sum of several figures of one quantity, recorded as one step; `of`: whose each part is."""
    if not _RECORDING.get():
        return functools.reduce(_plus, parts)
    names = [f"part_{number}" for number in range(1, len(parts) + 1)]
    names = [f"{name} {whose}" for name, whose in zip(names, of, strict=True)] if of else names
    bound = {name: _known(part, quantity) for name, part in zip(names, parts, strict=True)}
    with unrecorded():
        value = _added(**bound)
    why = Why(
        kind="formula",
        name=quantity,
        text="Sum of the parts",
        source="definition",
        mark="computed",
        unit=unit,
        inputs=tuple(bound.items()),
        function=_added,
    )
    return cast(R, _wrap(value, why))


def _plus(one: Any, other: Any) -> Any:  # noqa: ANN401  # numbers or arrays of one kind
    return one + other


@formula("difference", "definition", "computed")
def difference(value: float, less: float) -> float:
    """Difference of two figures of one quantity."""
    return value - less
