"""Heat and steel of a bore in the typed estimate document; null where a table or formula does not say."""

from typing_extensions import TypedDict

__all__ = ["Heat"]


class Warm(TypedDict):
    """How warm the bore is before and after a layer, and the burner that keeps it warm meanwhile."""

    layer: int
    start_C: float
    end_C: float
    keep_kW: float


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
    burners: int
    boss_kg: float
    burner_min: float
    wait_saving_min: float
    course: list[Warm]
    waits: list[Wait]
    machinable: bool
    advice: list[str]
