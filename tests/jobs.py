"""Random jobs within what is always plannable, and small ones by hand; shared by the tests of every room."""

import copy
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from hypothesis import strategies as st

__all__ = ["SOUND", "any_job", "bore", "changed", "codes", "job", "quick", "tens"]

SOUND = {"cracks": "no", "welded_before": "no", "hardened": "no", "coated": "no", "bush": "no", "duty": "ordinary"}


def tens(text: str) -> Decimal:
    """Return an amount to tens, as people are told a budget price."""
    return 10 * (Decimal(text) / 10).quantize(Decimal(1), ROUND_HALF_UP)


def bore(**changes: Any) -> dict[str, Any]:
    """Return a plain worn bore with some keys changed; None takes a key away."""
    plain = {
        "name": "A",
        "nominal_diameter": "90 mm",
        "length": "70 mm",
        "material": "S355J2",
        "outside_diameter": "170 mm",
        "condition": SOUND,
        "readings": {
            "kind": "diameter",
            "unit": "mm",
            "clock": [0, 45, 90, 135],
            "depth": [10, 35, 60],
            "values": [[92.9, 91.7, 90.2, 91.5], [93.0, 91.8, 90.2, 91.6], [92.8, 91.6, 90.1, 91.4]],
        },
    }
    return {key: value for key, value in {**plain, **changes}.items() if value is not None}


def quick(nominal: float, worn: float, **changes: Any) -> dict[str, Any]:
    """Return a bore with one worst diameter, sizes in millimetres."""
    sizes = {"nominal_diameter": f"{nominal} mm", "worn_diameter": f"{worn} mm", "readings": None}
    return bore(**{**sizes, **changes})


def job(*bores: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """Return a job of some bores (one plain bore if none), with some keys changed."""
    plain = {"reference": "T-1", "site": {"distance": "85 km", "ambient": "12 degC"}, "bores": list(bores) or [bore()]}
    return {**plain, **changes}


def changed(document: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """Return a deep copy of a document with the value at a path ("bores.0.length") replaced."""
    copied = copy.deepcopy(document)
    here: Any = copied
    *steps, last = path.split(".")
    for step in steps:
        here = here[int(step)] if isinstance(here, list) else here[step]
    here[int(last) if isinstance(here, list) else last] = value
    return copied


def codes(found: Any) -> list[str]:
    """Return the codes of a document's warnings."""
    return [one["code"] for one in found["warnings"]]


@st.composite
def any_bore(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """Return a bore anywhere within what is always plannable."""
    nominal = draw(st.integers(40, 300))
    length = draw(st.integers(20, 300))
    deepest = draw(st.floats(0.05, 4.0 if nominal < 60 else 7.9))
    kind = draw(st.sampled_from(["diameter", "radius"]))
    clock = sorted(draw(st.sets(st.sampled_from(range(0, 180, 15)), min_size=2, max_size=6)))
    clock = [*clock, *(angle + 180 for angle in clock)] if kind == "radius" else clock
    depths = sorted(draw(st.sets(st.integers(0, length), min_size=1, max_size=4)))
    base = nominal / 2 if kind == "radius" else nominal
    shares = draw(st.lists(st.floats(0, 1), min_size=len(clock) * len(depths), max_size=len(clock) * len(depths)))
    cells = iter(shares)
    values = [[round(base + deepest * next(cells), 4) for _ in clock] for _ in depths]
    readings = {"kind": kind, "unit": "mm", "clock": clock, "depth": depths, "values": values}
    return bore(
        name=name,
        nominal_diameter=f"{nominal} mm",
        length=f"{length} mm",
        outside_diameter=f"{nominal + 2 * 8 + 2 + 50} mm",
        axis=draw(st.sampled_from(["horizontal", "vertical"])),
        material=draw(st.sampled_from(["S235JR", "S355J2", "A36", "1018", "1026"])),
        tolerance=draw(st.sampled_from(["H8", "H7", "F7", "E8", "N7", {"lower": "0.01 mm", "upper": "0.08 mm"}])),
        wear=draw(st.sampled_from(["one-sided", "even"])),
        readings=readings,
    )


@st.composite
def any_job(draw: st.DrawFn, most: int = 3) -> dict[str, Any]:
    """Return a job of some bores, each on a line of its own or all on one."""
    count = draw(st.integers(1, most))
    bores = [draw(any_bore(f"B{number}")) for number in range(count)]
    if draw(st.booleans()):
        bores = [{**one, "line": "one", "axis": bores[0]["axis"]} for one in bores]
    site = {"distance": f"{draw(st.integers(0, 400))} km", "access": draw(st.sampled_from(["open", "restricted"]))}
    return job(*bores, site=site)
