"""Text with a unit becomes an SI number once, here; and an SI number becomes a document's number once, here.

The trade's own units stand in `tables/units.csv`, proved row by row against pint by a test. Any other unit is asked of
pint itself, name by name and never as an expression; it is imported only then. `rescaled` exists for one test: it makes
the whole road run in other base units, so that a conversion factor hidden in a formula shows.
"""

import csv
import functools
import math
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import resources
from typing import Any, NamedTuple

__all__ = [
    "DIMENSIONS",
    "Unit",
    "UnitError",
    "convert",
    "deci",
    "dimension_of",
    "factor",
    "in_mm",
    "on_rescale",
    "read",
    "rescaled",
    "si_label",
    "split",
    "unit",
]

Exponents = tuple[int, int, int, int, int]
NUMBER = re.compile(
    r"([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?)\s*((?:[A-Za-zµ°%'\"\u2033]|1/).*)?"
)
MIXED = re.compile(r"(?:([0-9]{1,4})[ -])?([0-9]{1,2})/(2|4|8|16|32|64)\s*([A-Za-z'\"\u2033].*)")  # 3 1/2 in
SPOKEN = {'"': "in", "\u2033": "in", "''": "in", "kms": "km"}  # as people write them
UNIT_TEXT = re.compile(r"[A-Za-zµ°%1][A-Za-zµ°%0-9/.·²³*^ _-]*")
NAME = re.compile(r"[A-Za-zµ°%_]{1,24}")
ATOM = re.compile(r"(?P<name>1|[A-Za-zµ°%_]{1,24})\^?(?P<power>-?[1-9]|[²³])?")
RAISED = str.maketrans("²³", "23")
LONGEST_UNIT, LARGEST_POWER = 40, 9  # characters; of any base unit
LARGEST = 1e30  # whatever is larger is no quantity of this trade
LENGTH_QUANTUM = 1e-10  # [m] lengths are rounded to it, so that inch and millimetre give the same figures

DIMENSIONS: dict[str, tuple[Exponents, str]] = {
    "length": ((1, 0, 0, 0, 0), "90 mm"),
    "time": ((0, 0, 1, 0, 0), "2.5 h"),
    "speed": ((1, 0, -1, 0, 0), "2 m/s"),
    "flow": ((3, 0, -1, 0, 0), "15 L/min"),
    "current": ((0, 0, 0, 0, 1), "130 A"),
    "voltage": ((2, 1, -3, 0, -1), "18 V"),
    "temperature": ((0, 0, 0, 1, 0), "12 degC"),
    "mass": ((0, 1, 0, 0, 0), "15 kg"),
    "volume": ((3, 0, 0, 0, 0), "9.5 m3"),
    "power": ((2, 1, -3, 0, 0), "1.1 kW"),
    "torque": ((2, 1, -2, 0, 0), "250 N.m"),
    "energy": ((2, 1, -2, 0, 0), "3 kWh"),
    "frequency": ((0, 0, -1, 0, 0), "120 1/min"),
    "density": ((-3, 1, 0, 0, 0), "7850 kg/m3"),
    "linear density": ((-1, 1, 0, 0, 0), "6.2 g/m"),
    "pressure": ((-1, 1, -2, 0, 0), "1990 N/mm2"),
    "volume per energy": ((1, -1, 2, 0, 0), "0.3 L/kWh"),
    "feed per ampere": ((1, 0, -1, 0, -1), "1.0 ipm/A"),
    "feed per ampere squared": ((1, 0, -1, 0, -2), "0.003 ipm/A/A"),
    "resistance": ((2, 1, -3, 0, -2), "0.02 V/A"),
    "per kelvin": ((0, 0, 0, -1, 0), "1.17e-5 1/K"),
    "number": ((0, 0, 0, 0, 0), "1"),
}
_NAMES = {exponents: name for name, (exponents, _) in DIMENSIONS.items()}
_FORGET: list[Callable[[], None]] = []
_SCALE: list[float] = [1.0, 1.0, 1.0, 1.0, 1.0]


class UnitError(ValueError):
    """A text is no quantity of the dimension that is due; the message says what would be right."""


class Unit(NamedTuple):
    """SI value of one of it, the zero point where it has one, and the exponents of m, kg, s, K, A."""

    factor: float
    offset: float
    exponents: Exponents


@functools.cache
def _table() -> dict[str, Unit]:
    text = resources.files("estimator.tables").joinpath("units.csv").read_text("utf-8")
    table = {}
    for row in csv.DictReader(text.splitlines()):
        exponents = tuple(int(row[base] or 0) for base in ("metre", "kilogram", "second", "kelvin", "ampere"))
        table[row["symbol"]] = Unit(float(row["factor"]), float(row["offset"] or 0), exponents)  # pyrefly: ignore[bad-argument-type] # five of them
    return table


def _scaled(found: Unit) -> Unit:
    scale = math.prod(base**exponent for base, exponent in zip(_SCALE, found.exponents, strict=True))
    return Unit(found.factor * scale, found.offset * scale, found.exponents)


def _compound(symbol: str) -> Unit | None:
    """Return a quotient or product of known units ("W/m/K", "K.mm/kJ", "ft3/min"), or None."""
    factor_, exponents = 1.0, [0, 0, 0, 0, 0]
    for part, sign in ((p, -1 if i else 1) for i, p in enumerate(symbol.split("/"))):
        for text in re.split(r"[.*· ]", part):
            atom = ATOM.fullmatch(text)
            known = None if atom is None else _named(atom["name"])
            if atom is None or known is None:
                return None
            power = sign * int((atom["power"] or "1").translate(RAISED))
            factor_ *= known.factor**power
            exponents = [e + power * k for e, k in zip(exponents, known.exponents, strict=True)]
    if max(map(abs, exponents)) > LARGEST_POWER:
        return None
    return Unit(factor_, 0.0, (exponents[0], exponents[1], exponents[2], exponents[3], exponents[4]))


def _named(name: str) -> Unit | None:
    """Return the unit of a bare name: ours, one, or pint's."""
    return Unit(1.0, 0.0, (0,) * 5) if name == "1" else _table().get(name) or _from_pint(name)


@functools.cache
def _registry() -> Any:  # noqa: ANN401  # pint comes without types here
    import pint  # noqa: PLC0415  # its start-up costs more than all of ours, and hardly anyone needs it

    return pint.UnitRegistry(cache_folder=None)


@functools.lru_cache(maxsize=1024)  # names that pint does not know are remembered too
def _from_pint(name: str) -> Unit | None:
    """Return a unit that pint knows; it is given a bare name, never an expression to reckon out."""
    registry = _registry()
    try:
        one = registry.Quantity(1.0, registry.Unit(name)).to_base_units()
        zero = registry.Quantity(0.0, registry.Unit(name)).to_base_units()
    except Exception:  # whatever pint cannot read is no unit to us
        return None
    names = ("[length]", "[mass]", "[time]", "[temperature]", "[current]")
    powers = dict(one.dimensionality)
    if set(powers) - set(names) or any(float(p) != int(p) for p in powers.values()):
        return None
    a, b, c, d, e = (int(powers.get(name, 0)) for name in names)
    return Unit(float(one.magnitude - zero.magnitude), float(zero.magnitude), (a, b, c, d, e))


@functools.lru_cache(maxsize=1024)
def _found(symbol: str) -> Unit | None:
    """Return a unit, or None; what is no unit is remembered as well as what is one."""
    known = _table().get(symbol)
    if known is not None or not UNIT_TEXT.fullmatch(symbol):
        return known
    return _from_pint(symbol) if NAME.fullmatch(symbol) else _compound(symbol)


@functools.lru_cache(maxsize=1024)
def unit(symbol: str) -> Unit:
    """Return the unit of that symbol; raise `UnitError` where there is none."""
    found = _found(symbol) if len(symbol) <= LONGEST_UNIT else None
    if found is None:
        raise UnitError(f"{symbol[:40]!r} is no known unit")
    return _scaled(found)


def factor(symbol: str) -> float:
    """Return how many SI units one of that unit is (a difference, for temperatures)."""
    return unit(symbol).factor


def dimension_of(symbol: str) -> str:
    """Return the name of the unit's dimension, or its exponents where it has no name."""
    exponents = unit(symbol).exponents
    return _NAMES.get(exponents, "m^{} kg^{} s^{} K^{} A^{}".format(*exponents))


def si_label(symbol: str) -> str:
    """Return the SI unit of a unit's dimension, as text ("kg m^-3"); empty for a plain number."""
    bases = zip(("m", "kg", "s", "K", "A"), unit(symbol).exponents, strict=True)
    return " ".join(base if power == 1 else f"{base}^{power}" for base, power in bases if power)


def split(text: str) -> tuple[float, str]:
    """Split "3.5 in" into number and unit text; raise `UnitError` for anything else."""
    if (parts := MIXED.fullmatch(text.strip())) is not None and int(parts[2]) < int(parts[3]):
        return int(parts[1] or 0) + int(parts[2]) / int(parts[3]), SPOKEN.get(parts[4], parts[4])
    match = NUMBER.fullmatch(text.strip())
    if match is None:
        hint = " (a decimal point, not a comma)" if re.match(r"\s*[0-9]+,[0-9]", text) else ""
        raise UnitError(f"{text[:40]!r} is not a number with a unit{hint}")
    number = float(match[1])
    if not math.isfinite(number):
        raise UnitError(f"{text[:40]!r} is too large a number")
    symbol = (match[2] or "").strip()
    return number, SPOKEN.get(symbol, symbol)


def read(text: object, dimension: str, example: str = "") -> float:
    """Return the SI value of a text such as "3.5 in"; raise `UnitError` with the cure, by an example that fits."""
    exponents, usual = DIMENSIONS[dimension]
    cure = f'write for instance "{example or usual}"'
    if isinstance(text, bool) or not isinstance(text, str):
        kind = "a bare number" if isinstance(text, int | float) and not isinstance(text, bool) else "no text"
        raise UnitError(f"a {dimension} needs a unit and this is {kind}; {cure}")
    try:
        number, symbol = split(text)
        if not symbol:
            raise UnitError(f"{text[:40]!r} has no unit")
        found = unit(symbol)
    except UnitError as error:
        raise UnitError(f"{error}; {cure}") from None
    if found.exponents != exponents:
        raise UnitError(f"{text[:40]!r} is a {dimension_of(symbol)} where a {dimension} is due; {cure}")
    return convert(number, found, dimension)


def convert(number: float, found: Unit, dimension: str) -> float:
    """Return number x unit in SI; lengths are rounded to 1e-10 m."""
    value = number * found.factor + found.offset
    if not abs(value) < LARGEST:
        raise UnitError(f"{number:g} is too large a number")
    if dimension == "length":
        value = round(value / _SCALE[0] / LENGTH_QUANTUM) * LENGTH_QUANTUM
        value = round(value, 10) * _SCALE[0]
    return value


def deci(value: float, symbol: str) -> float:
    """Return an SI value as the document's number: in that unit, at most 12 significant digits."""
    found = unit(symbol)
    number = float(f"{(value - found.offset) / found.factor:.12g}")
    return number + 0.0  # no minus zero


def in_mm(value: float) -> str:
    """Return a length in millimetres at four digits, as a sentence says it."""
    return f"{deci(value, 'mm'):.4g} mm"


def on_rescale(forget: Callable[[], None]) -> None:
    """Have a cache forgotten when the base units change."""
    _FORGET.append(forget)


@contextmanager
def rescaled(metre: float, kilogram: float, second: float, kelvin: float, ampere: float) -> Iterator[None]:
    """Let everything that is read meanwhile come in other base units; what was read before is forgotten."""
    before = list(_SCALE)
    try:
        _set_scale([metre, kilogram, second, kelvin, ampere])
        yield
    finally:
        _set_scale(before)


def _set_scale(scale: list[float]) -> None:
    _SCALE[:] = scale
    unit.cache_clear()
    for forget in _FORGET:
        forget()
