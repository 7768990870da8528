"""A hundred thousand jobs: a page deep in a list costs the database no more than the first."""

from collections.abc import Iterator
from typing import Any

import pytest
import sqlalchemy as sa
import sqlalchemy.event
from starlette.testclient import TestClient

from api.store.engine import Store
from tests.api.conftest import client_of

JOBS, DEEP = 100_000, 99_000
MOST = 1.5  # times the work of the first page
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
def full(store: Store) -> Store:
    """A store of a hundred thousand jobs."""
    kind = "postgresql" if store.address.shared else "sqlite"
    with store.engine.execution_options(write=True).begin() as connection:
        for text in (CUSTOMER, JOB, REVISION):
            connection.execute(sa.text(text.format(rows=ROWS[kind], source=FROM[kind])))
    if store.address.shared:
        with store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.exec_driver_sql("ANALYZE")
    return store


@pytest.fixture
def large(full: Store) -> Iterator[TestClient]:
    """A service over a hundred thousand jobs."""
    with client_of(full) as found:
        yield found


def test_a_deep_page_takes_no_more_work_than_the_first(full: Store) -> None:
    for query in ("", "&q=quarry", "&q=boom+customer", "&state=issued", "&since=2025-12-01&until=2026-02-01"):
        first, deep = (work(full, f"/api/jobs?limit=100{query}{after}") for after in ("", f"&after={JOBS - DEEP}"))
        assert deep <= MOST * first, (query, first, deep)


def work(store: Store, path: str) -> int:
    """Return what the database does for a page: blocks that PostgreSQL reads, or hundreds of SQLite's instructions."""
    asked: list[tuple[str, Any]] = []

    def note(_: object, __: object, statement: str, parameters: Any, *___: object) -> None:
        asked.append((statement, parameters))

    sa.event.listen(store.engine, "before_cursor_execute", note)
    with client_of(store) as found:
        assert found.get(path).status_code == 200
    sa.event.remove(store.engine, "before_cursor_execute", note)
    done = [effort(store, *one) for one in asked if one[0].startswith("SELECT")]
    assert done
    return sum(done)


def effort(store: Store, statement: str, parameters: Any) -> int:
    """Return the work of one statement."""
    with store.engine.connect() as connection:
        if store.address.shared:
            told = connection.exec_driver_sql(f"EXPLAIN (ANALYZE, BUFFERS, FORMAT JSON) {statement}", parameters)
            plan = told.scalar_one()[0]["Plan"]
            return int(plan["Shared Hit Blocks"] + plan["Shared Read Blocks"])
        ticks: list[None] = []
        driver: Any = connection.connection.driver_connection
        driver.set_progress_handler(lambda: ticks.append(None), 100)
        connection.exec_driver_sql(statement, parameters).fetchall()
        driver.set_progress_handler(None, 0)
        return len(ticks)


def items(reply: object) -> list[object]:
    """Return the items of a page that may be the last one."""
    found: list[object] = reply.json()["items"]  # pyrefly: ignore[missing-attribute] # the test client's own type
    assert found
    return found


def test_every_job_is_found_by_paging_and_one_by_searching(large: TestClient) -> None:
    seen, after = 0, ""
    while True:
        page = large.get(f"/api/jobs?limit=500&state=issued{after}").json()
        seen += len(page["items"])
        if page["next"] is None:
            break
        after = f"&after={page['next']}"
    assert seen == JOBS // 3
    assert [item["id"] for item in large.get("/api/jobs?q=k-54321").json()["items"]] == [54321]
