"""Slips of the pen among measured sizes: a decimal comma lost, inches for millimetres, a radius for a diameter."""

from collections.abc import Iterator, Mapping
from typing import Any

from estimator.errors import Fault
from estimator.units import UnitError, convert, deci, read, unit

__all__ = ["slips_in"]

LEAST, MOST = 0.85, 2.0  # shares of the nominal diameter that a measured one has
TIMES = {
    10.0: "ten times", 100.0: "a hundred times", 1000.0: "a thousand times", 0.1: "a tenth of", 0.01: "a hundredth of",
}  # fmt: skip
INCH, NEAR = 25.4, 0.2
MANY = 3  # sizes that are off alike, from where on the nominal is the one to look at


def _metres(value: object, said: str) -> float | None:
    """Return a length of the document; None where it is none. [m]"""
    try:
        if isinstance(value, int | float) and not isinstance(value, bool):
            return convert(float(value), unit(said), "length")
        return read(value, "length")
    except UnitError:
        return None


def _as_typed(value: object, said: str) -> str:
    return value if isinstance(value, str) else f"{value:.10g} {said}" if isinstance(value, int | float) else ""


def _slip(ratio: float, kind: str) -> str:
    """Return what may have gone wrong with a size that is so many times what it should be about; empty if nothing."""
    if LEAST <= ratio <= MOST:
        return ""
    for times, words in ((INCH, "inches typed as millimetres"), (1 / INCH, "millimetres typed as inches")):
        if abs(ratio * times - 1) < NEAR or abs(ratio * times / MOST * 2 - 1) < NEAR:
            return f"is off by 25.4: {words}?"
    for times, words in TIMES.items():
        if LEAST <= ratio / times <= MOST:
            return f"is {words} the nominal {{}}: a decimal comma?"
    if kind != "radius" and LEAST <= 2 * ratio <= MOST:
        return "is about half the nominal {}: a radius, where a diameter is due?"
    if kind == "radius" and LEAST <= ratio / 2 <= MOST:
        return "is about the nominal {}: a diameter, where a radius is due?"
    return ""


def _sizes(bore: Mapping[str, Any]) -> Iterator[tuple[str, object, str, str]]:
    """Yield key, value, unit and kind of every size that was measured."""
    for key in ("worn_diameter", "cleanup_diameter"):
        if key in bore:
            yield key, bore[key], "", "diameter"
    readings = bore.get("readings")
    if (
        not isinstance(readings, dict)
        or readings.get("kind") == "points"
        or not isinstance(readings.get("values"), list)
    ):
        return
    for row, cells in enumerate(readings["values"]):
        for column, cell in enumerate(cells if isinstance(cells, list) else ()):
            for value in cell if isinstance(cell, list) else (cell,):
                yield f"readings.values.{row}.{column}", value, str(readings.get("unit")), str(readings.get("kind"))


def slips_in(document: Mapping[str, Any], cells: Mapping[str, str]) -> Iterator[Fault]:
    """Yield every measured size that is far off its bore's nominal one in a way that people slip, at its cell.

    Where all sizes of a bore are off alike, it is the nominal that is wrong: that is told once, at its cell.
    """
    for number, bore in enumerate(document.get("bores", [])):
        nominal = _metres(bore.get("nominal_diameter"), "mm") if isinstance(bore, dict) else None
        if not nominal:
            continue
        said = list(_slips(bore, nominal))
        kinds, at = {slip for _, slip, _ in said}, cells.get(f"bores.{number}.nominal_diameter")
        if at and len(said) >= MANY and len(kinds) == 1 and "" not in kinds:
            typed = _as_typed(bore["nominal_diameter"], "")
            yield Fault(at, f"{typed}: all {len(said)} sizes read are off it alike, so look here first; {said[0][2]}")
            continue
        for key, slip, words in said:
            if slip and (cell := cells.get(f"bores.{number}.{key}")):
                yield Fault(cell, words)


def _slips(bore: Mapping[str, Any], nominal: float) -> Iterator[tuple[str, str, str]]:
    """Yield key, slip (empty: none) and what is said of it, of every size of a bore that is one."""
    for key, value, said, kind in _sizes(bore):
        size = _metres(value, said)
        if not size:
            continue
        slip = _slip((2.0 if kind == "radius" else 1.0) * size / nominal, kind)
        own = nominal / 2 if kind == "radius" else nominal
        given = _as_typed(bore["nominal_diameter"], "") if kind != "radius" else f"{deci(own, 'mm'):.5g} mm radius"
        yield key, slip, f"{_as_typed(value, said)} {slip.format(given)}"
