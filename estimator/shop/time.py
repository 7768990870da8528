"""Times of one bore and of the job, from the table of time standards: each row says per what it is counted."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from estimator.cut.passes import CutPlan, Pass, pass_time
from estimator.either import above_zero, smaller
from estimator.features.figures import FeatureFigures, element_time
from estimator.formula import choice, difference, formula, leaf, summed
from estimator.inputs import Inputs
from estimator.shop.standards import Counts, Element, bore_elements, counts_of, job_elements, line_elements
from estimator.tables import Tables
from estimator.tables.rows import TimeStandard
from estimator.weld.build import Build
from estimator.weld.course import HeatFigures, LayerHeat

__all__ = ["BoreTime", "Counts", "bore_time", "counts_of", "job_once", "layer_work", "saved_by_turns"]

PHASES = ("setup", "precut", "preheat", "weld", "cooldown", "finish", "inspection", "teardown")


@dataclass(frozen=True)
class BoreTime:
    """Where the time of one bore goes, its features included; `plain`: the same without them, by phase.

    `set_again`: setting the bar again after the line's welding, whole. [s]
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
    set_again: float


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


def _again(counts: Counts, built: Build, facts: Tables) -> list[float]:
    """Return what the odds of a layer laid twice ask for; nothing in the comfortable window."""
    if not counts.odds:
        return []
    odds = choice(counts.odds, "odds", "grow from the end of the comfortable window to the limit")
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
) -> BoreTime:
    """Return where the time of one bore goes."""
    before, between, after = (_cutting(group, length, facts) for group in (cut.before, cut.between, cut.after))
    on_line = line_elements(counts, facts, inputs)
    own = _own(counts, on_line, facts, inputs)
    own["precut"] += before
    own["preheat"] += [heat.preheat_time] if counts.preheated else []
    own["weld"] += [built.arc_time, heat.interpass_wait, *between, *_again(counts, built, facts)]
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
    again = _sum("set_again", [one.time for one in on_line if one.phase == "finish"])
    return BoreTime(**phases, total=total, cutting=cutting, pass_times=each, plain=plain, set_again=again)


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
    """What is done once a job. [s]"""

    work: float
    after_hot_work: float
    fire_watch: float


@formula("fire_watch", "watch after the last hot work, less the work that is done meanwhile", "computed", unit="s")
def watch_left(fire_watch: float, meanwhile: float) -> float:
    """Time that the fire watch lasts beyond packing and papers. [s]"""
    return above_zero(fire_watch - meanwhile)


AFTER_HOT_WORK = ("clean_up", "close_day", "pack", "papers")


def job_once(changes: Mapping[str, int], facts: Tables, inputs: Inputs) -> OnceTime:
    """Return what is done once a job: arrival, test bead, packing, changes of wire and gas, rest of the fire watch."""
    elements = job_elements({"day": 1, **changes}, facts, inputs)
    after = _sum("packing", [one.time for one in elements if one.code in AFTER_HOT_WORK])
    once = _sum("once_a_job", [one.time for one in elements])
    return OnceTime(once, after, watch_left(inputs.fire_watch, after))


@formula(
    "element_time", "finishing and inspection of a bore, less its share of setting the bar again", "computed", unit="s"
)
def own_finish(finish: float, inspection: float, again: float, line_bores: int) -> float:
    """Work on a cold bore that fills the cooling of a later one. [s]"""
    return finish + inspection - again / line_bores


def cover_of(line: list[BoreTime], number: int) -> float:
    """Return the work that fills a bore's cooling: later bores welded, the bar set again, earlier ones finished. [s]"""
    later = [part for other in line[number + 1 :] for part in (other.preheat, other.weld)]
    set_again = line[number].set_again
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
