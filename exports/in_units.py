"""A document's texts in the page's units: a figure that stands in a text is turned as those in tables are.

Texts come from the document of any age, in metric units. What the customer or the price book named stays as it was
named, but for a wire, whose size is told as the trade tells it in either system. Where a text gives both, as a rule
that was published in both does, "11 m (35 ft)", each page tells its own.
"""

import functools
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any, TypeVar, cast

from estimator.tables import raw
from estimator.units import deci, unit
from exports.format import Units, field, number, roughness_said
from exports.signs import NARROW

__all__ = ["FIGURE", "FOUND", "US", "figure_to_us", "in_units", "text_in", "turned_to_us", "units_of", "wire_said"]

T = TypeVar("T")
US = {
    # metric unit as typed or on paper: US unit in the units' table, on paper, decimals more, most decimals
    "mm": ("in", "in", 2, 4),
    "mm/turn": ("in", "in/turn", 2, 4),
    "m": ("ft", "ft", 0, 1),
    "km": ("mile", "miles", 0, 1),
    "µm": ("uin", "µin", -1, 0),
    "um": ("uin", "µin", -1, 0),
    "mm/s": ("ipm", "ipm", 0, 1),
    "mm/min": ("ipm", "ipm", 1, 1),
    "m/min": ("ipm", "ipm", -2, 0),
    "m/min of cutting": ("ft/min", "ft/min", 0, 0),
    "m/s": ("mph", "mph", 0, 1),
    "kg": ("lb", "lb", 0, 3),
    "L": ("ft3", "ft³", 1, 1),
    "L/min": ("cfh", "cfh", 0, 0),
    "kJ/mm": ("kJ/in", "kJ/in", 0, 1),
    "mm²": ("in2", "in²", 3, 4),
    "mm³": ("in3", "in³", 3, 3),
    "kW": ("hp", "hp", 0, 1),
    "bar": ("psi", "psi", 1, 1),
    "°C": ("degF", "°F", 0, 0),
    "degC": ("degF", "°F", 0, 0),
}
OURS = {"mm/turn": "mm", "m/min of cutting": "m/min", "µm": "um", "mm²": "mm2", "mm³": "mm3", "°C": "degC"}
AREA = {"in2": "in.in"}  # written so that the units' table makes it of its own
FIGURE = r"[0-9](?:[0-9]|,(?=[0-9]{3}))*(?:\.[0-9]+)?"
SPACE = f"[ {NARROW}]"
UNIT = "|".join(sorted(map(re.escape, US), key=len, reverse=True))
BOTH = re.compile(rf"({FIGURE}{SPACE}(?:{UNIT})) \(({FIGURE}{SPACE}(?:in|ft|miles|lb|psi|mph|ipm|cfh|°F))\)")
FOUND = re.compile(rf"(?<![\w.,])({FIGURE})((?: to | and | ± ?|±)({FIGURE}))?{SPACE}({UNIT})(?![\w/²³°])")
LISTED = re.compile(rf"(?<=depths )((?:{FIGURE}, )+)(?={FIGURE}{SPACE}mm)")
ASKED = re.compile(rf"(?<=, )({UNIT})(?=;|$)")  # what is to be written down: "air temperature, °C"
NAMED = frozenset(
    ("job", "reference", "name", "bore", "bores", "line", "code", "path", "engine", "input_sha256", "pricebook",
     "material", "currency", "price_key", "unit", "date", "tolerance")
)  # fmt: skip  # what these hold is a name or an identity, not a text of ours


def _places(text: str) -> int:
    return len(text.partition(".")[2])


def turned_to_us(text: str, symbol: str) -> str:
    """Return a figure in the US unit that stands for a metric one, about as fine."""
    if symbol in ("µm", "um"):
        return roughness_said(float(text.replace(",", "")))
    _, _, finer, most = US[symbol]
    other = figure_to_us(float(Decimal(text.replace(",", ""))), symbol)
    places = min(most, max(0, _places(text) + finer))
    while 0 < abs(other) < 10 ** (1 - places) and places < most:  # two digits at the least
        places += 1
    return number(other, places)


def figure_to_us(value: float, symbol: str) -> float:
    """Return a figure in the US unit that stands for a metric one, not rounded."""
    ours, target = unit(OURS.get(symbol, symbol)), US[symbol][0]
    return deci(value * ours.factor + ours.offset, AREA.get(target, target))


def _us(found: re.Match[str]) -> str:
    first, between, second, symbol = found[1], found[2], found[3], found[4]
    more = "" if second is None else between.removesuffix(second) + turned_to_us(second, symbol)
    return f"{turned_to_us(first, symbol)}{more} {US[symbol][1]}"


def text_in(text: str, units: Units) -> str:
    """Return a text with its figures in the page's units."""
    if units == "metric":
        return BOTH.sub(r"\1", text) if "(" in text else text
    said = ASKED.sub(lambda found: US[found[1]][1], LISTED.sub(_listed, BOTH.sub(r"\2", text)))
    return FOUND.sub(_us, said)


def _listed(found: re.Match[str]) -> str:
    """Return lengths that stand before one another, "10, 35, ", in inches."""
    return "".join(f"{turned_to_us(one, 'mm')}, " for one in found[1].removesuffix(", ").split(", "))


@functools.cache
def _sizes() -> dict[str, dict[str, str]]:
    """Return the trade sizes of wires: of each system the other's words."""
    rows = raw("wire_sizes")
    inch, metric = ([f"{row[key]} {sign}" for row in rows] for key, sign in (("inch", "in"), ("mm", "mm")))
    return {"metric": dict(zip(inch, metric, strict=True)), "us": dict(zip(metric, inch, strict=True))}


def wire_said(name: str, units: Units) -> str:
    """Return a wire's name with its size in the page's system: "E71T-1 0.045 in" is "E71T-1 1.2 mm" on metric paper."""
    for size, other in _sizes()[units].items():
        if name.endswith(f" {size}"):
            return f"{name.removesuffix(size)}{other}"
    return name


def _wires(document: Mapping[str, Any]) -> Iterator[str]:
    """Yield the wires that a document names: those of its plans and what was weighed beside them."""
    for bore in document.get("bores", ()):
        built = bore.get("buildup", {})
        yield from (one["wire"] for one in (built, *(built.get("alternatives") or ())) if "wire" in one)


def in_units(document: T, units: Units) -> T:
    """Return a document with its texts in the page's units, figures under their keys as they were."""
    wires = {name: wire_said(name, units) for name in _wires(cast(Mapping[str, Any], document))}
    renamed = {name: said for name, said in wires.items() if name != said}
    return cast(T, _walked(document, units, renamed))


def units_of(estimate: Mapping[str, Any]) -> Units:
    """Return the units that a document's job was typed in; metric for one of before that was told."""
    return "us" if field(estimate, "job", "typed_in") == "us" else "metric"


def _walked(item: Any, units: Units, wires: Mapping[str, str]) -> Any:  # noqa: ANN401  # JSON is of any type
    if isinstance(item, str):
        for name, said in wires.items():
            item = item.replace(name, said)
        return text_in(item, units)
    if isinstance(item, list):
        return [_walked(one, units, wires) for one in item]
    if isinstance(item, Mapping):
        return {key: _kept(key, one, units, wires) for key, one in item.items()}
    return item


def _kept(key: str, item: Any, units: Units, wires: Mapping[str, str]) -> Any:  # noqa: ANN401  # the same
    if isinstance(item, str) and key in ("name", "item", "wire"):
        return wires.get(item, item)
    if key == "transfer":  # its sizes are those of wires
        return _walked(item, units, {**wires, **_sizes()[units]})
    return item if key in NAMED and not _holds_texts(key, item) else _walked(item, units, wires)


def _holds_texts(key: str, item: object) -> bool:
    """Return whether what has a key of a name holds parts of the document: its bores."""
    return key == "bores" and isinstance(item, list) and any(isinstance(one, Mapping) for one in item)
