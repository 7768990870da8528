"""A job told once more for comparison: of the document only what is set side by side, the rest is never written."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.document.bore import Bore
from estimator.document.whole import Whole
from estimator.express import money, shown
from estimator.features.feature import BEFORE
from estimator.job.job import Job
from estimator.money.bill import Bill
from estimator.money.lines import minor_of
from estimator.plans import BoreFigures, Figures

__all__ = ["Run", "Side", "Twin", "decimal_of", "told_in", "twin_of"]


@dataclass(frozen=True)
class Side:
    """What is compared of one bore, as the document has it: diameters [mm], masses [kg], volumes [mm3], beads."""

    name: str
    cleanup: float
    deposit: float
    precut: float
    beads: tuple[float, ...]
    fills: tuple[float, ...]
    ground: tuple[float, ...]


@dataclass(frozen=True)
class Twin:
    """What is compared of a job, as the document has it: its bores, time on site [min], price with tax.

    `lines`: the names of the bores of each line whose axis was chosen.
    """

    bores: tuple[Side, ...]
    lines: tuple[tuple[str, ...], ...]
    on_site: float
    total: Decimal


Run = Callable[[Job], Twin]


def decimal_of(amount: Any) -> Decimal:  # noqa: ANN401  # text, or a number that knows why
    """Return an amount of the estimate document as a decimal number."""
    return amount if isinstance(amount, Decimal) else Decimal(amount)


def told_in(found: Whole) -> Twin:
    """Return what is compared of a job whose document is written."""
    return Twin(
        bores=tuple(map(_written, found["bores"])),
        lines=tuple(tuple(line["bores"]) for line in found["lines"]),
        on_site=found["totals"]["on_site_min"],
        total=decimal_of(found["price"]["total"]),
    )


def _written(bore: Bore) -> Side:
    features = bore["features"]
    return Side(
        name=bore["name"],
        cleanup=bore["sizes"]["cleanup_mm"],
        deposit=bore["buildup"]["deposit_mass_kg"],
        precut=bore["machining"]["precut_volume_mm3"],
        beads=tuple(layer["beads"] for layer in bore["buildup"]["layers"]),
        fills=tuple(one["fill_mass_kg"] for one in features if one["stage"] == BEFORE),
        ground=tuple(one["ground_volume_mm3"] for one in features if one["ground_volume_mm3"] > 0),
    )


def twin_of(figures: Figures, bill: Bill) -> Twin:
    """Return what is compared of a job, from its figures: each as its document would have it."""
    return Twin(
        bores=tuple(map(_side, figures.bores)),
        lines=(),
        on_site=shown("on_site_min", figures.schedule.on_site),
        total=decimal_of(money(bill.price.total, minor_of(figures.plan.book))),
    )


def _side(one: BoreFigures) -> Side:
    features = [each.feature for each in one.features]
    ground = (shown("ground_volume_mm3", each.ground) for each in features)
    return Side(
        name=one.plan.survey.bore.name,
        cleanup=shown("cleanup_mm", one.plan.survey.sizes.cleanup),
        deposit=shown("deposit_mass_kg", one.build.deposit_mass),
        precut=shown("precut_volume_mm3", one.precut_volume),
        beads=tuple(shown("beads", layer.layer.beads) for layer in one.build.layers),
        fills=tuple(shown("fill_mass_kg", each.mass) for each in one.features if each.feature.stage == BEFORE),
        ground=tuple(volume for volume in ground if volume > 0),
    )
