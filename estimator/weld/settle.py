"""Settle the plan of a bore from what the search found: its layers, its warnings, the quicker plan beside it."""

from estimator.book.pricebook import PriceBook
from estimator.bore.survey import Survey
from estimator.formula import choice
from estimator.job.options import Turning
from estimator.tables.messages import Message, say, texts_of
from estimator.tables.rows import Gas
from estimator.units import deci
from estimator.weld.cases import Candidate, Case
from estimator.weld.plan import (
    Alternative,
    Beside,
    Layer,
    WeldPlan,
    duty_limit,
    layer_end,
    left_thickness,
    part_turns,
    turns_one_way,
    whole_turns,
    with_dwells,
)
from estimator.weld.search import Found
from estimator.weld.technique import Windows, windows_of

__all__ = ["layers_of", "plan_weld"]

WELL_INSIDE = 0.15  # share of the build
DWELT = "the ends would stay short by more than boring takes off"
FIRST = "the first bead starts on a clean edge and is laid cooler: middle of the window in the limits table"


def _pinned_outside(case: Case, windows: Windows) -> list[Message]:
    """Return warnings about pinned choices that are kept but lie outside comfort."""
    pinned = {"current": case.ask.current, "step": case.ask.step}
    said = []
    for key, value in pinned.items():
        comfort = windows["comfort"][key]
        if value is not None and not comfort.holds(value):
            said.append(say("pinned", said=comfort.why_not(value)))
    return said


def _overbuilt(case: Case, layers: tuple[Layer, ...]) -> list[Message]:
    """Return a warning where the layers come out well inside the weld bore."""
    more = sum(layer.thickness for layer in layers) - case.ask.build
    if more <= WELL_INSIDE * case.ask.build:
        return []
    return [say("overbuilt", more=more)]


def layers_of(case: Case, plan: Candidate, survey: Survey, current: float, book: PriceBook) -> tuple[Layer, ...]:
    """Return the layers of a chosen plan, first to last, each joining the one before."""
    ask, bore = case.ask, survey.bore
    weighed = f"{AIMED[case.aim]} within the limits ({deci(plan.time, 'min'):.3g} min of arc and cleaning)"
    pinned = ask.step is not None
    step = choice(plan.step, "step", "pinned by the job" if pinned else f"a whole number of turns; {weighed}", unit="m")
    plain = whole_turns(bore.length, step, plan.way.turns_over)
    one_way = turns_one_way(survey, book)
    reason = f"round thickness of {plan.layers} whole layers that build enough; {weighed}"
    laid = choice(plan.thickness, "layer_thickness", reason, unit="m", build=ask.build, skim=ask.skim)
    layers, start = [], survey.sizes.cleanup
    for number in range(1, plan.layers + 1):
        last = number == plan.layers
        rotation: Turning = (
            "clockwise" if one_way or number % 2 else "counter-clockwise"
        )  # seen from the machine's side
        left = laid if last else left_thickness(laid, ask.skim)
        end = layer_end(start, left)
        dwells = int(number > plan.layers - plan.dwells)
        beads = with_dwells(plain, choice(dwells, "dwells", DWELT)) if dwells else plain
        turns = beads if bore.sector is None else part_turns(beads, survey.share)
        layers.append(
            Layer(
                number=number,
                laid=laid,
                thickness=left,
                start=start,
                end=end,
                step=step,
                beads=beads,
                turns=turns,
                rotation=rotation,
                current=current,
                dwells=dwells,
            )
        )
        start = end
    return tuple(layers)


def _warnings(case: Case, layers: tuple[Layer, ...], found: Found, survey: Survey, book: PriceBook) -> list[Message]:
    """Return what the welder should know of this plan beforehand."""
    said = {
        say("uneasy", outside=found.outside): not found.calm,
        say("one_way"): any(layer.skimmed for layer in layers),
        say("slag_left"): case.wire.slag == "yes" and survey.bore.options.slag == "at the end",
    }
    windows = windows_of(book.facts, case.here, duty_limit(book))
    own = [*_pinned_outside(case, windows), *_overbuilt(case, layers)]
    return [one for one, holds in said.items() if holds] + own


def _pushed(case: Case, found: Found, gas: Gas) -> tuple[Alternative, ...]:
    """Return the plan that runs to the limits, where it is quicker than the sound one."""
    sound, quick = found.best, found.quick
    if sound is None or quick is None or case.ask.current is not None or quick.time >= sound.time * (1 - 1e-6):
        return ()
    remark = say("alternative_pushed", held=_held(found.quick_held))
    return (
        Alternative(
            name="pushed",
            wire=case.wire.name,
            gas=gas.name,
            current=quick.current,
            layers=quick.layers,
            time=quick.time,
            remark=remark,
        ),
    )


def _held(held: tuple[Message, ...]) -> tuple[Message, ...]:
    """Return what holds a plan back; nothing, where nothing does."""
    return held or (say("nothing"),)


AIMED = {"cost": "least cost, rework included", "hours": "fewest hours, rework included", "heat": "least heat"}


def plan_weld(
    case: Case,
    found: Found,
    survey: Survey,
    gas: Gas,
    others: tuple[Alternative, ...] | None,
    book: PriceBook,
    hand: tuple[Layer, ...] | None = None,
) -> WeldPlan:
    """Return the plan of one bore: the best by its aim, with what held it.

    `others`: alternatives to tell beside it, None where nothing beside it was asked for; `hand`: the user's own layers,
    which are kept as they are.
    """
    plan = found.best
    assert plan is not None  # the caller refuses where there is none
    why = f"{AIMED[case.aim]}; limited by {'; '.join(texts_of(_held(found.held)))}"
    current = choice(plan.current, "current", "pinned by the job" if case.ask.current else why, unit="A")
    layers = layers_of(case, plan, survey, current, book) if hand is None else hand
    coolest = None if case.first is None else min(case.first, layers[0].current)
    first = None if coolest is None else choice(coolest, "first_current", FIRST, unit="A")
    late = case.wire.slag == "yes" and survey.bore.options.slag == "at the end"
    return WeldPlan(
        wire=case.wire,
        gas=gas,
        layers=layers,
        first_current=first,
        way=plan.way,
        slag_each_layer=not late,
        limits=found.held,
        warnings=tuple(_warnings(case, layers, found, survey, book)),
        time=plan.time,
        arc_time=plan.arc_time,
        aim=case.aim,
        odds=plan.odds,
        weighed=plan,
        beside=None if others is None else Beside((*_pushed(case, found, gas), *others), found.frontier, found.beside),
    )
