"""Figures of the document: ten digits at the most, none finer than its quantity's least place, never a minus zero."""

import math
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.express import DIGITS, rounded
from estimator.nomenclature import quantities
from tests.golden.hold import document_of

SAMPLES = sorted(path.stem for path in Path("sample_jobs").glob("*.json"))
SHARES = {"fraction": "margin", "tax": "tax_fraction"}


def figures(item: Any, key: str = "", path: str = "") -> Iterator[tuple[str, str, float]]:
    """Yield every float of a document with its key and its path."""
    if isinstance(item, dict):
        for name, each in item.items():
            yield from figures(each, name, f"{path}.{name}")
    elif isinstance(item, list):
        for number, each in enumerate(item):
            yield from figures(each, key, f"{path}.{number}")
    elif isinstance(item, float):
        yield path, key, item


@pytest.mark.parametrize("name", [*SAMPLES, *(f"random {n}" for n in range(0, 300, 25))])
def test_every_figure_has_a_least_place(name: str) -> None:
    for path, key, value in figures(document_of(name)):
        if path.startswith(".take."):  # in the unit of the item's pack, whatever that is: ten digits
            assert value == float(f"{value:.10g}"), path
            continue
        known = quantities()[SHARES.get(key, key)]
        exact = Decimal(repr(value)).normalize()
        assert len(exact.as_tuple().digits) <= DIGITS, f"{path} {value}"
        assert not value or int(exact.as_tuple().exponent) >= min(0, known.least), f"{path} {value}"
        assert value or not math.copysign(1, value) < 0, f"{path} is a minus zero"


@given(st.floats(-1e7, 1e7), st.integers(-9, 0))
def test_a_rounded_number_lies_within_half_a_place(number: float, least: int) -> None:
    place = max(10.0**least, 10.0 ** (math.floor(math.log10(abs(number))) - DIGITS + 1) if number else 0.0)
    assert abs(rounded(number, least) - number) <= place * (0.5 + 1e-2)
    assert rounded(rounded(number, least), least) == rounded(number, least)
    assert math.copysign(1, rounded(-1e-30, least)) > 0


@given(st.integers(-(10**7), 10**7), st.integers(-6, -1), st.floats(-4e-16, 4e-16))
def test_what_lies_half_way_is_rounded_alike_whatever_its_last_bits(number: int, least: int, noise: float) -> None:
    half = (number + 0.5) * 10.0**least
    assert rounded(half * (1 + noise), least) == rounded(half, least)


@pytest.mark.parametrize(
    ("number", "least", "said"),
    [
        (2e-15, -8, 0.0),
        (-7e-15, -6, 0.0),
        (44.4500635, -6, 44.450064),
        (123456.7891234, -6, 123456.7891),
        (90.0, 0, 90.0),
    ],
)
def test_noise_is_nothing_and_ten_digits_are_enough(number: float, least: int, said: float) -> None:
    assert rounded(number, least) == said
