"""Times of one bore and of the job, from the table of time standards: each row says per what it is counted."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from estimator.book.calibration import by_shop
from estimator.cut.passes import CutPlan, Pass, pass_time
from estimator.either import above_zero, left_of, smaller
from estimator.features.figures import FeatureFigures, element_time
from estimator.formula import choice, formula, leaf, summed
from estimator.inputs import Inputs, as_it_falls
from estimator.shop.standards import (
    Counts,
    Element,
    bore_elements,
    counts_of,
    day_elements,
    job_elements,
    line_elements,
)
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.weld.build import Build
from estimator.weld.course import HeatFigures, LayerHeat

__all__ = [
    "BoreTime",
    "Counts",
    "bore_time",
    "counts_of",
    "daily_times",
    "finishing_time",
    "job_once",
    "layer_work",
    "saved_by_turns",
]

PHASES = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")


@dataclass(frozen=True)
class BoreTime:
    """Where the time of one bore goes, its features included; `plain`: the same without them, by phase. [s]

    `factors`: by how much recorded jobs have moved each phase; what is so moved stands in the times already. [-]
    """

    setup: float
    precut: float
    preheat: float
    weld: float
    cooldown: float
    finish: float
    inspection: float
    teardown: float
    total: float
    cutting: float
    pass_times: tuple[float, ...]
    plain: Mapping[str, float]
    factors: Mapping[str, float]


@formula("element_time", "time standard once a line, shared among its bores", "computed", unit="s")
def shared_time(duration: float, line_bores: int) -> float:
    """A bore's share of work done once a line. [s]"""
    return duration / line_bores


def _cutting(passes: Iterable[Pass], length: float, facts: Tables) -> list[float]:
    return [pass_time(length, facts.constant("approach"), one.feed, one.turning) for one in passes]


def _sum(quantity: str, parts: list[float]) -> float:
    return (
        summed(quantity, "s", *parts)
        if parts
        else leaf(0.0, "fact", quantity, "nothing of the kind is planned", unit="s")
    )


def finishing_time(cut: CutPlan, length: float, facts: Tables) -> float | None:
    """Return the time of the finishing pass; None where there is none. [s]"""
    count = len(cut.after) - cut.finishing
    return _cutting(cut.after[count : count + 1], length, facts)[0] if cut.finishing else None


def layer_work(
    cut: CutPlan, counts: Counts, length: float, facts: Tables, inputs: Inputs
) -> tuple[tuple[float, ...], float]:
    """Return the work between each two layers, and after the last one, that lets the boss cool. [s]"""
    layers, cuts = counts.by_basis["layer"], iter(_cutting(cut.between, length, facts))
    rows = [row for row in facts.every("times", TimeStandard) if row.basis in WAITS and counts.of(row)]
    late = [row for row in rows if row.basis == "slag layer"]
    between = [row for row in rows if row not in late or counts.of(row) == layers]
    gaps = []
    for skimmed in counts.skimmed:
        each = [_once(row, inputs) for row in between if skimmed or row.basis != "skim"]
        gaps.append(_sum("gap_work", [*each, *([next(cuts)] if skimmed else [])]))
    return tuple(gaps), _sum("work_after", [_once(row, inputs) for row in late])


def _once(row: TimeStandard, inputs: Inputs) -> float:
    return element_time(inputs.times[row.code], choice(1, "count", f"{row.meaning}: once between two layers"))


WAITS = ("gap", "layer", "slag layer", "skim")


@formula("rework", "definition: an expected value, odds times what it takes", "computed", unit="s")
def rework_allowance(odds: float, rework_time: float, arc_time: float, layers: int) -> float:
    """Expected time to cut layers out and lay them again, `odds` being those of each layer. [s]"""
    return odds * (layers * rework_time + arc_time)


def _again(counts: Counts, built: Build, facts: Tables, inputs: Inputs) -> list[float]:
    """Return what the odds of a layer laid twice ask for; nothing in the comfortable window."""
    if not counts.odds:
        return []
    odds = choice(counts.odds, "odds", "grow from the end of the comfortable window to the limit")
    odds = as_it_falls(odds, "rework", inputs)
    layers = choice(len(built.layers), "layers", "layers of the plan")
    return [rework_allowance(odds, facts.constant("rework_time"), built.arc_time, layers)]


def bore_time(
    cut: CutPlan,
    counts: Counts,
    built: Build,
    heat: HeatFigures,
    length: float,
    features: Sequence[FeatureFigures],
    facts: Tables,
    inputs: Inputs,
    factors: Mapping[str, float],
) -> BoreTime:
    """Return where the time of one bore goes; `factors`: what recorded jobs have taught, by element."""
    before, between, after = (_cutting(group, length, facts) for group in (cut.before, cut.between, cut.after))
    on_line = line_elements(counts, facts, inputs)
    own = _own(counts, on_line, facts, inputs)
    own["precut"] += before
    own["preheat"] += [heat.preheat_time] if counts.preheated else []
    own["weld"] += [built.arc_time, heat.interpass_wait, *between, *_again(counts, built, facts, inputs)]
    own["cooldown"] += [heat.cooldown]
    own["finish"] += after
    plain = {phase: by_shop(_sum(phase, parts), phase, factors) for phase, parts in own.items()}
    phases = {
        phase: _with(phase, time, [f.phases[phase] for f in features if phase in f.phases])
        for phase, time in plain.items()
    }
    total = summed("total", "s", *phases.values())
    each = (*before, *between, *after)
    cutting = _sum("cutting", [*each, *(time for feature in features for time in feature.cutting)])
    return BoreTime(**phases, total=total, cutting=cutting, pass_times=each, plain=plain, factors=factors)


def _own(counts: Counts, on_line: tuple[Element, ...], facts: Tables, inputs: Inputs) -> dict[str, list[float]]:
    """Return the times of a bore's elements by phase, its share of the line's among them. [s]"""
    own: dict[str, list[float]] = {phase: [] for phase in PHASES}
    bores = choice(counts.line_bores, "line_bores", "bores that share the line's set-up")
    for one in on_line:
        own[one.phase].append(shared_time(one.time, bores))
    for one in bore_elements(counts, facts, inputs):
        own[one.phase].append(one.time)
    return own


def _with(phase: str, own: float, more: list[float]) -> float:
    """Return the time of a phase with what features add to it. [s]"""
    return summed(phase, "s", own, *more) if more else own


@dataclass(frozen=True)
class OnceTime:
    """What is done once a job; `parts`: by the task it belongs to. [s]"""

    work: float
    fire_watch: float
    parts: Mapping[str, float]


@formula("fire_watch", "watch after the last hot work, less the work that is done meanwhile", "computed", unit="s")
def watch_left(fire_watch: float, meanwhile: float) -> float:
    """Time that the fire watch lasts beyond packing and papers. [s]"""
    return left_of(fire_watch, meanwhile)


TASKS = {"pack": "pack", "clean_up": "pack", "papers": "papers", "test_bead": "test bead"}
TASKS |= {"change_wire": "change", "change_gas": "change"}
AFTER_HOT_WORK = ("pack", "papers")


def job_once(changes: Mapping[str, int], facts: Tables, inputs: Inputs) -> OnceTime:
    """Return what is done once a job: arrival, test bead, packing, changes of wire and gas, rest of the fire watch."""
    found: dict[str, list[float]] = {}
    for one in job_elements(changes, facts, inputs):
        found.setdefault(TASKS.get(one.code, "arrive"), []).append(one.time)
    parts = {task: _sum("once_a_job", times) for task, times in found.items()}
    after = [parts[task] for task in AFTER_HOT_WORK if task in parts]
    work = _sum("once_a_job", list(parts.values()))
    return OnceTime(work, watch_left(inputs.fire_watch, _sum("packing", after)), parts)


CLOSING = ("close_day",)


def daily_times(facts: Tables, inputs: Inputs) -> tuple[float, float]:
    """Return what is done at the start and at the end of every day on site. [s]"""
    elements = day_elements(facts, inputs)
    before = _sum("opening", [one.time for one in elements if one.code not in CLOSING])
    return before, _sum("closing", [one.time for one in elements if one.code in CLOSING])


@formula("saving", "a wait less the torch's way to the other bore and back", "computed", unit="s")
def freed(wait: float, set_torch: float) -> float:
    """Part of a wait in which another bore could be welded. [s]"""
    return above_zero(wait - 2 * set_torch)


@formula("saving", "no more than the other bores' welding takes", "computed", unit="s")
def wait_saving(freed: float, others: float) -> float:
    """What welding other bores of the line in the waits would save. [s]"""
    return smaller(freed, others)


def saved_by_turns(layers: tuple[LayerHeat, ...], others: list[BoreTime], inputs: Inputs) -> float:
    """Return what welding the other bores of a line in a bore's waits would save; zero where it stands alone. [s]"""
    if not others:
        return leaf(0.0, "fact", "saving", "no other bore in this line", unit="s")
    parts = [freed(layer.wait, inputs.times["set_torch"]) for layer in layers]
    return wait_saving(_sum("saving", parts), _sum("others", [other.weld for other in others]))
