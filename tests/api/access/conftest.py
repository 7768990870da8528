"""One service for others, with a job, quotes and a price book whose costs cannot be mistaken for anything else."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.api.access.running import Server, give_tokens, serving
from tests.jobs import bore, job

# Rates with odd figures, so that none of what follows from them stands anywhere by chance.
ODD_BOOK: dict[str, Any] = {
    "name": "Odd book",
    "note": "Invented, with odd figures.",
    "rates": {"labour_on_site": "61.37 EUR/h", "labour_travel": "47.83 EUR/h", "equipment": "22.91 EUR/h"},
    "travel": {"distance": "0.737 EUR/km", "night": "131.77 EUR"},
    "consumables": {"tip": {"price": "2.93 EUR"}, "wires": {"G3Si1 1.0 mm": {"price": "3.37 EUR/kg"}}},
    "overhead": 0.1379,
    "contingency": 0.0431,
    "margin": 0.2237,
}
ECONOMICS = {
    "discount_rate": 0.08,
    "hours_per_year": 1800,
    "downtime_cost": "140 EUR/h",
    "repair": {"life": "6000 h"},
    "replace": {"price": "7800 EUR", "life": "10000 h"},
}


@pytest.fixture(scope="session")
def odd_job() -> dict[str, Any]:
    """Return the job that is stored."""
    named = {"customer": {"name": "Oakmoor Quarry"}, "equipment": {"description": "loader 3", "hours": 9400}}
    return job(
        bore(), bore(name="B", length="85 mm"), reference="OQ-9", title="Boom foot", **named, economics=ECONOMICS
    )


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory, odd_job: dict[str, Any]) -> Iterator[Server]:
    """A server that asks everybody for a token: job 1, the issued quote 100001 and a draft, the book `odd`."""
    folder: Path = tmp_path_factory.mktemp("shop")
    database = f"sqlite:///{folder}/quotes.db"
    tokens = give_tokens(database)
    with serving(database, log=folder / "log", BOREWORTH_LOGIN="always", BOREWORTH_RATE_LIMIT="100000") as server:
        server.tokens = tokens
        assert server.ask("PUT", "/api/pricebooks/odd", "owner", ODD_BOOK).status == 201
        assert server.ask("POST", "/api/jobs?pricebook=odd", "estimator", odd_job).status == 201
        assert server.ask("POST", "/api/jobs/1/quotes", "estimator", {}).status == 201
        assert server.ask("POST", "/api/quotes/100001/issue", "owner", {}).status == 200
        assert server.ask("POST", "/api/jobs/1/quotes", "owner", {}).status == 201
        yield server
