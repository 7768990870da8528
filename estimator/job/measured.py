"""Whether a bore or a step of it was measured one way, at places and sizes that can be."""

from collections.abc import Iterator
from typing import Protocol

from estimator.errors import AtError
from estimator.job.readings import Readings

__all__ = ["measured"]

LEAST_SIZE, MOST_SIZE = 0.85, 2.0  # shares of the nominal diameter
INCH, NEAR, BELOW = 25.4, 0.2, 0.03  # a worn bore measures its nominal size and more
WEAR = 0.2  # of the nominal diameter: no more is worn off


class Measured(Protocol):
    """What was measured: readings or one worst diameter, and the bore as cut. [m]"""

    @property
    def nominal_diameter(self) -> float:
        """Nominal diameter. [m]"""

    @property
    def length(self) -> float:
        """Length. [m]"""

    @property
    def readings(self) -> Readings | None:
        """Readings, or None."""

    @property
    def worn_diameter(self) -> float | None:
        """Worst diameter, or None. [m]"""

    @property
    def cleanup_diameter(self) -> float | None:
        """Bore as cut, or None. [m]"""


def measured(bore: Measured) -> None:
    """Raise `AtError` unless a bore or step was measured one way, at places and sizes that can be."""
    if (bore.readings is None) is (bore.worn_diameter is None):
        said = "is missing; give readings, or worn_diameter for a budget price"
        raise AtError("readings", said if bore.readings is None else "give readings or worn_diameter, not both")
    for key, size in _sizes_read(bore):
        if not LEAST_SIZE * bore.nominal_diameter <= size <= MOST_SIZE * bore.nominal_diameter:
            raise AtError(key, f"is {size / bore.nominal_diameter:.3g} times the nominal size: {_slip(bore, size)}")
    for number, depth in enumerate(bore.readings.depth if bore.readings else ()):
        if depth > bore.length:
            at = f"readings.depth.{number}"
            raise AtError(at, "lies beyond the bore's length; it counts from the machine's face")


def _slip(bore: Measured, size: float) -> str:
    """Return what may have gone wrong with a size that is far off."""
    ratio = size / bore.nominal_diameter
    for times, said in ((INCH, "inches taken for millimetres"), (1 / INCH, "millimetres taken for inches")):
        if -BELOW < ratio * times - 1 < NEAR:
            return f"off by 25.4, so {said}? Say the unit"
    if ratio <= WEAR and not -BELOW < 10 * ratio - 1 < NEAR:
        found = (bore.nominal_diameter + size) * 1e3
        return f"is that the wear itself? Type the diameter found; worn so far to one side it is {found:g} mm"
    return "a decimal-point error, inch for mm, or radius for diameter?"


def _sizes_read(bore: Measured) -> Iterator[tuple[str, float]]:
    """Yield every size measured in a bore as a diameter, with its key."""
    if bore.worn_diameter is not None:
        yield "worn_diameter", bore.worn_diameter
    if bore.cleanup_diameter is not None:
        yield "cleanup_diameter", bore.cleanup_diameter
    if bore.readings is not None and bore.readings.kind != "points":
        times = 2.0 if bore.readings.kind == "radius" else 1.0
        for row, cells in enumerate(bore.readings.values):
            for column, cell in enumerate(cells):
                for value in cell if isinstance(cell, tuple) else (cell,) if cell is not None else ():
                    yield f"readings.values.{row}.{column}", times * value
