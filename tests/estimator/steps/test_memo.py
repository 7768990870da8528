"""What is held by value: it changes no byte, it has a bound, nobody's changes reach it, recording leaves it alone."""

import json
import multiprocessing
import threading
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.steps import memo
from estimator.trust.explain import explain
from tests.depth import deep, seeds
from tests.golden.jobs import golden_case
from tests.jobs import bore, job
from tests.raw import estimate

FOUR = job(*(bore(name=name) for name in "ABCD"))


def worn(document: dict[str, Any], number: int, by: float) -> dict[str, Any]:
    """Return a job with one reading of a bore moved. [mm]"""
    found: dict[str, Any] = json.loads(json.dumps(document))
    values = found["bores"][number]["readings"]["values"]
    values[0][0] = (
        f"{float(values[0][0].split()[0]) + by:.3f} mm" if isinstance(values[0][0], str) else values[0][0] + by
    )
    return found


def anew(document: Any, book: Any) -> str:
    """Return the estimate as text, with nothing held before."""
    memo.forget()
    return json.dumps(estimate(document, book))


def test_one_bore_changed_answers_as_a_job_estimated_anew() -> None:
    book = read_pricebook()
    estimate(FOUR, book)
    changed = worn(FOUR, 2, 0.05)
    assert json.dumps(estimate(changed, book)) == anew(changed, book)


@pytest.mark.parametrize("seed", seeds(40, 3))
def test_what_was_estimated_before_changes_no_byte(seed: int) -> None:
    """Random jobs and books, with each before the other: as with nothing held."""
    cases = [(document, read_pricebook(patch)) for document, patch in map(golden_case, (seed, seed + 40, seed))]
    memo.forget()
    held = [told(*case) for case in cases]
    for case, before in zip(cases, held, strict=True):
        memo.forget()
        assert told(*case) == before


def told(document: Any, book: Any) -> str:
    """Return an estimate, or why there is none."""
    try:
        return json.dumps(estimate(document, book))
    except Exception as error:  # whatever refuses it
        return f"{type(error).__name__}: {error}"


def test_books_that_differ_are_told_apart() -> None:
    books = [
        read_pricebook({"tables": {"limits": {"comfortable for solid wire": {"high": f"{n} A"}}}}) for n in (140, 160)
    ]
    found = [json.dumps(estimate(FOUR, one)) for one in books]
    assert found == [anew(FOUR, one) for one in books]
    assert found[0] != found[1]


def test_an_answer_is_the_callers_own() -> None:
    book = read_pricebook()
    found, before = estimate(FOUR, book), anew(FOUR, book)
    estimate(FOUR, book)["bores"][0]["wear"].clear()
    found["bores"][0]["buildup"]["layers"].clear()
    assert json.dumps(estimate(FOUR, book)) == before


def test_what_is_held_has_a_bound() -> None:
    for number in range(3 * memo.MOST):
        memo.hold("plan", number, f"plan {number}")
    assert len(memo.HELD.kinds["plan"]) == memo.MOST
    assert memo.recalled("plan", 0) is None
    assert memo.recalled("plan", 3 * memo.MOST - 1) is not None


def test_a_bore_of_very_many_readings_is_not_held() -> None:
    clock, depths = [n * 1.5 for n in range(60)], [4.0 * n + 1 for n in range(17)]
    values = [[92.0 + 0.01 * (n % 7) for n in range(60)] for _ in depths]
    readings = {"kind": "diameter", "unit": "mm", "clock": clock, "depth": depths, "values": values}
    memo.forget()
    estimate(job(bore(readings=readings)), read_pricebook())
    assert not memo.HELD.kinds["survey"]
    assert not memo.HELD.kinds["plan"]


def test_nothing_is_held_or_taken_while_figures_are_recorded() -> None:
    book = read_pricebook()
    memo.forget()
    found = explain(FOUR, book, "bores.A.buildup.deposit_mass_kg")
    assert not any(memo.HELD.kinds.values())
    estimate(FOUR, book)
    assert explain(FOUR, book, "bores.A.buildup.deposit_mass_kg") == found


def test_threads_and_processes_answer_alike() -> None:
    book, jobs = read_pricebook(), [worn(FOUR, n % 4, 0.01 * (n % 5)) for n in range(deep(12, 5))]
    before = [anew(one, book) for one in jobs]
    memo.forget()
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(lambda one: json.dumps(estimate(one, book)), jobs)) == before


def test_a_process_split_off_while_something_is_being_held_goes_on() -> None:
    holding, done = threading.Event(), threading.Event()

    def keep() -> None:
        with memo.HELD.lock:
            holding.set()
            done.wait(30)

    thread = threading.Thread(target=keep)
    thread.start()
    holding.wait(30)
    child = multiprocessing.get_context("fork").Process(target=memo.hold, args=("plan", 1, "one"))
    child.start()
    child.join(30)
    done.set()
    thread.join()
    assert child.exitcode == 0
