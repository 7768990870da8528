"""What was issued or noted stays, whoever writes into the database; and what was altered all the same is told."""

import json
import sqlite3
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import DatabaseError
from starlette.testclient import TestClient

from api.access.secrets import digest, new_token
from api.store import keys
from api.store.address import read_address
from api.store.engine import Store
from api.store.schema import migrate
from tests.api.conftest import client_of
from tests.api.servers import Nursery, Reply, Server
from tests.api.service import job
from tests.api.store.test_jobs import add
from tests.api.store.test_quotes import draft, step
from tests.api.store.test_schema import held_at

OF_QUOTES = "number, job_id, job_revision, revision, first, state, currency, total, created_at, created_by"
OF_PAPERS = "engine, tables_sha256, job, pricebook, estimate, explanations"
A_QUOTE = "1, 1, 1, {quote}, 'draft', 'EUR', '1.00', '2026', 'me'"
ANYWHERE = [  # what either database refuses; 100001 is issued, 100002 a draft
    *(f"UPDATE quotes SET {change} WHERE number = 100001" for change in (
        "number = 100009", "job_id = 2", "job_revision = 7", "revision = 7", "first = 7", "revises = 100002",
        "pricebook = 'x'", "currency = 'USD'", "total = '1.00'", "created_at = '2020'", "created_by = 'me'",
        "issued_at = '2020'", "issued_by = 'me'", "valid_until = '2099'", "state = 'draft'", "state = 'paid'",
        "state = 'draft', issued_at = NULL", "settled_at = '2026'", "settled_by = 'me'", "issued_at = NULL",
    )),
    "UPDATE quotes SET state = 'accepted' WHERE number = 100002",
    "UPDATE quotes SET number = 100009 WHERE number = 100002",
    "DELETE FROM quotes WHERE number = 100001",
    "UPDATE papers SET number = 100001 WHERE number = 100002",
    "UPDATE papers SET sha256 = NULL WHERE number = 100001",
    "UPDATE calibrations SET document = '{}' WHERE id = 1",
    "DELETE FROM calibrations WHERE id = 1",
]  # fmt: skip
IN_A_FILE = [
    "INSERT OR REPLACE INTO calibrations (id, document, sha256, created_at, created_by) "
    "VALUES (1, '{}', '', '2026', 'me')",
    f"INSERT OR REPLACE INTO papers (number, {OF_PAPERS}) SELECT 100001, {OF_PAPERS} FROM papers WHERE number = 100002",
    f"REPLACE INTO papers (rowid, number, {OF_PAPERS}) SELECT (SELECT rowid FROM papers WHERE number = 100001), "
    f"100009, {OF_PAPERS} FROM papers WHERE number = 100002",
    f"INSERT INTO papers (number, {OF_PAPERS}) SELECT 100001, {OF_PAPERS} FROM papers WHERE number = 100002 "
    "ON CONFLICT (number) DO UPDATE SET estimate = '{}'",
    "UPDATE OR REPLACE papers SET number = 100001 WHERE number = 100002",
    "UPDATE OR REPLACE papers SET rowid = (SELECT rowid FROM papers WHERE number = 100001) WHERE number = 100002",
    f"INSERT OR REPLACE INTO quotes ({OF_QUOTES}) VALUES (100001, {A_QUOTE.format(quote=100001)})",
    f"REPLACE INTO quotes (rowid, {OF_QUOTES}) SELECT rowid, 100009, {A_QUOTE.format(quote=100009)} FROM quotes "
    "WHERE number = 100001",
    "UPDATE OR REPLACE quotes SET number = 100001 WHERE number = 100002",
    "UPDATE OR REPLACE quotes SET rowid = (SELECT rowid FROM quotes WHERE number = 100001) WHERE number = 100002",
    "INSERT OR REPLACE INTO audit (id, at, actor, role, action, subject, detail, request) "
    "VALUES (1, '2026', 'me', 'owner', 'nothing', 'job 1', '{}', '')",
    "INSERT INTO audit (id, at, actor, role, action, subject, detail, request) "
    "VALUES (1, '2026', 'me', 'owner', 'nothing', 'job 1', '{}', '') ON CONFLICT (id) DO UPDATE SET actor = 'me'",
]


def issued_and_draft(shop: TestClient) -> None:
    """Issue the quote 100001 of job 1, draft 100002 of job 2, and accept the calibration 1."""
    for quote in ("100001", "100002"):
        assert draft(shop, add(shop)) == quote
    step(shop, "100001", "issue")
    assert shop.post("/api/calibrations", json={}).json()["version"] == 1


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database file with an issued quote and a draft, as another program opens it."""
    from api.store.schema import prepare

    file = tmp_path_factory.mktemp("kept") / "shop.db"
    store = Store(read_address(f"sqlite:///{file}"))
    prepare(store)
    issued_and_draft(client_of(store))
    store.close()
    return file


def dumped(line: sqlite3.Connection) -> list[str]:
    return list(line.iterdump())


@pytest.mark.parametrize("recursive", ["OFF", "ON"])
@pytest.mark.parametrize("foreign", ["OFF", "ON"])
def test_no_statement_of_another_program_changes_what_is_in_a_file(kept: Path, recursive: str, foreign: str) -> None:
    line = sqlite3.connect(kept, isolation_level=None)
    line.execute(f"PRAGMA recursive_triggers = {recursive}")
    line.execute(f"PRAGMA foreign_keys = {foreign}")
    before = dumped(line)
    for text in (*ANYWHERE, *IN_A_FILE):
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            line.execute(text)
        assert dumped(line) == before, text
    line.close()


def test_no_statement_changes_what_was_issued(shop: TestClient, store: Store) -> None:
    issued_and_draft(shop)
    before = shop.get("/api/quotes").content
    for text in (*ANYWHERE, "TRUNCATE quotes CASCADE" if store.address.shared else IN_A_FILE[0]):
        with pytest.raises(DatabaseError, match="never changed"), store.engine.begin() as connection:
            connection.execute(sa.text(text))
    assert shop.get("/api/quotes").content == before
    for quote, word in (("100001", "decline"), ("100002", "issue")):
        step(shop, quote, word)  # its own life goes on
    revised = step(shop, "100001", "revise")["number"]
    assert step(shop, revised, "issue")["state"] == "issued"
    assert shop.get("/api/quotes/100001").json()["state"] == "superseded"


# ---------------------------------------------------------------- altered all the same

PATHS = ["/api/quotes/100001", "/api/quotes/100001.xlsx", "/quotes/100001"]
ALTERED = [
    ("UPDATE papers SET estimate = replace(estimate, '\"EUR\"', '\"USD\"') WHERE number = 100001", "not that of its"),
    ("UPDATE papers SET estimate = '{' WHERE number = 100001", "cannot be read"),
    ("UPDATE papers SET sha256 = '0' WHERE number = 100001", "not that of its estimate"),
    ("UPDATE papers SET sha256 = NULL WHERE number = 100001", "without the hash"),
    ("UPDATE quotes SET total = '1.00' WHERE number = 100001", "stands at 1.00 EUR"),
    ("UPDATE quotes SET state = 'draft' WHERE number = 100001", "draft with the hash"),
]


def unguarded(file: Path, text: str) -> None:
    """Change a database file past everything that guards it."""
    line = sqlite3.connect(file, isolation_level=None)
    guards = line.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        line.execute(f"DROP TRIGGER {name}")
    line.execute(text)
    for _, sql in guards:
        line.execute(sql)
    line.close()


def asked(server: Server, path: str) -> Reply:
    return server.ask("GET", path, **({"accept": "text/html"} if path.startswith("/quotes") else {}))


@pytest.mark.parametrize(("text", "said"), ALTERED)
def test_what_was_altered_is_told_and_never_served(
    nursery: Nursery, sqlite: str, tmp_path: Path, text: str, said: str
) -> None:
    with nursery.serving(sqlite) as server:
        number = server.ask("POST", "/api/jobs", job()).json()["id"]
        server.ask("POST", f"/api/jobs/{number}/quotes")
        assert server.ask("POST", "/api/quotes/100001/issue").status == 200
        assert [asked(server, path).status for path in PATHS] == [200, 200, 200]
        unguarded(tmp_path / "shop.db", text)
        for path in PATHS:
            reply = asked(server, path)
            assert (reply.status, said in reply.body.decode()) == (500, True), (path, reply)
        problem = server.ask("GET", PATHS[0]).json()
        assert problem["type"] == "urn:boreworth:problem:altered-quote"
        lines = [json.loads(line) for line in server.said.read_text().splitlines() if line.startswith("{")]
        assert [line["event"] for line in lines] == ["altered"] * 4
        assert said in lines[0]["said"]
        assert server.ask("POST", "/api/quotes/100001/accept").status in {409, 500}


# ---------------------------------------------------------------- whose a repeated request is


def test_a_repeated_request_belongs_to_a_token_not_to_its_name(shop: TestClient, store: Store) -> None:
    kept = dict[str, tuple[int, int, bool]]()
    for turn in ("first", "second"):
        secret = new_token()
        with store.writing() as db:
            keys.add(db, "van 2", "estimator", digest(secret), None)
        asked = {"authorization": f"Bearer {secret}", "idempotency-key": "k"}
        one, two = (shop.post("/api/jobs", json=job(), headers=asked) for _ in "12")
        kept[turn] = (one.json()["id"], two.json()["id"], "idempotent-replayed" in one.headers)
        with store.writing() as db:
            keys.revoke(db, "van 2")
    assert kept == {"first": (1, 1, False), "second": (2, 2, False)}


def test_what_was_kept_by_name_is_kept_by_token(database: str) -> None:
    store = Store(read_address(database))
    held_at(store, "0002")
    with store.engine.execution_options(write=True).begin() as line:
        for number, name in enumerate(("van 1", "van 2", "van 2", "token 1"), 1):
            said = {"name": name, "sha": str(number)}
            text = "INSERT INTO tokens (name, role, sha256, created_at) VALUES (:name, 'field', :sha, '2026')"
            line.execute(sa.text(text), said)
        for actor in ("van 1", "van 2", "token 1", "loopback"):
            text = "INSERT INTO replays VALUES (:actor, 'k', '/', '', 201, '{}', '[{},{}]', '2099')"
            line.execute(sa.text(text), {"actor": actor})
    migrate(store)
    with store.engine.connect() as line:
        found = line.execute(sa.text("SELECT actor FROM replays ORDER BY actor")).scalars().all()
    assert found == ["loopback", "token 1"]  # the one that was kept as "van 1"; a name of several tells nothing
    store.close()
