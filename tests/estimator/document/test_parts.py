"""Parts of the document: what a writer makes of a table or a list has the keys of its type."""

from estimator.document.supplies import Consumption
from estimator.shop.supplies import SHOWN


def test_what_is_used_up_has_the_keys_of_its_type() -> None:
    assert [key for key, _ in SHOWN.values()] == list(Consumption.__annotations__)
