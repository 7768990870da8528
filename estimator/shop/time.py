"""Times of one bore and of the job, from the table of time standards: each row says per what it is counted."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from estimator.cut.passes import CutPlan, Pass, pass_time
from estimator.either import above_zero, smaller
from estimator.features.figures import FeatureFigures, element_time
from estimator.formula import choice, difference, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.weld.build import Build, HeatFigures
from estimator.weld.plan import WeldPlan

__all__ = ["BoreTime", "Counts", "bore_time", "counts_of", "job_once", "layer_work"]

PHASES = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")


@dataclass(frozen=True)
class Counts:
    """How often each element is done in one bore, by its basis; `line` is shared among the line's bores."""

    by_basis: Mapping[str, int]
    line_bores: int
    preheated: bool

    def of(self, row: TimeStandard) -> int:
        """Return how often a row's element is done in this bore."""
        if row.when == "preheat" and not self.preheated:
            return 0
        return self.by_basis.get(row.basis, 0)


@dataclass(frozen=True)
class BoreTime:
    """Where the time of one bore goes, its features included; `plain`: the same without them, by phase. [s]"""

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


@formula("element_time", "time standard once a line, shared among its bores", "computed", unit="s")
def shared_time(duration: float, line_bores: int) -> float:
    """A bore's share of work done once a line. [s]"""
    return duration / line_bores


def counts_of(weld: WeldPlan, cut: CutPlan, preheated: bool, line_bores: int) -> Counts:
    """Return how often each element is done in one bore."""
    layers = len(weld.layers)
    return Counts(
        {
            "bore": 1,
            "gap": layers - 1,
            "layer": layers,
            "slag layer": layers if weld.wire.slag == "yes" and weld.slag_each_layer else int(weld.wire.slag == "yes"),
            "skim": len(cut.between),
            "precut pass": len(cut.before),
            "finish pass": len(cut.after),
            "end": 2,
        },
        line_bores,
        preheated,
    )


def _elements(phase: str, counts: Counts, facts: Tables, inputs: Inputs) -> list[float]:
    """Return the time of every element of a phase that this bore has."""
    found = []
    for row in facts.rows("times").values():
        assert isinstance(row, TimeStandard)  # rows of the table of times are
        if row.phase != phase:
            continue
        if row.basis == "line":
            bores = choice(counts.line_bores, "line_bores", "bores that share the line's set-up")
            found.append(shared_time(inputs.times[row.code], bores))
        elif (count := counts.of(row)) > 0:
            number = choice(count, "count", f"{row.meaning}: counted per {row.basis}")
            found.append(element_time(inputs.times[row.code], number))
    return found


def _cutting(passes: Iterable[Pass], length: float, facts: Tables) -> list[float]:
    return [pass_time(length, facts.constant("approach"), one.feed, one.turning) for one in passes]


def _sum(quantity: str, parts: list[float]) -> float:
    return (
        summed(quantity, "s", *parts)
        if parts
        else leaf(0.0, "fact", quantity, "nothing of the kind is planned", unit="s")
    )


def layer_work(counts: Counts, facts: Tables, inputs: Inputs) -> float:
    """Return the time between layers that passes anyway and lets the boss cool. [s]"""
    rows = [row for row in facts.rows("times").values() if isinstance(row, TimeStandard) and row.basis in WAITS]
    parts = [
        element_time(inputs.times[row.code], choice(counts.of(row), "count", row.meaning))
        for row in rows
        if counts.of(row)
    ]
    return _sum("layer_work", parts)


WAITS = ("gap", "layer", "slag layer", "skim")


def bore_time(
    cut: CutPlan,
    counts: Counts,
    built: Build,
    heat: HeatFigures,
    length: float,
    features: Sequence[FeatureFigures],
    facts: Tables,
    inputs: Inputs,
) -> BoreTime:
    """Return where the time of one bore goes."""
    before, between, after = (_cutting(group, length, facts) for group in (cut.before, cut.between, cut.after))
    own = {phase: _elements(phase, counts, facts, inputs) for phase in PHASES}
    own["precut"] += before
    own["preheat"] += [heat.preheat_time] if counts.preheated else []
    own["weld"] += [built.arc_time, heat.interpass_wait, *between]
    own["cooldown"] += [heat.cooldown]
    own["finish"] += after
    plain = {phase: _sum(phase, parts) for phase, parts in own.items()}
    phases = {
        phase: _with(phase, time, [f.phases[phase] for f in features if phase in f.phases])
        for phase, time in plain.items()
    }
    total = summed("total", "s", *phases.values())
    each = (*before, *between, *after)
    cutting = _sum("cutting", [*each, *(time for feature in features for time in feature.cutting)])
    return BoreTime(**phases, total=total, cutting=cutting, pass_times=each, plain=plain)


def _with(phase: str, own: float, more: list[float]) -> float:
    """Return the time of a phase with what features add to it. [s]"""
    return summed(phase, "s", own, *more) if more else own


@dataclass(frozen=True)
class OnceTime:
    """What is done once a job. [s]"""

    work: float
    after_hot_work: float
    fire_watch: float


@formula("fire_watch", "watch after the last hot work, less the work that is done meanwhile", "computed", unit="s")
def watch_left(fire_watch: float, meanwhile: float) -> float:
    """Time that the fire watch lasts beyond packing and papers. [s]"""
    return above_zero(fire_watch - meanwhile)


AFTER_HOT_WORK = ("pack", "papers")


def job_once(changes: Mapping[str, int], facts: Tables, inputs: Inputs) -> OnceTime:
    """Return what is done once a job: arrival, test bead, packing, changes of wire and gas, rest of the fire watch."""
    parts, after = [], []
    for row in facts.rows("times").values():
        assert isinstance(row, TimeStandard)  # rows of the table of times are
        count = changes.get(row.basis, 0)
        if row.phase != "job" or not count:
            continue
        time = element_time(inputs.times[row.code], choice(count, "count", f"{row.meaning}: counted per {row.basis}"))
        parts.append(time)
        if row.code in AFTER_HOT_WORK:
            after.append(time)
    return OnceTime(
        _sum("once_a_job", parts), _sum("packing", after), watch_left(inputs.fire_watch, _sum("packing", after))
    )


@formula(
    "element_time", "finishing and inspection of a bore, less its share of setting the bar again", "computed", unit="s"
)
def own_finish(finish: float, inspection: float, again: float, line_bores: int) -> float:
    """Work on a cold bore that fills the cooling of a later one. [s]"""
    return finish + inspection - again / line_bores


def cover_of(line: list[BoreTime], number: int, facts: Tables, inputs: Inputs) -> float:
    """Return the work that fills a bore's cooling: later bores welded, the bar set again, earlier ones finished. [s]"""
    rows = [row for row in facts.rows("times").values() if isinstance(row, TimeStandard)]
    again = [inputs.times[row.code] for row in rows if row.phase == "finish" and row.basis == "line"]
    later = [part for other in line[number + 1 :] for part in (other.preheat, other.weld)]
    set_again = _sum("set_again", again)
    bores = choice(len(line), "line_bores", "bores that share the line's set-up")
    earlier = [own_finish(other.finish, other.inspection, set_again, bores) for other in line[:number]]
    return _sum("cover", [*later, set_again, *earlier])


@formula("used_wait", "a wait is used as far as other work of the line fills it", "computed", unit="s")
def used_wait(cooldown: float, cover: float) -> float:
    """Part of a cool-down that is used for other work. [s]"""
    return smaller(cooldown, cover)


def unused(cooldown: float, used: float) -> float:
    """Return the part of a cool-down in which nothing else is done. [s]"""
    return difference(cooldown, used)
