"""The pool: what it answers, what it refuses, and that it goes on whatever befalls a worker."""

import asyncio
import json
import os
import signal
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from api.work import tasks
from api.work.errors import DefectError, FullError, LargeError, LateError, LostError
from api.work.pool import Pool
from api.work.process import BEGIN
from estimator.errors import DocumentError, JobRefusedError, OutOfRangeError
from tests.api.service import job
from tests.api.work import odd
from tests.api.work.processes import alive, waited

PATIENCE = 60.0  # seconds; a loaded machine is slow
TEXT = json.dumps(job())
LONG = 300.0  # seconds; nobody waits for it
LIGHT = BEGIN.replace("main(memory)", "main(memory, 'json')")


def pool_of(workers: int = 1, deadline: float = PATIENCE, queue: int = 100, memory: int = 1024) -> Pool:
    return Pool(workers, deadline, queue, memory)


@pytest.fixture(autouse=True)
def light(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a worker begin without the engine, which takes it most of a second; work that needs it loads it then."""
    monkeypatch.setattr("api.work.process.BEGIN", LIGHT)


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    """One worker that waits for nothing too long."""
    found = pool_of()
    yield found
    found.close()


def asked(pool: Pool, function: Any, *args: Any, caller: str = "a", heavy: int = 1) -> Any:
    """Ask for one piece of work and wait for it."""
    return asyncio.run(pool.done(caller, heavy, function, *args))


# ---------------------------------------------------------------- what it answers


def test_work_is_done_elsewhere_and_by_one_process_again_and_again(pool: Pool) -> None:
    first, second = asked(pool, odd.who, "größer"), asked(pool, odd.who, "≥ 3")
    assert (first[0], second[0]) == ("größer", "≥ 3")
    assert first[1] == second[1] != os.getpid()


def test_an_estimate_is_the_same_bytes_as_here(pool: Pool) -> None:
    for role in ("owner", "field"):
        here = tasks.estimated(TEXT, None, "plan", role)
        assert asked(pool, tasks.estimated, TEXT, None, "plan", role) == here


@pytest.mark.parametrize("kind", [("document", DocumentError), ("job", JobRefusedError), ("range", OutOfRangeError)])
def test_a_fault_comes_back_as_what_it_is(pool: Pool, kind: tuple[str, type[Exception]]) -> None:
    with pytest.raises(kind[1]) as here:
        odd.refuses(kind[0])
    with pytest.raises(kind[1]) as there:
        asked(pool, odd.refuses, kind[0])
    assert str(there.value) == str(here.value)
    assert vars(there.value) == vars(here.value)


def test_of_a_defect_the_place_comes_back_and_never_the_words(pool: Pool) -> None:
    with pytest.raises(DefectError) as found:
        asked(pool, odd.breaks, "the customer's name")
    assert found.value.kind == "RuntimeError"
    assert found.value.where.startswith("odd.py:")
    assert "customer" not in str(found.value)


def test_what_work_prints_disturbs_no_answer(pool: Pool) -> None:
    assert asked(pool, odd.prints, "noise\n") == "noise\n"
    assert asked(pool, odd.who, "still")[0] == "still"


def test_a_worker_has_no_setting_no_database_and_no_socket(pool: Pool) -> None:
    variables, files = asked(pool, odd.surroundings)
    assert variables == []
    assert [one for one in files if "socket" in one or ".db" in one] == []


# ---------------------------------------------------------------- what befalls a worker


def test_what_takes_too_long_is_given_up_and_the_next_is_answered() -> None:
    pool = pool_of(deadline=PATIENCE)
    before = asked(pool, odd.who, "")[1]
    pool._deadline = 0.3
    for work in ((odd.sleeps, LONG), (odd.holds, 10**9)):  # the second lets no thread of its process run
        with pytest.raises(LateError, match=r"longer than 0\.3 s"):
            asked(pool, *work)
    pool._deadline = PATIENCE
    assert asked(pool, odd.who, "next")[0] == "next"
    assert not alive(before)
    pool.close()


def test_more_work_has_more_time() -> None:
    pool = pool_of(deadline=0.2)
    pool.start()
    with pytest.raises(LateError, match=r"longer than 0\.2 s"):
        asked(pool, odd.sleeps, 2.0, heavy=40)
    with pytest.raises(LateError, match=r"longer than 0\.4 s"):
        asked(pool, odd.sleeps, LONG, heavy=80)
    pool.close()


def test_what_takes_too_much_memory_is_given_up_and_the_next_is_answered() -> None:
    pool = pool_of(memory=512)
    with pytest.raises(LargeError, match="more than 512 MB"):
        asked(pool, odd.grows, 2000)
    assert asked(pool, odd.grows, 10) == 10 << 20
    pool.close()


def test_a_worker_that_ends_by_itself_is_replaced(pool: Pool) -> None:
    before = asked(pool, odd.who, "")[1]
    with pytest.raises(LostError):
        asked(pool, odd.dies)
    after = asked(pool, odd.who, "")[1]
    assert before != after
    os.kill(after, signal.SIGKILL)  # while it has nothing to do
    waited(lambda: not alive(after), "lives on")

    def another() -> bool:
        with suppress(LostError):  # the pool may not have seen its end yet
            return bool(asked(pool, odd.who, "")[1] != after)
        return False

    waited(another, "is not replaced")


def test_a_worker_that_is_killed_loses_only_what_it_did(pool: Pool, tmp_path: Path) -> None:
    file = tmp_path / "begun"

    async def both() -> list[Any]:
        work = [pool.done("a", 1, odd.begins, str(file), LONG), pool.done("a", 1, odd.who, "next")]
        tasks_of = [asyncio.ensure_future(one) for one in work]
        while not (file.exists() and file.read_text()):
            await asyncio.sleep(0.02)
        os.kill(int(file.read_text()), signal.SIGKILL)
        return await asyncio.gather(*tasks_of, return_exceptions=True)

    lost, (said, _) = asyncio.run(both())
    assert isinstance(lost, LostError)
    assert said == "next"


def test_a_worker_is_ready_once_the_engine_is_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    assert LIGHT != BEGIN
    monkeypatch.setattr("api.work.process.BEGIN", BEGIN)
    pool = pool_of()
    assert asked(pool, odd.loaded) == (True, True)
    pool.close()


def test_a_worker_of_another_version_does_not_begin(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("api.work.process.ENGINE", "boreworth 0.0.1")  # as if the program was exchanged meanwhile
    pool = pool_of()
    with pytest.raises(LostError, match="no process can be started"):
        asked(pool, odd.who, "")
    assert "start the service again" in capsys.readouterr().err
    pool.close()


def test_where_no_process_can_be_started_it_is_told_to_each_and_written_down_once(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def none(*_: object) -> None:
        raise OSError(24, "Too many open files")

    monkeypatch.setattr("api.work.pool.Process", none)
    pool = pool_of()
    for _ in range(5):
        with pytest.raises(LostError, match="no process can be started"):
            asked(pool, odd.who, "")
    assert capsys.readouterr().err.count("Too many open files") == 1
    monkeypatch.undo()
    assert asked(pool, odd.who, "again")[0] == "again"
    pool.close()


def test_the_least_memory_that_can_be_set_is_enough_for_a_job() -> None:
    pool = pool_of(memory=256)
    assert asked(pool, tasks.estimated, TEXT, None, "full", "owner")
    pool.close()


# ---------------------------------------------------------------- what waits


async def busy(pool: Pool, file: Path) -> "asyncio.Future[Any]":
    """Give the only worker something to do for longer than anybody waits."""
    found = asyncio.ensure_future(pool.done("busy", 1, odd.begins, str(file), LONG))
    while not file.exists():
        await asyncio.sleep(0.02)
    return found


def test_what_is_too_much_is_refused_at_once_and_others_still_come_in(tmp_path: Path) -> None:
    pool = pool_of(queue=100)

    async def crowd() -> list[type]:
        long = await busy(pool, tmp_path / "begun")
        waits = [asyncio.ensure_future(pool.done("a", 20, odd.who, "")) for _ in range(2)]
        await asyncio.sleep(0)
        refused = []
        for caller, heavy in (("a", 20), ("b", 51), ("b", 50), ("c", 20)):  # a has 40 of its 50; then 90 of 100 wait
            one = asyncio.ensure_future(pool.done(caller, heavy, odd.who, ""))
            done, _ = await asyncio.wait([one], timeout=0.2)
            refused.append(type(one.exception()) if done else type(None))
            waits += [] if done else [one]
        pool.close()
        rest = await asyncio.gather(long, *waits, return_exceptions=True)
        assert {type(one) for one in rest} == {LostError}
        return refused

    assert asyncio.run(crowd()) == [FullError, FullError, type(None), FullError]
    with pytest.raises(LostError):
        asked(pool, odd.who, "")


def test_whoever_has_least_under_way_is_served_first(tmp_path: Path) -> None:
    pool = pool_of(workers=2)
    order: list[str] = []

    async def named(caller: str, seconds: float) -> None:
        await pool.done(caller, 1, odd.sleeps, seconds)
        order.append(caller)

    async def both() -> None:
        long = await busy(pool, tmp_path / "begun")  # one worker is left
        first = asyncio.ensure_future(pool.done("large", 1, odd.begins, str(tmp_path / "second"), 0.5))
        while not (tmp_path / "second").exists():
            await asyncio.sleep(0.02)
        pool._busy["large"] += 1  # as if another of its pieces were under way
        await asyncio.gather(first, *(named("large", 0.0) for _ in range(3)), named("small", 0.0))
        long.cancel()

    asyncio.run(both())
    assert order[0] == "small"
    pool.close()


def test_large_work_leaves_a_worker_to_the_small(tmp_path: Path) -> None:
    pool = pool_of(workers=2, queue=1000)

    async def crowd() -> None:
        files = [tmp_path / name for name in ("first", "second")]
        large = [asyncio.ensure_future(pool.done(f"{file}", 200, odd.begins, str(file), LONG)) for file in files]
        while not files[0].exists():
            await asyncio.sleep(0.02)
        for _ in range(3):
            assert (await pool.done("small", 1, odd.who, "in between"))[0] == "in between"
        assert not files[1].exists()
        os.kill(int(files[0].read_text()), signal.SIGKILL)
        while not files[1].exists():  # its turn has come
            await asyncio.sleep(0.02)
        pool.close()
        assert {type(one) for one in await asyncio.gather(*large, return_exceptions=True)} == {LostError}

    asyncio.run(crowd())


def test_workers_come_one_by_one_as_they_are_needed() -> None:
    pool = pool_of(workers=3)
    for _ in range(4):
        asked(pool, odd.who, "")
    assert len(pool._threads) == 1

    async def many() -> set[int]:
        return {one for _, one in await asyncio.gather(*(pool.done("a", 1, odd.who, "") for _ in range(12)))}

    assert 1 <= len(asyncio.run(many())) <= 3
    assert len(pool._threads) == 3
    pool.close()


def test_closing_leaves_no_process() -> None:
    pool = pool_of()
    number = asked(pool, odd.who, "")[1]
    pool.close()
    assert not alive(number)
    pool.close()
