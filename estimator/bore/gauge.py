"""What a gauge is worth: the uncertainty of what was read, how much of the clock it saw, and what it cannot see."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.bore.profile import Profile
from estimator.formula import formula, leaf
from estimator.job.job import Bore
from estimator.job.readings import TURNS
from estimator.tables import Tables
from estimator.tables.rows import Gauge

__all__ = ["Trust", "gauge_of", "seen", "share_of", "trust_of", "widest_gap"]

GUM = "JCGM 100:2008 (GUM)"


@dataclass(frozen=True)
class Trust:
    """Uncertainties of what was read: of one reading (standard), and expanded ones. [SI]"""

    reading: float
    diameter: float
    radial_wear: float
    volume: float


@formula("reading_uncertainty", GUM + " 5.1.2: gauge and repeatability together", "published", unit="m")
def combined(gauge_uncertainty: float, repeatability: float) -> float:
    """Standard uncertainty of one reading. [m]"""
    return (gauge_uncertainty**2 + repeatability**2) ** 0.5


@formula("expanded_uncertainty", GUM + " 6.2.1", "published", unit="m")
def expanded(uncertainty: float, coverage_factor: float, sensitivity: float) -> float:
    """Expanded uncertainty of a size that hangs on one reading. [m]"""
    return coverage_factor * uncertainty * sensitivity


@formula(
    "volume_uncertainty",
    GUM + " 5.2.2: the gauge's own error is common to all readings, repeatability is not",
    "published",
    unit="m3",
)
def volume_uncertainty(
    profile: Profile, gauge_uncertainty: float, repeatability: float, coverage_factor: float
) -> float:
    """Expanded uncertainty of the worn hole's volume. [m³]"""
    factor = (np.pi if profile.radial else np.pi / 4) * 2
    slope = factor * profile.sizes * profile.shares * profile.lengths[:, None]
    own = slope**2 / np.maximum(profile.counts, 1.0)
    return float(coverage_factor * ((slope.sum() * gauge_uncertainty) ** 2 + own.sum() * repeatability**2) ** 0.5)


def gauge_of(bore: Bore, facts: Tables) -> Gauge:
    """Return the row of the way a bore was measured."""
    return facts.row("gauges", "worst diameter" if bore.readings is None else bore.readings.kind, Gauge)


def share_of(bore: Bore, facts: Tables) -> float:
    """Return the share of a size beyond nominal that one side bears, by the gauge and the kind of wear. [-]"""
    row = gauge_of(bore, facts)
    return row.even if bore.wear == "even" else row.one_sided


def _repeatability(bore: Bore) -> float:
    """Return the pooled standard deviation of repeat readings; 0 where nothing was read twice. [m]"""
    cells = () if bore.readings is None or bore.readings.kind == "points" else bore.readings.values
    groups = [np.array(cell) for row in cells for cell in row if isinstance(cell, tuple) and len(cell) > 1]
    free = sum(len(group) - 1 for group in groups)
    pooled = (sum(float(((g - g.mean()) ** 2).sum()) for g in groups) / free) ** 0.5 if free else 0.0
    said = "pooled standard deviation of the repeat readings" if free else "nothing was read twice"
    return leaf(pooled, "given", "repeatability", said, unit="m")


def trust_of(bore: Bore, profile: Profile, facts: Tables) -> Trust:
    """Return the uncertainties of a bore's readings and of what hangs on them."""
    own = None if bore.readings is None else bore.readings.uncertainty
    said = "standard uncertainty of the gauge, as typed in the job document"
    gauge = gauge_of(bore, facts).uncertainty if own is None else leaf(own, "given", "uncertainty", said, unit="m")
    repeat, factor, share = _repeatability(bore), facts.constant("coverage_factor"), share_of(bore, facts)
    reading = combined(gauge, repeat)
    one = (
        leaf(1.0, "given", "sensitivity", "a diameter is read as it is, or as a radius twice")
        if (not profile.radial)
        else leaf(2.0, "given", "sensitivity", "a diameter is twice a radius")
    )
    return Trust(
        reading,
        expanded(reading, factor, one),
        expanded(reading, factor, share),
        volume_uncertainty(profile, gauge, repeat, factor),
    )


def widest_gap(profile: Profile, kind: str) -> float:
    """Return the widest gap between readings round the clock, at the station that has the widest. [deg]"""
    rows = profile.counts > 0 if kind != "points" else np.ones((1, len(profile.clock)), dtype=bool)
    return max(_gap(profile.clock[row], TURNS[kind]) for row in rows if row.any())


def _gap(clock: npt.NDArray[np.float64], turn: float) -> float:
    placed = np.sort(clock % turn)
    return float(np.diff(placed, append=placed[0] + turn).max())


def seen(profile: Profile, kind: str) -> float:
    """Return how much of the clock readings see: the whole less the widest gap between them. [deg]"""
    return 360.0 - widest_gap(profile, kind)
