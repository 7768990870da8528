"""A bar held on one side only: told where it stands out by more than four times its thickness, and only there."""

import pytest

from estimator.book.pricebook import read_pricebook
from tests.jobs import bore, codes, job
from tests.raw import estimate

BOOK = read_pricebook()


def _blind(length: str, nominal: str, worn: str) -> list[str]:
    document = job(
        bore(
            blind=True,
            length=length,
            nominal_diameter=nominal,
            worn_diameter=worn,
            outside_diameter=None,
            readings=None,
        )
    )
    return codes(estimate(document, BOOK))


@pytest.mark.parametrize(
    ("length", "nominal", "worn", "told"),
    [("300 mm", "60 mm", "62 mm", True), ("20 mm", "200 mm", "202 mm", False)],
)
def test_a_bar_that_stands_out_far_is_told(length: str, nominal: str, worn: str, told: bool) -> None:
    assert ("bar_overhangs" in _blind(length, nominal, worn)) is told
