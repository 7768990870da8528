"""The place of a bore in the job document decides nothing: neither what the job takes nor what each bore does."""

import random
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.days.taken import taken_in_order
from estimator.errors import EstimatorError
from estimator.estimate import estimate, read_job
from tests.depth import seeds
from tests.golden.jobs import golden_case
from tests.jobs import job, quick


def _moved(document: dict[str, Any], seed: int) -> dict[str, Any]:
    """Return the job with its bores in another order."""
    bores = list(document["bores"])
    random.Random(seed).shuffle(bores)
    return {**document, "bores": bores}


SEVERAL = [n for n in range(60) if len(golden_case(n)[0]["bores"]) > 1]


@pytest.mark.parametrize("place", seeds(24, 10))
def test_bores_in_another_order_change_no_total(place: int) -> None:
    number = SEVERAL[place]
    document, patch = golden_case(number)
    book = read_pricebook(patch)
    other = _moved(document, number)
    try:
        before: Any = estimate(document, book)
    except EstimatorError as error:
        with pytest.raises(type(error)):
            estimate(other, book)
        return
    after: Any = estimate(other, book)
    assert after["totals"] == before["totals"]
    parts = [sorted(one["price"].pop("bores"), key=str) for one in (after, before)]  # told in the document's order
    assert parts[0] == parts[1]
    assert after["price"] == before["price"] and after["cost"]["total"] == before["cost"]["total"]
    assert {one["name"]: one["time"] for one in after["bores"]} == {one["name"]: one["time"] for one in before["bores"]}
    assert [one["name"] for one in after["schedule"]["tasks"]] == [one["name"] for one in before["schedule"]["tasks"]]


def test_the_largest_is_taken_first_then_the_longest_then_by_name_as_a_person_counts() -> None:
    bores = [
        quick(90, 92, name="B10"),
        quick(90, 92, name="B2"),
        quick(90, 92, name="A", length="80 mm"),
        quick(120, 122, name="Z"),
    ]
    found = read_job(job(*bores), read_pricebook()).bores
    assert [found[n].name for n in taken_in_order(found)] == ["Z", "A", "B2", "B10"]
