"""Steels: compositions within their standards, published carbon equivalents, verdicts that follow."""

import csv
import math
from importlib import resources

import pytest

ELEMENTS = ("C", "Si", "Mn", "Cr", "Mo", "Ni", "Cu", "V")
MARKS = {"published", "computed", "common practice, no source", "from memory"}
FAMILIES = {"structural", "carbon", "alloy", "casting", "iron", "manganese", "stainless"}
DELIVERIES = {"rolled", "normalized", "quenched and tempered", "cast", "case hardening"}
NEEDED = """
    S235JR S275JR S355JR S355J2 S460N S690QL C22 C25 C35 C45 C60 1018 1020 1026 1045 4130 4140 4340
    42CrMo4 34CrNiMo6 16MnCr5 20MnCr5 8620 A36 A572-50 A514 G20Mn5 GE300 EN-GJL-250 EN-GJS-400-15
    X120Mn12 100Cr6 52100
"""
NEEDED_SPACED = {"A27 60-30", "A27 65-35", "A27 70-36", "A27 70-40", "A148 80-50", "wear plate 400 HB"}

TEXT = resources.files("estimator.tables").joinpath("steels.csv").read_text("utf-8")
ROWS = list(csv.DictReader(TEXT.splitlines()))
STEELS = {row["name"]: row for row in ROWS}

Composition = dict[str, float]


def typical(name: str) -> Composition:
    """Return the planning composition [% by mass]."""
    return {element: float(STEELS[name][element] or 0) for element in ELEMENTS}


def limiting(name: str) -> Composition:
    """Return the limits that the standard sets [% by mass]."""
    return {e: float(STEELS[name][f"{e}_max"]) for e in ELEMENTS if STEELS[name][f"{e}_max"]}


def ce_iiw(c: Composition) -> float:
    return c["C"] + c["Mn"] / 6 + (c["Cr"] + c["Mo"] + c["V"]) / 5 + (c["Ni"] + c["Cu"]) / 15


def cet(c: Composition) -> float:
    return c["C"] + (c["Mn"] + c["Mo"]) / 10 + (c["Cr"] + c["Cu"]) / 20 + c["Ni"] / 40


def pcm(c: Composition) -> float:
    mild = c["Si"] / 30 + (c["Mn"] + c["Cu"] + c["Cr"]) / 20
    return c["C"] + mild + c["Ni"] / 60 + c["Mo"] / 15 + c["V"] / 10


# ---------------------------------------------------------------- the table in itself


def test_the_steels_we_need_are_there_once() -> None:
    assert len(STEELS) == len(ROWS) >= 28
    assert (set(NEEDED.split()) | NEEDED_SPACED) - set(STEELS) == set()


@pytest.mark.parametrize("name", STEELS)
def test_a_row_is_whole(name: str) -> None:
    row = STEELS[name]
    assert None not in row  # a row with more cells than the header
    assert 0 < float(row["C"]) < 4.5
    assert row["family"] in FAMILIES
    assert row["delivery"] in DELIVERIES
    assert row["verdict"] in {"plan", "approval", "refuse", "analysis", "range"}
    assert row["why"].endswith(".")
    assert ". " not in row["why"]
    assert row["source"].strip()
    assert row["mark"] in MARKS
    assert row["hardness [HB]"] == "" or 80 <= float(row["hardness [HB]"]) <= 450


@pytest.mark.parametrize("name", STEELS)
def test_typical_lies_within_the_limits(name: str) -> None:
    plan, limit = typical(name), limiting(name)
    assert {element: plan[element] for element in limit if plan[element] > limit[element]} == {}
    assert all(plan[element] >= 0 for element in ELEMENTS)
    assert ("C" in limit) == (STEELS[name]["verdict"] not in {"analysis", "range"} and STEELS[name]["family"] != "iron")


def test_what_is_from_memory_is_not_called_published() -> None:
    """The mark is that of the composition, and the source says which part it means."""
    for name, row in STEELS.items():
        composition = row["source"].partition("hardness")[0]
        assert ("from memory" in composition) <= (row["mark"] == "from memory"), name


# ---------------------------------------------------------------- limits as printed


PRINTED_LIMITS = {
    # EN 10025-2:2004 Table 2, over 40 mm, studmed.ru copy of BS EN 10025-2:2004 p. 19
    "S235JR": {"C": 0.20, "Mn": 1.40, "Cu": 0.55},
    "S275JR": {"C": 0.22, "Mn": 1.50, "Cu": 0.55},
    "S355JR": {"C": 0.24, "Si": 0.55, "Mn": 1.60, "Cu": 0.55},
    "S355J2": {"C": 0.22, "Si": 0.55, "Mn": 1.60, "Cu": 0.55},
    # ASTM A27/A27M-95 Table 1, scribd.com/document/654199623
    "A27 60-30": {"C": 0.30, "Si": 0.80, "Mn": 0.60},
    "A27 65-35": {"C": 0.30, "Si": 0.80, "Mn": 0.70},
    "A27 70-36": {"C": 0.35, "Si": 0.80, "Mn": 0.70},
    "A27 70-40": {"C": 0.25, "Si": 0.80, "Mn": 1.20},
    # ASTM A36 plate 40 to 65 mm and A572 grade 50 type 2, lfpco.com and boltport.com
    "A36": {"C": 0.26, "Si": 0.40, "Mn": 1.20},
    "A572-50": {"C": 0.23, "Si": 0.40, "Mn": 1.35, "V": 0.15},
    # EN 10025-3, ysteelplate.com/S355NL-S460NL.html
    "S460N": {"C": 0.20, "Si": 0.60, "Mn": 1.70, "Cr": 0.30, "Mo": 0.10, "Ni": 0.80, "Cu": 0.55, "V": 0.20},
    # GB/T 24186-2022 Table 2 NM400, cehesteel.com
    "wear plate 400 HB": {"C": 0.30, "Si": 0.70, "Mn": 1.60, "Cr": 1.20, "Mo": 0.50, "Ni": 0.70},
}


@pytest.mark.parametrize("name", PRINTED_LIMITS)
def test_limits_as_the_standard_prints_them(name: str) -> None:
    assert limiting(name) == PRINTED_LIMITS[name]


Range = tuple[float, float]
SI_EN, SI_SAE, SI_B = (0.10, 0.40), (0.15, 0.35), (0.20, 0.35)
RESIDUAL = {"Cr": 0.40, "Mo": 0.10, "Ni": 0.40}
CR, MO = (0.80, 1.10), (0.15, 0.25)
PRINTED_RANGES: dict[str, tuple[dict[str, Range], dict[str, float]]] = {  # ranges, and limits without a lower end
    # EN 10083-2:2006 Table 3, scribd.com/document/351448448; silicon 0.10 to 0.40 in the ISO grades
    "C22": ({"C": (0.17, 0.24), "Si": SI_EN, "Mn": (0.40, 0.70)}, RESIDUAL),
    "C35": ({"C": (0.32, 0.39), "Si": SI_EN, "Mn": (0.50, 0.80)}, RESIDUAL),
    "C45": ({"C": (0.42, 0.50), "Si": SI_EN, "Mn": (0.50, 0.80)}, RESIDUAL),
    "C60": ({"C": (0.57, 0.65), "Si": SI_EN, "Mn": (0.60, 0.90)}, RESIDUAL),
    # C 25 M 2, Handbook of Comparative World Steel Standards Table 2.1
    "C25": ({"C": (0.22, 0.29), "Si": SI_EN, "Mn": (0.40, 0.70)}, {}),
    # ASTM A29, boltport.com/specifications/astm-a29; silicon: ASTM A576-90b note A
    "1018": ({"C": (0.15, 0.20), "Si": SI_SAE, "Mn": (0.60, 0.90)}, {}),
    "1020": ({"C": (0.18, 0.23), "Si": SI_SAE, "Mn": (0.30, 0.60)}, {}),
    "1026": ({"C": (0.22, 0.28), "Si": SI_SAE, "Mn": (0.60, 0.90)}, {}),
    "1045": ({"C": (0.43, 0.50), "Si": SI_SAE, "Mn": (0.60, 0.90)}, {}),
    # SAE 41xx, liquisearch.com/41xx_steel/properties; 4340: fushunspecialsteel.com; 8620: steelforging.org
    "4130": ({"C": (0.28, 0.33), "Si": SI_SAE, "Mn": (0.40, 0.60), "Cr": CR, "Mo": MO}, {}),
    "4140": ({"C": (0.38, 0.43), "Si": SI_SAE, "Mn": (0.75, 1.00), "Cr": CR, "Mo": MO}, {}),
    "4340": (
        {
            "C": (0.38, 0.43),
            "Si": SI_SAE,
            "Mn": (0.60, 0.80),
            "Cr": (0.70, 0.90),
            "Mo": (0.20, 0.30),
            "Ni": (1.65, 2.00),
        },
        {},
    ),
    "8620": (
        {"C": (0.18, 0.23), "Si": SI_SAE, "Mn": (0.70, 0.90), "Cr": (0.40, 0.60), "Mo": MO, "Ni": (0.40, 0.70)},
        {},
    ),
    # modercromo.it/42Cr.htm; EN 10084, fuhongspecialsteel.com
    "42CrMo4": ({"C": (0.38, 0.45), "Mn": (0.60, 0.90), "Cr": (0.90, 1.20), "Mo": (0.15, 0.30)}, {"Si": 0.40}),
    "16MnCr5": ({"C": (0.14, 0.19), "Mn": (1.00, 1.30), "Cr": CR}, {"Si": 0.40}),
    "20MnCr5": ({"C": (0.17, 0.22), "Mn": (1.10, 1.40), "Cr": (1.00, 1.30)}, {"Si": 0.40}),
    # ASTM A514 grade B data sheet 2017-04-19, ondoc.logand.com/d/8295
    "A514-B": (
        {"C": (0.12, 0.21), "Si": SI_B, "Mn": (0.70, 1.00), "Cr": (0.40, 0.65), "Mo": MO, "V": (0.03, 0.08)},
        {},
    ),
    # DIN 17230 and ASTM A295, yongxinpipe.com
    "100Cr6": ({"C": (0.90, 1.05), "Si": SI_SAE, "Mn": (0.25, 0.45), "Cr": (1.35, 1.65)}, {"Ni": 0.30}),
    "52100": (
        {"C": (0.93, 1.05), "Si": SI_SAE, "Mn": (0.25, 0.45), "Cr": (1.35, 1.60)},
        {"Mo": 0.10, "Ni": 0.25, "Cu": 0.30},
    ),
}


@pytest.mark.parametrize("name", PRINTED_RANGES)
def test_a_printed_range_is_planned_at_its_middle(name: str) -> None:
    ranges, limits = PRINTED_RANGES[name]
    plan = typical(name)
    assert limiting(name) == {**limits, **{element: high for element, (_, high) in ranges.items()}}
    assert {e: plan[e] for e in ranges} == pytest.approx({e: (low + high) / 2 for e, (low, high) in ranges.items()})
    assert all(plan[element] == 0 for element in plan.keys() - ranges.keys() - {"Si"})


# ---------------------------------------------------------------- carbon equivalents


def of(**parts: float) -> Composition:
    return {**dict.fromkeys(ELEMENTS, 0.0), **parts}


def test_worked_examples_of_the_carbon_equivalent() -> None:
    a572 = of(C=0.15, Mn=1.20, Cr=0.10, Mo=0.05, V=0.02, Ni=0.50, Cu=0.20)
    assert ce_iiw(a572) == pytest.approx(0.431, abs=0.0005)  # calcady.com, carbon equivalent, A572-50
    assert ce_iiw(of(C=0.40, Mn=0.85, Cr=0.95, Mo=0.20)) == pytest.approx(0.772, abs=0.0005)  # the same, 4140
    steel = of(C=0.18, Mn=1.2, Cr=0.2, Mo=0.05, Ni=0.1, Cu=0.15)
    assert ce_iiw(steel) == pytest.approx(0.447, abs=0.0005)  # calculatorlib.com/carbon-equivalent-calculator


# CE(IIW), CET, Pcm worked by hand from the published ranges and the formulas at vmvcm.com/Tools/8.html
RECOMPUTED = {
    "1018": (0.300, 0.250, 0.221),
    "1026": (0.375, 0.325, 0.296),
    "1045": (0.590, 0.540, 0.511),
    "4130": (0.618, 0.422, 0.399),
    "4140": (0.781, 0.560, 0.518),
    "8620": (0.515, 0.344, 0.301),
    "A27 60-30": (0.400, 0.360, 0.357),
    "A27 65-35": (0.417, 0.370, 0.362),
    "A27 70-36": (0.467, 0.420, 0.412),
    "A27 70-40": (0.450, 0.370, 0.337),
}


@pytest.mark.parametrize("name", RECOMPUTED)
def test_the_middle_of_a_range_gives_its_equivalents(name: str) -> None:
    plan = typical(name)
    assert (ce_iiw(plan), cet(plan), pcm(plan)) == pytest.approx(RECOMPUTED[name], abs=0.0006)


CEV_ALLOWED = {
    "S275JR": 0.40,  # EN 10025-2 up to 40 mm, steelcalculator.app/reference/uk-steel-chemical-composition
    "S355JR": 0.45,
    "S355J2": 0.45,
    "wear plate 400 HB": 0.57,  # GB/T 24186-2022 Table 3, D and E grades up to 50 mm, cehesteel.com
}


@pytest.mark.parametrize("name", CEV_ALLOWED)
def test_a_planning_composition_could_be_delivered(name: str) -> None:
    assert CEV_ALLOWED[name] * 0.75 < ce_iiw(typical(name)) <= CEV_ALLOWED[name]


TENSILE = {  # EN 10025-2 Table 7, 3 to 100 mm [MPa], readle.co.uk/references/steel-grades-eurocodes.php
    "S235JR": (360, 510),
    "S275JR": (410, 560),
    "S355JR": (470, 630),
    "S355J2": (470, 630),
}


@pytest.mark.parametrize("name", TENSILE)
def test_hardness_fits_the_tensile_strength(name: str) -> None:
    assert math.isclose(float(STEELS[name]["hardness [HB]"]), sum(TENSILE[name]) / 2 / 3.4, abs_tol=0.5)


# ---------------------------------------------------------------- verdicts


def asks_for_approval(name: str) -> bool:
    """Say whether carbon, equivalents or the heat treatment put a qualified person in charge."""
    plan = typical(name)
    treated = STEELS[name]["delivery"] in {"quenched and tempered", "case hardening"}
    return plan["C"] > 0.30 or ce_iiw(plan) > 0.60 or cet(plan) > 0.45 or treated


@pytest.mark.parametrize("name", STEELS)
def test_a_verdict_follows_from_the_steel(name: str) -> None:
    row = STEELS[name]
    unweldable = float(row["C"]) > 0.60 or row["family"] in {"iron", "manganese", "stainless"}
    assert (row["verdict"] == "refuse") == unweldable
    if row["verdict"] == "plan":
        assert not asks_for_approval(name)
    elif row["verdict"] == "approval":
        assert asks_for_approval(name)
    elif row["verdict"] == "analysis":
        assert limiting(name) == {}


def test_each_verdict_occurs() -> None:
    verdicts = {name: row["verdict"] for name, row in STEELS.items()}
    assert set(verdicts.values()) == {"plan", "approval", "refuse", "analysis", "range"}
    assert verdicts["A148 80-50"] == "analysis"
    assert verdicts["52100"] == verdicts["X120Mn12"] == verdicts["EN-GJL-250"] == verdicts["C60"] == "refuse"
    assert verdicts["4140"] == verdicts["16MnCr5"] == verdicts["S690QL"] == "approval"
    assert verdicts["S355J2"] == verdicts["A36"] == verdicts["1026"] == "plan"
