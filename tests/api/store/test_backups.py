"""Backups give back what there was, in a file or in PostgreSQL; exports hold everything but secrets."""

import csv
import json
import shutil
import sqlite3
import threading
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from api.describe.examples import VARIATIONS
from api.store.address import read_address
from api.store.audit import Who
from api.store.backups import GAP, back_up, restore
from api.store.copies import holdings, snapshot
from api.store.engine import Store
from api.store.errors import UnusableError
from api.store.exports import export
from api.store.keys import add as add_token
from api.store.schema import prepare
from tests.api.conftest import client_of
from tests.api.servers import Nursery, command
from tests.api.service import job
from tests.api.store.test_jobs import add
from tests.api.store.test_quotes import draft, step

ME = Who("tester", "owner")


def busy_shop(shop: TestClient) -> str:
    """Fill a shop with one of everything; return the number of its issued quote."""
    number = add(shop, customer={"name": "Brüder Ω"}, equipment={"description": "Loader"})
    shop.put("/api/pricebooks/north", json={"crew": 3})
    quote = draft(shop, number)
    step(shop, quote, "issue")
    step(shop, quote, "accept")
    shop.post(f"/api/jobs/{number}/actuals", json={"quote": quote, "bores": [{"name": "A", "wire": "1 kg"}]})
    shop.post(f"/api/quotes/{quote}/variations", json=VARIATIONS["more wear"]["value"])
    shop.post(f"/api/quotes/{quote}/variations/1/accept", json={"by": "J. Alder"})
    shop.post(f"/api/quotes/{quote}/invoices")
    shop.delete(f"/api/jobs/{add(shop)}", headers={"If-Match": "*"})
    shop.post("/api/jobs", json=job(), headers={"Idempotency-Key": "k"})
    return quote


def held(store: Store) -> dict[str, tuple[int, str]]:
    """Return what a store holds."""
    with snapshot(store) as connection:
        return holdings(connection)


@pytest.fixture(params=["sqlite", "postgresql"])
def other(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """URL of an empty database to restore into, of each kind in turn."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path}/other.db"
    url: str = request.getfixturevalue("postgresql")
    return url


def test_a_backup_of_a_file_restores_anywhere(sqlite: str, other: str, tmp_path: Path) -> None:
    store, target = Store(read_address(sqlite)), Store(read_address(other))
    prepare(store)
    shop = client_of(store)
    quote = busy_shop(shop)
    back_up(store, f"{tmp_path}/backup")
    restore(f"{tmp_path}/backup", target, ME)
    there = client_of(target)
    papers = (f"/api/quotes/{quote}.xlsx", "/api/invoices/200001.pdf", f"/api/quotes/{quote}/variations/1")
    for path in (f"/api/quotes/{quote}", *papers, "/api/jobs", "/api/pricebooks/north"):
        assert there.get(path).content == shop.get(path).content
    before, after = held(store), held(target)
    assert {name for name in before if before[name] != after[name]} == {"counters", "audit"}
    assert int(draft(there, 1)) == int(draft(shop, 1)) + GAP
    assert add(there) == add(shop)  # the number of a job that was removed is not given again
    again = there.post("/api/jobs", json=job(), headers={"Idempotency-Key": "k"})
    assert again.headers["idempotent-replayed"]
    for one in (store, target):
        one.close()


def test_a_backup_of_a_shared_database_restores_into_itself(postgresql: str, tmp_path: Path) -> None:
    store = Store(read_address(postgresql))
    prepare(store)
    shop = client_of(store)
    quote = busy_shop(shop)
    back_up(store, f"{tmp_path}/backup")
    before = held(store)
    lost = draft(shop, 1)
    said = restore(f"{tmp_path}/backup", store, ME)
    assert any(f"{tmp_path}/backup.before-restore" in line for line in said)
    assert shop.get(f"/api/quotes/{lost}").status_code == 404
    assert shop.get(f"/api/quotes/{quote}").json()["state"] == "accepted"
    assert {name for name, one in held(store).items() if one != before[name]} == {"counters", "audit"}
    assert int(draft(shop, 1)) == int(lost) + 1  # what was given since is known, and not given again
    store.close()


def test_a_backup_is_of_one_moment_while_servers_write(nursery: Nursery, database: str, tmp_path: Path) -> None:
    out = tmp_path / "backup"
    with nursery.serving(database) as server:
        halt = threading.Event()

        def write() -> None:
            while not halt.is_set():
                server.ask("POST", "/api/jobs", job())

        writing = threading.Thread(target=write)
        writing.start()
        code, _, said = command("backup", "--out", str(out), "--database", database)
        halt.set()
        writing.join()
        assert (code, "verified by restoring it" in said) == (0, True), said
        assert server.ask("POST", "/api/jobs", job()).status == 201
    with sqlite3.connect(out) as line:
        ((jobs, revisions),) = line.execute(
            "SELECT (SELECT count(*) FROM jobs), (SELECT count(*) FROM job_revisions)"
        ).fetchall()
        assert line.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    line.close()
    assert jobs == revisions
    assert sorted(path.name for path in tmp_path.glob("backup*")) == ["backup"]


def test_a_damaged_database_is_put_aside_and_restored(nursery: Nursery, sqlite: str, tmp_path: Path) -> None:
    with nursery.serving(sqlite) as server:
        number = server.ask("POST", "/api/jobs", job()).json()["id"]
    file = Path(read_address(sqlite).file)
    assert command("backup", "--out", f"{tmp_path}/backup", "--database", sqlite)[0] == 0
    file.write_bytes(b"no database any more" * 1000)
    code, _, said = command("restore", f"{tmp_path}/backup", "--database", sqlite)
    assert code == 0, said
    assert f"kept as {file}.damaged" in said
    with nursery.serving(sqlite) as server:
        assert server.ask("GET", f"/api/jobs/{number}").json()["job"] == job()


def test_a_server_goes_on_through_a_restore(nursery: Nursery, sqlite: str, tmp_path: Path) -> None:
    with nursery.serving(sqlite) as server:
        first = server.ask("POST", "/api/jobs", job()).json()["id"]
        command("backup", "--out", f"{tmp_path}/backup", "--database", sqlite)
        late = server.ask("POST", "/api/jobs", job()).json()["id"]
        code, _, said = command("restore", f"{tmp_path}/backup", "--database", sqlite)
        assert code == 0, said
        assert server.ask("GET", f"/api/jobs/{first}").status == 200
        assert server.ask("GET", f"/api/jobs/{late}").status == 404
        assert server.ask("POST", "/api/jobs", job()).status == 201


def test_what_is_no_backup_is_refused_and_nothing_touched(sqlite: str, tmp_path: Path) -> None:
    store = Store(read_address(sqlite))
    prepare(store)
    before = held(store)
    back_up(store, f"{tmp_path}/backup")
    whole = Path(f"{tmp_path}/backup").read_bytes()
    for name, data in (("text", b"text"), ("empty", b""), ("short", whole[:20000])):
        (tmp_path / name).write_bytes(data)
        with pytest.raises(UnusableError):
            restore(f"{tmp_path}/{name}", store, ME)
    newer = shutil.copy(f"{tmp_path}/backup", tmp_path / "newer")
    with sqlite3.connect(newer) as line:
        line.execute("UPDATE boreworth_version SET version_num = '0999'")
    line.close()
    with pytest.raises(UnusableError, match="newer boreworth"):
        restore(str(newer), store, ME)
    with pytest.raises(UnusableError, match="is not there"):
        restore(f"{tmp_path}/none", store, ME)
    with pytest.raises(UnusableError, match="the database itself"):
        back_up(store, store.address.file)
    with pytest.raises(UnusableError, match="none/backup: no such file"):
        back_up(store, f"{tmp_path}/none/backup")
    assert held(store) == before
    store.close()


def test_an_export_holds_everything_but_secrets(shop: TestClient, store: Store, tmp_path: Path) -> None:
    quote = busy_shop(shop)
    with store.writing() as session:
        add_token(session, "tablet", "field", "5ec2e7" * 10, None)
    counts = export(store, f"{tmp_path}/out")
    out = tmp_path / "out"
    for name, count in counts.items():
        rows = json.loads((out / f"{name}.json").read_text("utf-8"))
        with open(out / f"{name}.csv", encoding="utf-8", newline="") as file:
            cells = list(csv.DictReader(file))
        assert len(rows) == len(cells) == count
        assert [str(one) for one in rows[0]] == list(cells[0]) if rows else True
    jobs = json.loads((out / "job_revisions.json").read_text("utf-8"))
    assert jobs[0]["document"]["customer"] == {"name": "Brüder Ω"}
    assert (out / "quotes" / f"{quote}.xlsx").read_bytes() == shop.get(f"/api/quotes/{quote}.xlsx").content
    bills = {"invoices/200001-de.pdf", f"variations/{quote}-1-en.pdf", f"quotes/{quote}-pack.pdf"}
    assert {str(path.relative_to(out)) for path in out.rglob("*.pdf")} >= bills
    paper = json.loads((out / "quotes" / f"{quote}.json").read_text("utf-8"))
    assert paper["estimate"] == shop.get(f"/api/quotes/{quote}").json()["estimate"]
    assert paper["explanations"]["figures"]
    assert counts["tokens"] == 1
    assert not [path for path in out.rglob("*") if path.is_file() and b"5ec2e7" in path.read_bytes()]
    with pytest.raises(UnusableError, match="holds something"):
        export(store, str(out))


FORMULAS = ["=1+1", "+49 30 1", "-1+1", "@SUM(A1)", "  =1", "\uff1d1", "=cmd|' /C calc'!A0"]


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An export of a shop with a job a text, in the order of the texts."""
    folder = tmp_path_factory.mktemp("exported")
    store = Store(read_address(f"sqlite:///{folder}/shop.db"))
    prepare(store)
    shop = client_of(store)
    busy_shop(shop)
    for text in FORMULAS:
        add(shop, title=text, customer={"name": text}, equipment={"description": text})
    export(store, f"{folder}/out")
    store.close()
    return folder / "out"


@pytest.mark.parametrize("text", FORMULAS)
def test_no_cell_of_an_export_is_a_formula(exported: Path, text: str) -> None:
    place = FORMULAS.index(text) - len(FORMULAS)
    for name, column in (("jobs", "title"), ("customers", "name"), ("equipment", "description")):
        with open(exported / f"{name}.csv", encoding="utf-8", newline="") as file:
            assert [row[column] for row in csv.DictReader(file)][place] == f"'{text}"
        assert json.loads((exported / f"{name}.json").read_text("utf-8"))[place][column] == text
    with open(exported / "quotes.csv", encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["number"], row["total"][0].isdigit()) == ("100001", True)
