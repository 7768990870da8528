"""Steel: its composition as planned with, carbon equivalents, preheat, cooling time, hardness of what is diluted."""

import math
from dataclasses import dataclass, replace
from typing import Any

from estimator.formula import formula, leaf
from estimator.job.job import Bore
from estimator.job.steel import Certificate
from estimator.tables import Tables
from estimator.tables.rows import Steel, Wire

__all__ = [
    "ELEMENTS",
    "Base",
    "ac1",
    "base_of",
    "base_share",
    "cet",
    "cooling_time",
    "diluted",
    "hardness",
    "iiw",
    "kelvin_preheat",
    "mixed",
    "pcm",
]

CUSTOM = "composition given in the job document"


@dataclass(frozen=True)
class Base:
    """The boss's steel as planned with: percent by mass, family, delivery, verdict.

    `tempered_at`: lowest temperature it was tempered at [K], where known; `table_category` and `table_note`: where it
    stands in the published table of preheats; `above`: elements that its certificate has above the grade's limits.
    """

    name: str
    family: str
    delivery: str
    verdict: str
    why: str
    C: float
    Si: float
    Mn: float
    Cr: float
    Mo: float
    Ni: float
    Cu: float
    V: float
    given: bool
    S: float = 0.0
    B: float = 0.0
    tempered_at: float | None = None
    table_category: str = ""
    table_note: str = ""
    certificate: str = ""
    above: tuple[str, ...] = ()

    @property
    def tempered(self) -> bool:
        """Whether it is delivered quenched and tempered."""
        return self.delivery == "quenched and tempered"


ELEMENTS = ("C", "Si", "Mn", "Cr", "Mo", "Ni", "Cu", "V")
HIGH_CARBON_FAMILY, ALLOYED = 0.3, 1.0  # percent: where a given composition is treated as carbon or alloy steel


def base_of(bore: Bore, facts: Tables) -> Base:
    """Return the steel a bore is planned with: a row of the table under its certificate, or the composition given."""
    if isinstance(bore.material, str):
        row = facts.row("steels", bore.material, Steel)
        return _of_row(row) if bore.certificate is None else _certified(row, bore.certificate)
    percent = bore.material
    parts: dict[str, Any] = {name: _element(percent.get(name, 0.0), name) for name in (*ELEMENTS, "S", "B")}
    alloy = percent.get("Cr", 0) + percent.get("Mo", 0) + percent.get("Ni", 0)
    family = "alloy" if alloy > ALLOYED else "carbon" if percent["C"] > HIGH_CARBON_FAMILY else "structural"
    return Base("given composition", family, "unknown", "plan", "", **parts, given=True)


def _of_row(row: Steel) -> Base:
    """Return a steel as its row has it."""
    parts = {name: getattr(row, name) for name in ELEMENTS}
    parts["B"] = leaf(0.0, "fact", "B", "boron stands in no row: none unless a certificate tells of it")
    table: dict[str, Any] = {"table_category": row.table_category, "table_note": row.table_note}
    return Base(
        row.name,
        row.family,
        row.delivery,
        row.verdict,
        row.why,
        **parts,
        **table,
        given=False,
        tempered_at=row.tempered_at,
    )


def _certified(row: Steel, paper: Certificate) -> Base:
    """Return a steel of which a certificate tells the composition: what it names beats the row."""
    told = {name: getattr(paper, name) for name in (*ELEMENTS, "S", "B") if getattr(paper, name) is not None}
    limits = {name: getattr(row, f"{name}_max") for name in ELEMENTS}
    above = tuple(name for name in ELEMENTS if name in told and limits[name] is not None and told[name] > limits[name])
    verdict = "plan" if row.verdict in ("analysis", "range") else row.verdict
    tempered = row.tempered_at if paper.tempered_at is None else paper.tempered_at
    own: dict[str, Any] = {"verdict": verdict, "tempered_at": tempered, "certificate": paper.source, "above": above}
    return replace(_of_row(row), **told, **own)


def _element(percent: float, name: str) -> float:
    return leaf(float(percent), "given", f"material.{name}", f"{name} in percent by mass, {CUSTOM}")


@formula("carbon_equivalent", "IIW: C + Mn/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15", "published")
def iiw(C: float, Mn: float, Cr: float, Mo: float, V: float, Ni: float, Cu: float) -> float:  # noqa: N803  # the elements' own symbols
    """Carbon equivalent of the International Institute of Welding. [% by mass]"""
    return C + Mn / 6 + (Cr + Mo + V) / 5 + (Ni + Cu) / 15


@formula("cet", "EN 1011-2:2001 Annex C: CET = C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40", "published")
def cet(C: float, Mn: float, Mo: float, Cr: float, Cu: float, Ni: float) -> float:  # noqa: N803  # the elements' own symbols
    """Carbon equivalent CET. [% by mass]"""
    return C + (Mn + Mo) / 10 + (Cr + Cu) / 20 + Ni / 40


@formula("pcm", "Ito and Bessyo: Pcm = C + Si/30 + (Mn+Cu+Cr)/20 + Ni/60 + Mo/15 + V/10 + 5 B", "published")
def pcm(C: float, Si: float, Mn: float, Cu: float, Cr: float, Ni: float, Mo: float, V: float, B: float) -> float:  # noqa: N803  # the elements' own symbols
    """Cracking parameter Pcm of Ito and Bessyo. [% by mass]"""
    return C + Si / 30 + (Mn + Cu + Cr) / 20 + Ni / 60 + Mo / 15 + V / 10 + 5 * B


@formula(
    "ac1",
    "Andrews, JISI 203 (1965) 721-727: Ac1 = 723 - 10.7 Mn - 16.9 Ni + 29.1 Si + 16.9 Cr",
    "published",
    unit="K",
)
def ac1(  # the formula takes what it needs
    Mn: float,  # noqa: N803  # an element's symbol
    Ni: float,  # noqa: N803  # an element's symbol
    Si: float,  # noqa: N803  # an element's symbol
    Cr: float,  # noqa: N803  # an element's symbol
    iron_ac1: float,
    by_Mn: float,  # noqa: N803  # an element's symbol
    by_Ni: float,  # noqa: N803  # an element's symbol
    by_Si: float,  # noqa: N803  # an element's symbol
    by_Cr: float,  # noqa: N803  # an element's symbol
) -> float:
    """Temperature at which a steel begins to turn to austenite on heating. [K]"""
    return iron_ac1 + by_Mn * Mn + by_Ni * Ni + by_Si * Si + by_Cr * Cr


@formula(
    "preheat",
    "EN 1011-2:2001 Annex C method B: Tp = 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328",
    "published",
    unit="K",
)
def kelvin_preheat(  # the formula takes what it needs
    cet: float,
    thickness: float,
    hydrogen: float,
    heat_input: float,
    by_cet: float,
    by_thickness: float,
    thickness_scale: float,
    by_hydrogen: float,
    hydrogen_power: float,
    by_heat_cet: float,
    by_heat: float,
    offset: float,
) -> float:
    """Preheat temperature by method B. [K]"""
    plate = by_thickness * math.tanh(thickness / thickness_scale)
    return (
        by_cet * cet
        + plate
        + by_hydrogen * hydrogen**hydrogen_power
        + (by_heat_cet * cet + by_heat) * heat_input
        + offset
    )


@formula(
    "cooling_time",
    "EN 1011-2 Annex D: t8/5 in thick plate (three-dimensional heat flow), shape factor 1",
    "published",
    unit="s",
)
def cooling_time(  # the formula takes what it needs
    start_temperature: float,
    heat_input: float,
    zero: float,
    upper_end: float,
    lower_end: float,
    constant: float,
    constant_slope: float,
) -> float:
    """Time from 800 to 500 degC in a thick part. [s]"""
    return (
        (constant - constant_slope * (start_temperature - zero))
        * heat_input
        * (1 / (lower_end - start_temperature) - 1 / (upper_end - start_temperature))
    )


@formula(
    "diluted_percent", "definition of dilution: each layer is wire metal with a share of what lies under it", "computed"
)
def diluted(base_percent: float, wire_percent: float, dilution: float, layers: int) -> float:
    """Percent of an element in the last of several layers. [% by mass]"""
    return wire_percent + (base_percent - wire_percent) * dilution**layers


@formula("dilution", "definition of dilution: a share of what lies under it goes into each layer", "computed")
def base_share(dilution: float, layers: int) -> float:
    """Share of base metal in the last of several layers. [-]"""
    return dilution**layers


def mixed(base: Base, wire: Wire, layers: int, facts: Tables) -> tuple[dict[str, float], dict[str, float]]:
    """Return the last of several layers, and the wire's metal alone, by element. [% by mass]"""
    deposit, plain = dict[str, float](), dict[str, float]()
    for name in ELEMENTS:
        own = getattr(wire, name, None)
        plain[name] = leaf(0.0, "fact", f"wire {name}", "not in the wire's row") if own is None else own
        deposit[name] = diluted(getattr(base, name), plain[name], facts.constant("dilution_first"), layers)
    return deposit, plain


@formula(
    "hardness",
    "Yurioka, Okumura, Kasuya, Cotton, Metal Construction 19 (1987) 217R; coefficients from memory, martensite cap",
    "from memory",
)
def hardness(  # the formula takes what it needs
    C: float,  # noqa: N803  # the elements' own symbols
    Si: float,  # noqa: N803  # an element's symbol
    Mn: float,  # noqa: N803  # an element's symbol
    Cr: float,  # noqa: N803  # an element's symbol
    Mo: float,  # noqa: N803  # an element's symbol
    Ni: float,  # noqa: N803  # an element's symbol
    Cu: float,  # noqa: N803  # an element's symbol
    V: float,  # noqa: N803  # an element's symbol
    cooling_time: float,
    one_second: float,
) -> float:
    """Hardness of a composition cooled from 800 to 500 degC in that time. [HV]"""
    carbon = C if C <= 0.3 else C / 6 + 0.25  # noqa: PLR2004  # the formula's own knee
    first = carbon + Si / 24 + Mn / 6 + Cu / 15 + Ni / 12 + Cr * (1 - 0.16 * Cr**0.5) / 8 + Mo / 4
    second = C + Si / 24 + Mn / 5 + Cu / 10 + Ni / 18 + Cr / 5 + Mo / 2.5 + V / 5
    third = carbon + Mn / 3.6 + Cu / 20 + Ni / 9 + Cr / 5 + Mo / 4
    martensite, bainite = 884 * C * (1 - 0.3 * C**2) + 294, 145 + 130 * math.tanh(2.65 * second - 0.69)
    full, none = math.exp(10.6 * first - 4.8), math.exp(6.2 * third + 0.74)
    x = 4 * math.log(cooling_time / one_second / full) / math.log(none / full) - 2
    return min(martensite, (martensite + bainite) / 2 - (martensite - bainite) / 2.2 * math.atan(x))
