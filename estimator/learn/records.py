"""Records of jobs to what each took of each element; what is asked about is kept apart and counts for nothing.

A record may be coarse. Boring is shared out to the cuts before and after welding as they were estimated. Arc time tells
of welding what it took more or less than estimated. What is left of the time on site, once it is a fair part of
it, tells of the elements that nobody wrote down, all alike.
"""

import math
import statistics
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from typing_extensions import TypedDict

from estimator.after.asked import FAR, Usual, question_of
from estimator.learn.series import HOURS, Cell
from estimator.tables.messages import text_of

__all__ = ["Asked", "Done", "Entry", "asked_in", "cells_of", "done_of", "entries_of"]

SI_OF = {"wire": 1.0, "gas": 1e-3}  # of a record's unit, kilogram and litre; others are minutes
MINUTE = 60.0
FEWEST = 5  # records of a kind, before their own middle says what is usual
LEAST_LEFT = 0.25  # of the time on site, for what is left of it to tell anything
MOST_OFF = math.log(2.5)  # that a shop is believed to be off as a whole; beyond, every record has the same slip
NORMAL_MAD = 1.4826  # standard deviations of a normal distribution in its median deviation
ENDINGS = ("_min", "_kg", "_L")


class Asked(TypedDict):
    """A record that is asked about: of which job and bore, what it says and what was expected, the question."""

    job: str
    bore: str
    element: str
    recorded: float
    expected: float
    question: str


@dataclass(frozen=True)
class Done:
    """What one job took: its name, when it was done, and its bores as `estimator.after.happened.judged` has them."""

    name: str
    finished_at: str
    bores: Sequence[Mapping[str, Any]]
    crew: str = ""
    rig: str = ""


@dataclass(frozen=True)
class Entry:
    """One figure of a record: of which job by its place in time, of which bore, recorded and expected in its unit."""

    job: int
    bore: int
    key: str
    recorded: float
    expected: float
    sure: bool


def done_of(rows: Iterable[tuple[int, str, str, Mapping[str, Any]]]) -> list[Done]:
    """Return jobs out of the records of their quotes, each as it was set beside its estimate, in the order of time.

    Records of one bore on several days are added up. `rows`: quote, reference, when it was recorded, the record.
    """
    quotes: dict[int, list[tuple[str, str, Mapping[str, Any]]]] = {}
    for number, reference, at, record in rows:
        quotes.setdefault(number, []).append((reference, at, record))
    return [
        Done(
            f"{each[0][0]}, quote {number}",
            max(str(record.get("finished_at", at)) for _, at, record in each),
            _together(record["bores"] for _, _, record in each),
            _last(each, "crew"),
            _last(each, "rig"),
        )
        for number, each in quotes.items()
    ]


def _last(each: Sequence[tuple[str, str, Mapping[str, Any]]], key: str) -> str:
    return next((str(record[key]) for _, _, record in reversed(each) if record.get(key)), "")


def _together(days: Iterable[Sequence[Mapping[str, Any]]]) -> list[dict[str, Any]]:
    """Return the bores of several records, what each took added up."""
    found: dict[str, dict[str, Any]] = {}
    for bore in (one for day in days for one in day):
        known = found.setdefault(bore["name"], {"name": bore["name"], "taken": {}, "sure": []})
        for key, pair in bore["taken"].items():
            before = known["taken"].get(key, {"recorded": 0.0})["recorded"]
            known["taken"][key] = {"recorded": before + pair["recorded"], "estimated": pair["estimated"]}
        known["sure"] += bore.get("sure", ())
        known |= {"planned": bore["planned"]} if "planned" in bore else {}
    return list(found.values())


def _key(name: str) -> str:
    """Return the key of a record, without the unit that it is kept in."""
    return next((name.removesuffix(ending) for ending in ENDINGS if name.endswith(ending)), name)


def entries_of(jobs: Sequence[Done]) -> Iterator[Entry]:
    """Yield every figure of every job."""
    for number, job in enumerate(jobs):
        for place, bore in enumerate(job.bores):
            for name, pair in bore["taken"].items():
                key = _key(name)
                sure = key in bore.get("sure", ())
                yield Entry(number, place, key, float(pair["recorded"]), float(pair["estimated"]), sure)


def usual_of(entries: Sequence[Entry], scatters: Mapping[str, float]) -> dict[str, Usual]:
    """Return where records of each key lie: by their own median where there are enough, else about the estimate."""
    logs: dict[str, list[float]] = {}
    for one in entries:
        if one.recorded > 0 and one.expected > 0:
            logs.setdefault(one.key, []).append(math.log(one.recorded / one.expected))
    return {key: _usual(found, scatters.get(key, Usual().scatter)) for key, found in logs.items()}


def _usual(logs: Sequence[float], scatter: float) -> Usual:
    if len(logs) < FEWEST:
        return Usual(0.0, scatter)
    middle = statistics.median(logs)
    near = NORMAL_MAD * statistics.median(abs(one - middle) for one in logs)
    return Usual(max(-MOST_OFF, min(MOST_OFF, middle)), max(near, scatter / 2))


def asked_in(
    jobs: Sequence[Done], entries: Sequence[Entry], scatters: Mapping[str, float]
) -> tuple[list[Entry], list[Asked]]:
    """Return the figures that count, and what is asked about the others.

    Parameters
    ----------
    jobs, entries
        The jobs in the order of time, and every figure of them.
    scatters
        How far records of a key usually scatter, as a logarithm.
    """
    usual = usual_of(entries, scatters)
    counted: list[Entry] = []
    asked: list[Asked] = []
    for one in entries:
        unit, known = SI_OF.get(one.key, MINUTE), usual.get(one.key, Usual())
        question = question_of(one.key, one.recorded * unit, one.expected * unit, known, (one.key,) if one.sure else ())
        if question is None:
            counted.append(one)
        else:
            asked.append(_asked(jobs[one.job], one, text_of(question)))
    return counted, asked


def _asked(job: Done, one: Entry, question: str) -> Asked:
    return {
        "job": job.name,
        "bore": str(job.bores[one.bore]["name"]),
        "element": one.key,
        "recorded": one.recorded,
        "expected": one.expected,
        "question": question,
    }


def cells_of(jobs: Sequence[Done], entries: Sequence[Entry]) -> list[Cell]:
    """Return what each job took of each element, bores alike in wire and position together."""
    by_bore: dict[tuple[int, int], dict[str, Entry]] = {}
    for one in entries:
        by_bore.setdefault((one.job, one.bore), {})[one.key] = one
    sums: dict[tuple[int, str, tuple[tuple[str, str], ...]], list[float]] = {}
    for (job, bore), found in by_bore.items():
        planned = jobs[job].bores[bore].get("planned")
        labels = tuple(_labels(jobs[job], planned))
        for element, recorded, expected in _elements(found, planned):
            if recorded > 0 and expected > 0:
                both = sums.setdefault((job, element, labels), [0.0, 0.0])
                both[0], both[1] = both[0] + recorded, both[1] + expected
    return [
        Cell(job, element, recorded, expected, dict(labels))
        for (job, element, labels), (recorded, expected) in sums.items()
    ]


def _labels(job: Done, planned: Mapping[str, Any] | None) -> Iterator[tuple[str, str]]:
    known = {"wire": (planned or {}).get("wire"), "position": (planned or {}).get("position")}
    for kind, label in {**known, "crew": job.crew, "rig": job.rig}.items():
        if label:
            yield kind, label


def _elements(found: Mapping[str, Entry], planned: Mapping[str, Any] | None) -> Iterator[tuple[str, float, float]]:
    """Yield what one bore took of each element and what the book expected of it, whatever the quote expected."""
    if planned is None:  # a record of before, which holds no more than what was written down
        yield from ((key, one.recorded, one.expected) for key, one in found.items() if key in (*HOURS, *SI_OF))
        return
    expected: Mapping[str, float] = planned["elements"]
    taken = {key: one.recorded for key, one in found.items() if key in expected}
    if (boring := found.get("machining")) is not None:
        cuts = [name for name in ("precut", "finish") if name not in taken]
        due = sum(expected[name] for name in cuts)
        rest = boring.recorded - sum(taken[name] for name in ("precut", "finish") if name in taken)
        taken |= {name: rest * expected[name] / due for name in cuts if due > 0 and rest > 0}
    if (arc := found.get("arc_time")) is not None and "weld" not in taken:
        taken["weld"] = max(expected["weld"] + arc.recorded - arc.expected, expected["weld"] / FAR)
    if (whole := found.get("on_site")) is not None:
        taken |= _left(whole, taken, expected)
    for name, recorded in taken.items():
        yield name, recorded, expected[name] / planned["factors"].get(name, 1.0)


def _left(whole: Entry, taken: Mapping[str, float], expected: Mapping[str, float]) -> dict[str, float]:
    """Return what is left of the time on site for the elements that nobody wrote down."""
    open_ones = [name for name in HOURS if name not in taken and expected[name] > 0]
    due = sum(expected[name] for name in open_ones)
    rest = whole.recorded - sum(one for name, one in taken.items() if name in HOURS)
    if due < LEAST_LEFT * whole.expected or not 1 / FAR < rest / due < FAR:
        return {}
    return {name: expected[name] * rest / due for name in open_ones}
