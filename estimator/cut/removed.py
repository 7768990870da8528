"""What the bar takes away of a bore: before it is built up, and after."""

import math

from estimator.bore.sector import outside_pocket, pocket_volume
from estimator.bore.survey import Survey
from estimator.cut.passes import removed_before
from estimator.formula import difference, formula, leaf

__all__ = ["cleaned_away", "removed_after"]


@formula("finish_volume", "conservation of metal: what was laid less what stays", "computed", unit="m3")
def removed_after(
    deposit_volume: float, required_volume: float, finish: float, weld: float, length: float, share: float
) -> float:
    """Weld metal that is cut away again: run-over, crests, and the allowance for boring to size. [m³]"""
    return deposit_volume - required_volume + share * math.pi / 4 * (finish**2 - weld**2) * length


def cleaned_away(survey: Survey) -> float:
    """Return what the clean-up cut will take away; nothing where it has been made. [m³]"""
    bore = survey.bore
    if bore.cleanup_diameter is not None or bore.sector is not None:
        return leaf(0.0, "given", "cleanup_diameter", "the bar makes no clean-up cut", unit="m3")
    void = survey.wear.void_volume
    if bore.pocket is not None:
        inside, _ = outside_pocket(bore, survey.profile)
        void = difference(void, pocket_volume(survey.profile, inside, survey.sizes.cleanup))
    return removed_before(survey.sizes.cleanup, bore.length, void)
