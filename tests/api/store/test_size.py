"""A hundred thousand jobs: a page deep in a list comes as soon as the first."""

import statistics
import time
from collections.abc import Iterator

import pytest
import sqlalchemy as sa
from starlette.testclient import TestClient

from api.store.address import read_address
from api.store.engine import Store
from api.store.schema import prepare
from tests.api.store.conftest import client_of

JOBS, DEEP, TIMES = 100_000, 99_000, 9
MOST = 1.5  # times the first page
ROWS = {
    "sqlite": f"WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {JOBS}) ",
    "postgresql": "",
}
FROM = {"sqlite": "FROM n", "postgresql": f"FROM generate_series(1, {JOBS}) AS n(i)"}
CUSTOMER = (
    "INSERT INTO customers (id, key, name, created_at) "
    "{rows} SELECT i, CAST(i AS TEXT), 'Customer ' || i, '2026-01-01' {source} WHERE i <= 1000"
)
JOB = (
    "INSERT INTO jobs (revision, reference, customer_id, state, search, created_at, changed_at) "
    "{rows} SELECT 1, 'K-' || i, 1 + i % 1000, CASE i % 3 WHEN 0 THEN 'issued' ELSE 'new' END, "
    "'k-' || i || ' boom foot' || CASE i % 10 WHEN 0 THEN ' quarry' ELSE '' END || ' customer ' || (1 + i % 1000), "
    "'2026-01-01', '2026-01-01' {source}"
)
REVISION = (
    "INSERT INTO job_revisions (job_id, revision, document, sha256, created_at, created_by) "
    "SELECT id, 1, '{{\"reference\":\"' || reference || '\"}}', 'h', created_at, 'ann' FROM jobs"
)


@pytest.fixture
def large(database: str) -> Iterator[TestClient]:
    """A service over a hundred thousand jobs."""
    store = Store(read_address(database))
    prepare(store)
    kind = "postgresql" if store.address.shared else "sqlite"
    with store.engine.execution_options(write=True).begin() as connection:
        for text in (CUSTOMER, JOB, REVISION):
            connection.execute(sa.text(text.format(rows=ROWS[kind], source=FROM[kind])))
    if store.address.shared:
        with store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.exec_driver_sql("ANALYZE")
    with client_of(store) as found:
        yield found
    store.close()


def test_a_deep_page_comes_as_soon_as_the_first(large: TestClient) -> None:
    for query in ("", "&q=quarry", "&q=boom+customer", "&state=issued", "&since=2025-12-01&until=2026-02-01"):
        first, deep = f"/api/jobs?limit=100{query}", f"/api/jobs?limit=100&after={JOBS - DEEP}{query}"
        pairs = [(seconds(large, first), seconds(large, deep)) for _ in range(TIMES)]
        ratio = statistics.median(two for _, two in pairs) / statistics.median(one for one, _ in pairs)
        ratio = min(ratio, min(two for _, two in pairs) / min(one for one, _ in pairs))  # others use the machine too
        assert ratio <= MOST, (query, ratio)


def seconds(large: TestClient, path: str) -> float:
    """Return how long a page of a hundred takes."""
    began = time.perf_counter()
    reply = large.get(path)
    took = time.perf_counter() - began
    assert (reply.status_code, len(reply.json()["items"])) == (200, 100 if "quarry" not in path else len(items(reply)))
    return took


def items(reply: object) -> list[object]:
    """Return the items of a page that may be the last one."""
    found: list[object] = reply.json()["items"]  # type: ignore[attr-defined]  # the test client's own type
    assert found
    return found


def test_every_job_is_found_by_paging_and_one_by_searching(large: TestClient) -> None:
    seen, after = 0, ""
    while True:
        page = large.get(f"/api/jobs?limit=500&state=new{after}").json()
        seen += len(page["items"])
        if page["next"] is None:
            break
        after = f"&after={page['next']}"
    assert seen == JOBS - JOBS // 3
    assert [item["id"] for item in large.get("/api/jobs?q=k-54321").json()["items"]] == [54321]
