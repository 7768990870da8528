"""Three hundred seeded jobs and books, over all that a job document can say."""

import random
from typing import Any

from tests.jobs import bore, job, quick

__all__ = ["COUNT", "Case", "golden_case"]

COUNT = 300
Case = tuple[dict[str, Any], dict[str, Any]]
Dice = random.Random
STEELS = ["S355J2"] * 5 + ["S235JR", "C45", "1045", "4140", "42CrMo4", "S690QL", "G20Mn5", {"C": 0.24, "Mn": 1.1}]
FITS: list[Any] = ["H8"] * 4 + ["H6", "H7", "H10", "H11", "N7", "F7", {"lower": "0.01 mm", "upper": "0.08 mm"}]
SOUND = {"cracks": "no", "welded_before": "no", "hardened": "no", "coated": "no", "bush": "no", "duty": "ordinary"}


def golden_case(number: int) -> Case:
    """Return a job document and a patch of the price book; the same for the same number, for ever."""
    dice = Dice(number)
    count = dice.choice([1, 1, 2, 2, 3, 4])
    lines = dice.random()
    bores: list[dict[str, Any]] = []
    for place, name in enumerate("ABCD"[:count]):
        one = _bore(dice, name)
        if lines < 0.6:
            one |= {"line": "pin" if lines < 0.4 else f"pin {place % 2}", "axis": (bores or [one])[0]["axis"]}
            one["mounts"] = (bores or [one])[0].get("mounts", "welded")
        bores.append(one)
    if lines < 0.3:
        at = 0
        for one in bores:
            one["position"] = f"{at} mm"
            at += round(float(one["length"].split()[0])) + dice.choice([60, 150, 280, 420])
    for one in bores:
        _features(dice, one)
    site: dict[str, Any] = {"distance": f"{dice.choice([0, 5, 30, 85, 160, 260, 400])} km"}
    site |= dice.choice([{}, {"ambient": f"{dice.randint(-15, 38)} degC"}, {"ambient": "12 degC", "wind": "3 m/s"}])
    site["access"] = dice.choice(["open", "open", "restricted", "confined"])
    more: dict[str, Any] = {} if dice.random() < 0.8 else {"start": "2027-03-05"}
    return job(*bores, reference=f"G-{number}", site=site, **more), _book(dice)


def _bore(dice: Dice, name: str) -> dict[str, Any]:
    """Return a worn bore, measured in one of several ways."""
    nominal = dice.choice([40, 50, 65, 80, 90, 100, 120, 160, 220, 300])
    length = dice.choice([25, 40, 70, 110, 150, 240])
    wear = round(min(dice.choice([0.05, 0.6, 1.5, 2.5, 4.0, 7.0]), 4.0 if nominal < 60 else 8.0), 2)
    more: dict[str, Any] = {
        "name": name,
        "length": f"{length} mm",
        "material": dice.choice(STEELS),
        "tolerance": dice.choice(FITS),
        "axis": dice.choice(["horizontal", "horizontal", "vertical"]),
        "outside_diameter": dice.choice([None, f"{nominal + dice.choice([50, 70, 90, 140])} mm"]),
        "plate_thickness": dice.choice([None, "20 mm", "40 mm"]),
        "wear": dice.choice(["one-sided", "even"]),
        "mounts": dice.choice([None, None, "clamped"]),
        "condition": {**SOUND, dice.choice(list(SOUND)): "unknown"} if dice.random() < 0.3 else SOUND,
    }
    if dice.random() < 0.25:
        return quick(nominal, round(nominal + wear, 2), **more)
    return bore(nominal_diameter=f"{nominal} mm", readings=_readings(dice, nominal, length, wear), **more)


def _readings(dice: Dice, nominal: float, length: float, wear: float) -> dict[str, Any]:
    """Return a grid of readings, worn on one side."""
    kind = dice.choice(["diameter", "diameter", "radius"])
    clock = [n * 45 for n in range(4)] if kind == "diameter" else [n * 45 for n in range(8)]
    base = nominal if kind == "diameter" else nominal / 2
    values = [
        [round(base + wear * dice.uniform(0.1, 1) * (1.0 if angle in {0, 180} else 0.4), 2) for angle in clock]
        for _ in range(dice.choice([1, 2, 3]))
    ]
    depths = [round(length * (n + 0.5) / len(values), 1) for n in range(len(values))]
    found = {"kind": kind, "unit": "mm", "clock": clock, "depth": depths, "values": values}
    return {**found, "temperature": "9 degC"} if dice.random() < 0.2 else found


def _features(dice: Dice, one: dict[str, Any]) -> None:
    """Add features, choices or a part of the clock to some bores."""
    size, length = (float(one[key].split()[0]) for key in ("nominal_diameter", "length"))
    more: dict[str, Any] = {
        "faces": [{"outer_diameter": f"{size + 40} mm", "depth": "2 mm"}],
        "grooves": [{"kind": "grease", "diameter": f"{size + 8} mm", "width": "6 mm", "at": f"{length / 2 - 3} mm"}],
        "keyways": [{"width": "12 mm", "depth": "5 mm", "clock": 90}],
        "grease_holes": [{"diameter": "8 mm", "clock": 0, "at": f"{length / 2} mm"}],
        "chamfers": [{"width": "2 mm", "angle": 30}],
        "steps": [
            {
                "nominal_diameter": f"{size + 20} mm",
                "worn_diameter": f"{size + 21.4} mm",
                "length": "12 mm",
                "wear": "even",
            }
        ],
        "sector": {"from": 300, "to": 60},
        "pocket": {"from": 330, "to": 30},
        "cleanup_allowance": "0.8 mm",
        "machining_allowance": "2 mm",
        "roughness": "1.6 um",
        "blind": True,
    }
    options: list[dict[str, Any]] = [
        {"current": "120 A"}, {"layers": 3}, {"step": "3 mm"}, {"rotation": "one way"}, {"wire": "E71T-1 0.045 in"}
    ]  # fmt: skip
    if dice.random() < 0.35:
        key = dice.choice(list(more))
        if key == "pocket" and one.get("readings", {}).get("kind") != "radius":
            key = "grooves"
        one[key] = more[key]
    if dice.random() < 0.15:
        one["options"] = dice.choice(options)


def _book(dice: Dice) -> dict[str, Any]:
    """Return a patch of the price book: crew, machines, hours, how the price is made."""
    if dice.random() < 0.4:
        return {}
    return {
        "crew": dice.choice([1, 1, 2, 3]),
        "shift_length": f"{dice.choice([7, 8, 10, 12])} h",
        "overtime": f"{dice.choice([0, 0, 1, 2])} h",
        "equipment": {"sets": dice.choice([1, 1, 2])},
        "overhead": dice.choice([0.0, 0.1, 0.18]),
    }
