"""POST /api/estimates?spread=N: the spread that the engine answers."""

import pytest
from starlette.testclient import TestClient

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.api.service import client, job


def test_a_spread_comes_where_it_is_asked_for() -> None:
    found = client().post("/api/estimates?spread=20", json=job()).json()
    assert found["spread"] == estimate(job(), read_pricebook(), "plan", 20)["spread"]


@pytest.mark.parametrize("query", ["spread=1e3", "spread=1000001", "spread=-4", "spread=", "spread=9&detail=price"])
def test_a_spread_that_cannot_be_is_422_at_its_name(query: str) -> None:
    service: TestClient = client()
    response = service.post(f"/api/estimates?{query}", json=job())
    assert (response.status_code, response.json()["errors"][0]["path"]) == (422, "spread")
