"""Heat and steel of a bore in the estimate document; null where a table or formula does not say."""

from typing_extensions import TypedDict

from estimator.express import all_shown
from estimator.formula import choice, rewrap
from estimator.plans import BoreFigures
from estimator.tables.messages import text_of, texts_of
from estimator.weld.course import LayerHeat

__all__ = ["Heat", "heat_of"]


class Warm(TypedDict):
    """How warm the bore is before and after a layer, and the burner that keeps it warm meanwhile and just before."""

    layer: int
    start_C: float
    end_C: float
    keep_kW: float
    between_kWh: float


class Wait(TypedDict):
    """A wait where it comes: in which layer, after which bead, at what temperature of the bore, in how many stops."""

    layer: int
    after_bead: int
    from_C: float
    wait_min: float
    stops: int


class Heat(TypedDict):
    """Preheat, interpass, cooling."""

    carbon_equivalent: float
    cet: float
    pcm: float
    preheat_table_C: float | None
    preheat_table: str
    hardness_layer: int
    hardness_first_HV: float
    hardness_last_HV: float
    hardness_limit_HV: float
    hardness_scatter_HV: float
    haz_hardness_HV: float | None
    haz_limit_HV: float | None
    haz_tempered: float | None
    haz_said: str
    too_hard_odds: float
    remedy_min: float | None
    ac1_C: float
    temper_from_C: float | None
    temper_to_C: float | None
    temper: str
    certificate: str | None
    preheat_C: float
    interpass_max_C: float
    interpass_wait_min: float
    cooldown_min: float
    finish_cut_max_C: float
    finish_growth_mm: float
    burners: int
    boss_kg: float
    burner_min: float
    wait_saving_min: float
    course: list[Warm]
    waits: list[Wait]
    machinable: bool
    advice: list[str]


NONE_DUE = "none is due: the computed preheat is below the part's own temperature or 20 degC"


def heat_of(one: BoreFigures) -> Heat:
    """Return preheat, interpass and cooling of a bore, and how hard it gets."""
    plan, heat, risk, temper = one.plan.heat, one.heat, one.plan.heat.risk, one.plan.heat.risk.tempering
    found = Heat(
        carbon_equivalent=plan.carbon_equivalent,
        cet=plan.cet,
        pcm=plan.pcm,
        interpass_max_C=plan.interpass_max,
        interpass_wait_min=heat.interpass_wait,
        cooldown_min=heat.cooldown,
        finish_cut_max_C=plan.cold.temperature,
        finish_growth_mm=plan.cold.growth,
        wait_saving_min=one.wait_saving,
        boss_kg=plan.mass,
        burner_min=heat.preheat_time,
        burners=plan.burners,
        course=[_warm(layer, number) for number, layer in enumerate(heat.layers, 1)],
        waits=[_wait(one, number) for number, layer in enumerate(heat.layers, 1) if layer.wait > 0],
        hardness_layer=risk.layer,
        hardness_first_HV=risk.first,
        hardness_last_HV=risk.last,
        hardness_limit_HV=risk.limit,
        hardness_scatter_HV=risk.scatter,
        too_hard_odds=risk.odds,
        ac1_C=temper.ac1,
        preheat_table_C=plan.table.preheat,
        temper_from_C=temper.low,
        temper_to_C=temper.high,
        remedy_min=None if one.remedy is None else one.remedy.time,
        preheat_table=text_of(plan.table.said),
        haz_hardness_HV=risk.edge.hard,
        haz_limit_HV=risk.edge.limit,
        haz_tempered=risk.edge.tempered,
        haz_said=text_of(risk.edge.said),
        temper=text_of(temper.said),
        certificate=one.plan.base.certificate or None,
        preheat_C=plan.preheat,
        machinable=plan.machinable,
        advice=texts_of(plan.advice),
    )
    return all_shown(found) if plan.due else _cold(all_shown(found))


def _cold(found: Heat) -> Heat:
    """Return the heat of a bore without preheat."""
    return {**found, "preheat_C": rewrap(0.0, choice(0.0, "preheat", NONE_DUE))}


def _numbered(number: int) -> int:
    return choice(number, "number", "layers are numbered as they are laid")


def _warm(layer: LayerHeat, number: int) -> Warm:
    found = Warm(
        layer=_numbered(number),
        start_C=layer.start,
        end_C=layer.end,
        keep_kW=layer.keeping,
        between_kWh=layer.between,
    )
    return all_shown(found)


def _wait(one: BoreFigures, number: int) -> Wait:
    """Return where a layer's wait comes: after which bead, at what temperature, in how many stops."""
    layer, limit = one.heat.layers[number - 1], one.plan.heat.interpass_max
    return all_shown(
        Wait(layer=_numbered(number), after_bead=layer.bead, from_C=limit, wait_min=layer.wait, stops=layer.stops)
    )
