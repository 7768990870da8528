"""A backup from anywhere: only its rows are taken, and only if all of them are what was once kept."""

import json
import os
import shutil
import sqlite3
from pathlib import Path

import pytest

from api.store.address import read_address
from api.store.backups import back_up, restore
from api.store.engine import Store
from api.store.errors import AlteredError, UnusableError
from api.store.keys import add as add_token
from api.store.keys import every
from api.store.quotes import stored_workbook
from api.store.schema import prepare
from api.store.whole import COSTED as TITLES
from api.store.whole import shows_cost
from exports.sheets import COSTED
from exports.workbook import sheets_of
from tests.api.conftest import client_of
from tests.api.servers import Nursery, command
from tests.api.service import job
from tests.api.store.test_backups import ME, busy_shop, held
from tests.api.store.test_jobs import add

GUARDS = "SELECT name, sql FROM sqlite_master WHERE type IN ('trigger', 'view', 'index', 'table') ORDER BY name"


def doctored(file: Path, *lines: str) -> None:
    """Change a backup as a program may that bypasses all that guards it."""
    line = sqlite3.connect(file, isolation_level=None)
    for (name,) in line.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        line.execute(f"DROP TRIGGER {name}")
    for text in lines:
        line.execute(text)
    line.close()


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a shop of one of everything and a token, `from.db`, and its backup."""
    folder = tmp_path_factory.mktemp("from")
    store = Store(read_address(f"sqlite:///{folder}/from.db"))
    prepare(store)
    busy_shop(client_of(store))
    with store.writing() as session:
        add_token(session, "tablet", "field", "5ec2e7" * 10, None)
    back_up(store, f"{folder}/backup")
    store.close()
    return folder


@pytest.fixture
def backup(sound: Path, tmp_path: Path) -> Path:
    """A copy of that backup, of the test's own, with the shop beside it."""
    shutil.copytree(sound, tmp_path, dirs_exist_ok=True)
    return tmp_path / "backup"


@pytest.fixture
def target(store: Store) -> Store:
    """A database with a job of its own, of each kind in turn."""
    add(client_of(store), title="what was here")
    return store


ADDED = (
    "CREATE TRIGGER own AFTER INSERT ON jobs BEGIN INSERT INTO tokens (name, role, sha256, created_at) "
    "VALUES ('intruder', 'owner', NEW.id, '2026'); END",
    "CREATE TRIGGER papers_no_update AFTER INSERT ON papers BEGIN UPDATE tokens SET role = 'owner'; END",
    "CREATE VIEW seen AS SELECT * FROM tokens",
    "CREATE INDEX own_index ON jobs (upper(reference))",
    "CREATE TABLE own_table (held TEXT)",
    "ALTER TABLE jobs ADD COLUMN own_column TEXT DEFAULT 'x'",
)


def test_nothing_but_rows_is_taken(backup: Path, target: Store, tmp_path: Path) -> None:
    doctored(backup, *ADDED)
    restore(str(backup), target, ME)
    shop = client_of(target)
    with target.reading() as session:
        assert [(token.name, token.role) for token in every(session)] == [("tablet", "field")]
    assert add(shop) > 1  # a job more, and no trigger of the file runs
    with target.reading() as session:
        assert [(token.name, token.role) for token in every(session)] == [("tablet", "field")]
    if not target.address.shared:
        plain = Store(read_address(f"sqlite:///{tmp_path}/plain.db"))
        prepare(plain)
        plain.close()
        found = [
            sqlite3.connect(file).execute(GUARDS).fetchall() for file in (target.address.file, tmp_path / "plain.db")
        ]
        assert found[0] == found[1]


ALTERED = [
    ("UPDATE papers SET estimate = replace(estimate, '\"EUR\"', '\"USD\"')", "quote 100001 says something else"),
    ("UPDATE papers SET sha256 = NULL", "without the hash"),
    ("DELETE FROM papers", "quote 100001 has no paper"),
    ("UPDATE papers SET workbook_without_cost = workbook", "than was issued: workbook_without_cost"),
    ("UPDATE papers SET workbook = x'504b0304'", "than was issued: workbook"),
    ("UPDATE papers SET workbook_without_cost = NULL", "than was issued: workbook_without_cost"),
    ("UPDATE papers SET job = '{}', engine = 'x'", "than was issued: engine, job"),
    ("UPDATE papers SET pricebook = '{}'", "than was issued: pricebook"),
    ("UPDATE papers SET explanations = x'00'", "than was issued: explanations"),
    (
        "UPDATE audit SET detail = json_remove(detail, '$.paper'); UPDATE papers SET workbook_without_cost = workbook",
        "shows what it costs",
    ),
    ("UPDATE actuals SET judged = 'x'", "actuals.judged holds what is no JSON object"),
    (
        "UPDATE audit SET detail = '[' WHERE action = 'job stored'; UPDATE actuals SET document = '7'",
        "actuals.document",
    ),
    ("DELETE FROM audit WHERE action = 'quote issued'", "quote 100001 was issued, and the audit has no note"),
    ("UPDATE quotes SET total = '1.00'", "stands at 1.00 EUR"),
    ("UPDATE quotes SET state = 'draft', issued_at = NULL", "draft with the hash"),
    ("UPDATE quotes SET state = 'paid'", "quotes.state holds 'paid'"),
    ('UPDATE audit SET detail = replace(detail, \'"sha256": "\', \'"sha256": "0\')', "than the audit noted"),
    ("DELETE FROM invoices", "0 invoices are there, and 1 numbers were given"),
    ("UPDATE invoices SET total = '1.00'", "invoice 200001 stands at 1.00 EUR"),
    ("UPDATE invoices SET papers = x'00'", "invoice 200001 has other papers"),
    ("DELETE FROM audit WHERE action = 'invoice issued'", "invoice 200001 was made, and the audit has no note"),
    ("UPDATE variations SET state = 'paid'", "variation 1 of quote 100001 is 'paid'"),
    ("UPDATE variations SET document = '{}'", "variation 1 of quote 100001 says something else"),
    ("UPDATE job_revisions SET document = '{}'", "job 1 of revision 1 has not the hash"),
    ("UPDATE tokens SET role = 'root'", "tokens.role holds 'root'"),
    ("UPDATE counters SET last = 7", "counted up to 7 only"),
    ("DELETE FROM counters", "counted up to None"),
    ("UPDATE counters SET last = 9223372036854775807", "counted up to"),
    ("UPDATE sqlite_sequence SET seq = 9223372036854775807", "never happens"),
    ("UPDATE jobs SET title = x'ff'", "jobs.title holds what is no str"),
    ("UPDATE jobs SET reference = CAST(x'ff' AS TEXT)", "UTF-8"),
    ("UPDATE quotes SET job_id = 99", "do not go together"),
    ("ALTER TABLE papers RENAME TO p; CREATE VIEW papers AS SELECT * FROM p", "lacks the table papers"),
    ("ALTER TABLE jobs DROP COLUMN search", "jobs lacks search"),
    ("DROP TABLE replays", "lacks the table replays"),
    ("DELETE FROM boreworth_version", "does not say of which version"),
    ("DROP TABLE boreworth_version", "holds nothing of boreworth"),
    ("UPDATE boreworth_version SET version_num = '0999'", "newer boreworth"),
]


@pytest.mark.parametrize("text, said", ALTERED)  # noqa: PT006  # read as one line each
def test_a_backup_that_was_altered_changes_nothing(backup: Path, sqlite: str, text: str, said: str) -> None:
    store = Store(read_address(sqlite))
    prepare(store)
    add(client_of(store))
    before, files = held(store), sorted(os.listdir(backup.parent))
    doctored(backup, *text.split("; "))
    with pytest.raises(UnusableError, match=said) as found:
        restore(str(backup), store, ME)
    assert str(backup) in str(found.value)
    assert (held(store), sorted(os.listdir(backup.parent))) == (before, files)
    store.close()


def test_every_token_that_a_restore_lets_in_anew_is_told(backup: Path, target: Store) -> None:
    with target.writing() as session:
        add_token(session, "tablet", "field", "5ec2e7" * 10, None)
    doctored(
        backup, "INSERT INTO tokens (name, role, sha256, created_at) VALUES ('in' || char(10), 'owner', 'ab', '2026')"
    )
    told = [line for line in restore(str(backup), target, ME) if line.startswith("lets in")]
    assert told == ["lets in a token it did not before: 'in\\n' as owner"]


def test_what_was_issued_before_more_was_noted_is_restored(backup: Path, target: Store) -> None:
    doctored(backup, "UPDATE audit SET detail = json_remove(detail, '$.paper')")
    restore(str(backup), target, ME)
    assert client_of(target).get("/api/quotes/100001.xlsx").status_code == 200


def test_a_quote_that_was_issued_before_there_was_an_audit_is_restored(backup: Path, target: Store) -> None:
    later = ("audit", "replays", "invoices", "variations")
    dropped = (*(f"DROP TABLE {name}" for name in later), "DELETE FROM counters WHERE name = 'invoice'")
    doctored(backup, *dropped, "UPDATE boreworth_version SET version_num = '0001'")
    restore(str(backup), target, ME)
    assert client_of(target).get("/api/quotes/100001.xlsx").status_code == 200


def test_the_sheets_of_cost_are_known_by_their_titles(backup: Path) -> None:
    query = "SELECT estimate, workbook, workbook_without_cost FROM papers WHERE number = 100001"
    text, costed, plain = sqlite3.connect(backup).execute(query).fetchone()
    names = {one.name for one in sheets_of(json.loads(text), COSTED)}
    assert {name.lower().encode() for name in names} == TITLES
    assert (shows_cost(costed), shows_cost(plain), shows_cost(b"PK\3\4"), shows_cost(b"")) == (True, False, True, True)


def test_a_costed_workbook_is_not_served_as_one_without(backup: Path) -> None:
    doctored(backup.parent / "from.db", "UPDATE papers SET workbook_without_cost = workbook")
    store = Store(read_address(f"sqlite:///{backup.parent}/from.db"))
    with pytest.raises(AlteredError, match="shows what it costs"):
        stored_workbook(store, 100001, "en")
    store.close()


def test_a_shared_database_stays_as_it_is_too(backup: Path, postgresql: str) -> None:
    store = Store(read_address(postgresql))
    prepare(store)
    add(client_of(store))
    before = held(store)
    doctored(backup, ALTERED[0][0])
    with pytest.raises(UnusableError, match=ALTERED[0][1]):
        restore(str(backup), store, ME)
    assert held(store) == before
    store.close()


def test_a_database_in_use_is_no_backup(nursery: Nursery, sqlite: str, tmp_path: Path) -> None:
    with nursery.serving(sqlite) as server:
        assert server.ask("POST", "/api/jobs", job()).status == 201
        code, _, said = command("restore", f"{tmp_path}/shop.db", "--database", f"sqlite:///{tmp_path}/other.db")
        assert (code, "is a database in use" in said) == (2, True)
        assert not (tmp_path / "other.db").exists()


def test_a_backup_of_what_was_altered_says_so(backup: Path, tmp_path: Path) -> None:
    doctored(backup.parent / "from.db", ALTERED[0][0])
    code, _, said = command("backup", "--out", f"{tmp_path}/again", "--database", f"sqlite:///{tmp_path}/from.db")
    assert (code, "quote 100001 says something else" in said) == (1, True)
    assert (tmp_path / "again").exists()


# ---------------------------------------------------------------- whose files these are


def modes(folder: Path) -> dict[str, int]:
    return {path.name: path.stat().st_mode & 0o777 for path in folder.rglob("*")}


def test_what_is_kept_is_its_owners_alone(nursery: Nursery, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/new.db"
    with nursery.serving(url) as server:
        assert server.ask("POST", "/api/jobs", job()).status == 201
        assert server.ask("POST", "/api/jobs/1/quotes").status == 201
        assert set(modes(tmp_path)) == {"new.db", "new.db-wal", "new.db-shm"}
        assert set(modes(tmp_path).values()) == {0o600}
    for words in (
        ("backup", "--out", f"{tmp_path}/b"),
        ("restore", f"{tmp_path}/b"),
        ("export", "--out", f"{tmp_path}/e"),
    ):
        code, _, said = command(*words, "--database", url)
        assert code == 0, said
    found = modes(tmp_path)
    assert {name: mode for name, mode in found.items() if mode not in {0o600, 0o700}} == {}
    assert {"new.db.before-restore", "b", "jobs.csv", "100001.json"} <= set(found)


def test_an_empty_file_is_no_new_database(sqlite: str, tmp_path: Path, backup: Path) -> None:
    (tmp_path / "shop.db").touch()
    for words in (("serve", "--port", "0"), ("migrate",), ("token", "list")):
        code, _, said = command(*words, "--database", sqlite)
        assert (code, said.count("\n")) == (2, 1)
        assert "is empty" in said
        assert "boreworth restore" in said
    assert (tmp_path / "shop.db").stat().st_size == 0
    assert command("restore", str(backup), "--database", sqlite)[0] == 0
    assert command("token", "list", "--database", sqlite)[1].count("tablet") == 1


def test_whoever_starts_first_makes_the_file(nursery: Nursery, sqlite: str) -> None:
    servers = [nursery.start(sqlite) for _ in range(4)]
    assert [server.listening().ask("GET", "/ready").status for server in servers] == [200] * 4
    for server in servers:
        server.end()


def test_a_file_that_is_gone_is_not_made_anew_under_a_server(nursery: Nursery, sqlite: str, tmp_path: Path) -> None:
    with nursery.serving(sqlite) as server:
        (tmp_path / "shop.db").rename(tmp_path / "moved.db")
        server.ask("POST", "/api/jobs", job())
        assert not (tmp_path / "shop.db").exists()
