"""Time standards: what is counted, how often, under which conditions, and how much quicker it goes the next time."""

import functools
import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.cut.passes import CutPlan
from estimator.features.figures import element_time
from estimator.formula import choice, formula, is_recording
from estimator.inputs import Inputs
from estimator.job.job import Bore
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.tables.work_rows import OF_A_LINE
from estimator.weld.plan import PAST, WeldPlan

__all__ = [
    "Circumstances",
    "Counts",
    "Element",
    "alike",
    "bore_elements",
    "circumstances_of",
    "counts_of",
    "day_elements",
    "job_elements",
    "line_elements",
    "mounts_of",
    "spread_of",
    "standards_in",
]

LEARNT = ("bore", "metre", *OF_A_LINE)  # done anew at the next identical bore or line; the rest follows the plan


@dataclass(frozen=True)
class Element:
    """One element of work: per what it is counted, how long it takes in all [s], whether with arc, flame or sparks."""

    code: str
    phase: str
    basis: str
    time: float
    hot: bool
    meaning: str


@dataclass(frozen=True)
class Circumstances:
    """What a bore's elements hang on besides its plan: what holds of it and its line, the how-manieth alike each is."""

    line_bores: int = 1
    here: frozenset[str] = frozenset()
    line: frozenset[str] = frozenset()
    bore_number: int = 1
    line_number: int = 1


@dataclass(frozen=True, eq=False)
class Counts:
    """How often each element is done in one bore, by its basis; those of a line are shared among its bores."""

    by_basis: Mapping[str, int]
    metres: float
    decided: frozenset[str]
    around: Circumstances = Circumstances()
    odds: float = 0.0
    skimmed: tuple[bool, ...] = ()

    @property
    def preheated(self) -> bool:
        """Whether the bore is preheated."""
        return "preheat" in self.decided

    @property
    def line_bores(self) -> int:
        """Number of bores that share the line's set-up."""
        return self.around.line_bores

    def holds(self, row: TimeStandard) -> bool:
        """Return whether the condition of a row holds of this bore, or of its line."""
        here = self.around.line if row.basis in OF_A_LINE else self.around.here
        return row.when == "always" or row.when in here or row.when in self.decided

    def of(self, row: TimeStandard) -> float:
        """Return how often a row's element is done in this bore; in the whole line where it is counted so."""
        if not self.holds(row):
            return 0
        return self.metres if row.basis == "metre" else self.by_basis.get(row.basis, 0)

    def number(self, row: TimeStandard) -> int:
        """Return the how-manieth of its kind this bore, or its line, is for a row's element."""
        if row.hand == "no" or row.basis not in LEARNT:
            return 1
        return self.around.line_number if row.basis in OF_A_LINE else self.around.bore_number


def mounts_of(bore: Bore) -> str:
    """Return how the bar is held at a bore: "welded" brackets or "clamped" mounts."""
    return bore.mounts


def _conditions(bore: Bore) -> frozenset[str]:
    """Return the conditions of the table of times that hold of a bore."""
    perhaps = {
        "coated": bore.condition.coated == "yes",
        "blind": bore.blind,
        "cracks unknown": bore.condition.cracks == "unknown" and bore.part_of is None,
    }
    return frozenset({f"{mounts_of(bore)} mounts", *(name for name, holds in perhaps.items() if holds)})


def alike(bore: Bore) -> tuple[object, ...]:
    """Return what two bores have in common that are the same work again; wear is no part of it."""
    sizes = tuple(f"{size:.9g}" for size in (bore.nominal_diameter, bore.length))
    features = (len(bore.steps), *(len(each) for each in bore.kinds().values()))
    return (*sizes, str(bore.material), str(bore.tolerance), bore.axis, features)


def circumstances_of(
    bores: Sequence[Bore], taken: Sequence[int], site: frozenset[str] = frozenset()
) -> list[Circumstances]:
    """Return the circumstances of a job's bores; of bores or lines that are alike the first is the one taken first.

    `taken`: the bores' numbers in the order in which they are taken; `site`: conditions that hold of the whole place.
    """
    found = dict(zip(taken, _circumstances([bores[n] for n in taken], site), strict=True))
    return [found[n] for n in range(len(bores))]


def _circumstances(bores: Sequence[Bore], site: frozenset[str]) -> list[Circumstances]:
    lines: dict[str, list[Bore]] = defaultdict(list)
    for bore in bores:
        lines[bore.line or bore.lone_line].append(bore)
    seen: Counter[tuple[object, ...]] = Counter()
    number = {}
    for line, on_it in lines.items():
        together = tuple(sorted(repr(alike(bore)) for bore in on_it))
        seen[together] += 1
        number[line] = seen[together]
    found = []
    for bore in bores:
        line, kind = bore.line or bore.lone_line, alike(bore)
        seen[kind] += 1
        of_line = frozenset().union(*map(_conditions, lines[line]))
        if "clamped mounts" in of_line:  # one mount holds the bar of the whole line
            of_line -= {"welded mounts"}
        here = _conditions(bore) | site
        found.append(Circumstances(len(lines[line]), here, of_line | site, seen[kind], number[line]))
    return found


@formula("metres", "definition", "computed")
def in_metres(length: float, metre: float) -> float:
    """How often an element counted per metre is done. [-]"""
    return length / metre


def counts_of(
    weld: WeldPlan,
    cut: CutPlan,
    decided: frozenset[str],
    length: float,
    around: Circumstances,
    bearings: int,
    facts: Tables,
) -> Counts:
    """Return how often each element is done in one bore of a length [m]; `bearings` hold the bar of its line.

    `decided`: what was decided of the bore itself and rows of the table hang on, such as "preheat".
    """
    layers = len(weld.layers)
    by_basis = {
        "bore": 1,
        "line": 1,
        "bearing": bearings,
        "gap": layers - 1,
        "layer": layers,
        "slag layer": layers if weld.wire.slag == "yes" and weld.slag_each_layer else int(weld.wire.slag == "yes"),
        "skim": len(cut.between),
        "precut pass": len(cut.before),
        "finish pass": len(cut.after),
        "clean-up": int(bool(cut.before)),
        "gauging stop": 0 if cut.gauging is None else cut.gauging.stops,
        "pass": len(cut.before) + len(cut.between) + len(cut.after),
        "end": 2,
        "past end": 2 if weld.way.name == PAST else 0,
        "ring": 2 if weld.rings else 0,
    }
    skimmed = tuple(layer.skimmed for layer in weld.layers[:-1])
    return Counts(by_basis, in_metres(length, facts.constant("metre")), decided, around, weld.odds, skimmed)


@formula(
    "learning",
    "Wright, J. Aeronautical Sciences 3 (1936) 122-128, as a curve of unit times: T_n = T_1 n^(ln rate / ln 2)",
)
def learning(number: int, learning_rate: float) -> float:
    """What work by hand takes the n-th time, as a share of the first time. [-]"""
    return float(number ** (math.log(learning_rate) / math.log(2)))


@formula("element_time", "definition: the time of the first, by what is learnt", "computed", unit="s")
def learned_time(time: float, learnt: float) -> float:
    """Time of an element that was done before in this job. [s]"""
    return time * learnt


def learnt_of(row: TimeStandard, counts: Counts, facts: Tables) -> float | None:
    """Return the share of the first time that an element takes here; None where it is the first of its kind."""
    number = counts.number(row)
    if number == 1:
        return None
    nth = choice(number, "number", f"{row.meaning}: this {row.basis} is the {number}. of its kind in the job")
    return learning(nth, facts.constant("learning_rate"))


def _element(row: TimeStandard, count: float, learnt: float | None, inputs: Inputs) -> Element:
    number = count if row.basis == "metre" else choice(count, "count", f"{row.meaning}: counted per {row.basis}")
    time = element_time(inputs.times[row.code], number)  # pyrefly: ignore[bad-argument-type] # metres are no whole number
    time = time if learnt is None else learned_time(time, learnt)
    return Element(row.code, row.phase, row.basis, time, row.hot == "yes", row.meaning)


def standards_in(facts: Tables) -> list[TimeStandard]:
    """Return the time standards, in the order of the table; their times stand in the inputs of the day."""
    if "standards" not in facts.memo:
        facts.memo["standards"] = [row for row in facts.rows("times").values() if isinstance(row, TimeStandard)]
    kept: list[TimeStandard] = facts.memo["standards"]
    return kept


def _counted(counts: Counts, facts: Tables, inputs: Inputs, *, line: bool) -> tuple[Element, ...]:
    """Return the elements of a line, or of a bore of its own; worked out once a plan and a day of one number each."""
    plainly = is_recording() or inputs.mark is None  # arrays of days are not kept: they are large, and come once
    known = _elements.__wrapped__ if plainly else _elements
    return known(counts, facts, inputs, line)


@functools.lru_cache(maxsize=256)
def _elements(counts: Counts, facts: Tables, inputs: Inputs, line: bool) -> tuple[Element, ...]:
    return tuple(
        _element(row, count, learnt_of(row, counts, facts), inputs)
        for row in standards_in(facts)
        if (row.basis in OF_A_LINE) is line and (count := counts.of(row)) > 0
    )


def bore_elements(counts: Counts, facts: Tables, inputs: Inputs) -> tuple[Element, ...]:
    """Return the elements that one bore has of its own, in the order of the table; no features, nothing of its line."""
    return _counted(counts, facts, inputs, line=False)


def line_elements(counts: Counts, facts: Tables, inputs: Inputs) -> tuple[Element, ...]:
    """Return the elements done once a line, whole and not shared; `counts` of any bore of the line."""
    return _counted(counts, facts, inputs, line=True)


def job_elements(changes: Mapping[str, int], facts: Tables, inputs: Inputs) -> tuple[Element, ...]:
    """Return the elements of the whole job; `changes` says how often each basis occurs in it, the job itself once."""
    return tuple(
        _element(row, count, None, inputs)
        for row in standards_in(facts)
        if row.phase == "job" and (count := changes.get(row.basis, 0)) > 0
    )


def day_elements(facts: Tables, inputs: Inputs) -> tuple[Element, ...]:
    """Return the elements of one day on site."""
    return job_elements({"day": 1}, facts, inputs)


def spread_of(row: TimeStandard, facts: Tables) -> tuple[float, float, float]:
    """Return the low, likely and high time of an element, with free access in fair weather. [s]"""
    low, high = row.low, row.high
    if low is None:
        low = part_of_likely(row.duration, facts.constant("time_spread_low"))
    if high is None:
        high = part_of_likely(row.duration, facts.constant("time_spread_high"))
    return low, row.duration, high


@formula("element_time", "the likely time by the usual spread, where a row gives none", "from memory", unit="s")
def part_of_likely(duration: float, spread_share: float) -> float:
    """Low or high time of an element whose row gives none. [s]"""
    return duration * spread_share
