"""Invented parts of estimate documents to draw: plain ones and ugly ones."""

import math
from typing import Any

__all__ = ["NAMES", "bore_of", "line_of", "maps", "plain_map", "quick_bore"]

NAMES = {
    "plain": "A",
    "markup": "left <upper> & \"outer\" 'eye' ]]> <!-- x --> &amp;",
    "long": "the upper bore of the left-hand arm, behind the guard, nearest to the cab " * 3,
    "unbroken": "W" * 120,
    "steering": "a\x00\x1b[31mb\u202ec\ud800d\ufffee",
    "other letters": "Öse links, опора, 軸受 ⚙",
    "empty": "",
}


def plain_map(depths: int, clock: int, kind: str = "radius", deepest: float = 2.4) -> Any:
    """Return a map of one-sided wear about 100 degrees that grows with depth. [mm]"""
    turn = {"diameter": 180.0, "three-point": 120.0}.get(kind, 360.0)
    at = [turn * n / clock for n in range(clock)]
    along = [round(70 * (n + 0.5) / depths, 4) for n in range(depths)]
    rows = [
        [round(deepest * (0.6 + 0.4 * z / 70) * max(0.0, math.cos(math.radians(a - 100))) ** 2, 6) for a in at]
        for z in along
    ]
    return {"of": kind, "clock": at, "depth_mm": along, "wear_mm": rows}


def _changed(held: Any, change: Any) -> Any:
    rows = [[change(wear, r, c) for c, wear in enumerate(row)] for r, row in enumerate(held["wear_mm"])]
    return {**held, "wear_mm": rows}


def maps() -> dict[str, Any]:
    """Return maps of wear by what is ugly about them."""
    usual, uneven = plain_map(4, 12), plain_map(3, 5)
    return {
        "usual": usual,
        "diameters": plain_map(3, 4, "diameter"),
        "three-point": plain_map(3, 4, "three-point"),
        "points": plain_map(12, 24, "points"),
        "one depth": plain_map(1, 8),
        "one clock position": _changed(plain_map(5, 1), lambda _, r, __: 0.3 + 0.1 * r),
        "one cell": _changed(plain_map(1, 1), lambda *_: 0.42),
        "many": plain_map(200, 72, "points"),
        "no wear": _changed(usual, lambda *_: 0.0),
        "under nominal": _changed(usual, lambda wear, *_: wear - 0.8),
        "all under nominal": _changed(usual, lambda *_: -0.04),
        "not measured": _changed(usual, lambda wear, r, c: None if (r + c) % 4 == 0 else wear),
        "nothing measured": _changed(usual, lambda *_: None),
        "a row not measured": _changed(usual, lambda wear, r, _: None if r == 1 else wear),
        "hair's breadth": plain_map(4, 8, deepest=0.004),
        "worn through": plain_map(4, 8, deepest=38.0),
        "out of order": {**uneven, "clock": [200.0, 10.0, 355.0, 15.0, 90.0], "depth_mm": [60.0, 2.0, 31.5]},
        "at the faces": {**plain_map(2, 6), "depth_mm": [0.0, 70.0]},
    }


def bore_of(held: Any, name: str = "A", **changes: Any) -> Any:
    """Return a bore of an estimate document around a map; `changes` replace keys, None takes one away."""
    known = [wear for row in held["wear_mm"] for wear in row if wear is not None] or [0.0]
    deepest = max(0.0, *known, *known)
    plain = {
        "name": name,
        "given": {"nominal_diameter_mm": 90.0, "length_mm": 70.0, "tolerance": "H8", "wear": None},
        "wear": {"max_radial_wear_mm": deepest, "largest_diameter_mm": 90 + 2 * deepest, "clock_map": held},
        "sizes": {
            "finish_min_mm": 90.0,
            "finish_max_mm": 90.054,
            "cleanup_mm": 90 + 2 * (deepest + 0.5),
            "weld_mm": 87.027,
        },
    }
    return {key: value for key, value in {**plain, **changes}.items() if value is not None}


def quick_bore() -> Any:
    """Return a bore with one worst diameter, as the engine writes it."""
    held = {"of": "worst diameter", "clock": [0.0], "depth_mm": [35.0], "wear_mm": [[1.3]]}
    return bore_of(held, "quick", wear={"largest_diameter_mm": 92.6, "max_radial_wear_mm": 2.6, "clock_map": held})


def _axis(choice: str, x: float, y: float, tilts: tuple[float, float], volume: float, **more: Any) -> Any:
    bores = [
        {
            "name": name,
            "x_mm": x + tilts[0] * z / 1000,
            "y_mm": y + tilts[1] * z / 1000,
            "shift_mm": shift,
            "cleanup_mm": 97.2,
        }
        for name, z, shift in (("A", 35.0, 0.31), ("B", 455.0, 0.12))
    ]
    plain = {"choice": choice, "feasible": True, "reasons": [], "x_mm": x, "y_mm": y, "required_volume_mm3": volume}
    return {**plain, "tilt_x_mm_m": tilts[0], "tilt_y_mm_m": tilts[1], "bores": bores, **more}


def _station(name: str, kind: str, position: float, original: tuple[float, float], worn: Any, tol: Any) -> Any:
    sizes = {"position_mm": position, "length_mm": 70.0, "nominal_mm": 90.0, "position_tolerance_mm": tol}
    centres = {"original_x_mm": original[0], "original_y_mm": original[1]}
    found = {"worn_x_mm": worn[0], "worn_y_mm": worn[1]} if worn else {"worn_x_mm": None, "worn_y_mm": None}
    return {"bore" if kind == "bore" else "name": name, "kind": kind, **sizes, **centres, **found}


def line_of(**changes: Any) -> Any:
    """Return a line of two worn bores and a datum between them, as the engine writes it."""
    plain = {
        "name": "foot",
        "bores": ["A", "B"],
        "chosen": "least deposit",
        "axes": [
            _axis("least deposit", 0.18, -0.42, (0.2, 0.75), 139000.0),
            _axis("worn holes", 0.82, -1.35, (-0.9, 1.9), 151500.0),
            _axis(
                "original centres",
                0.0,
                0.0,
                (0.0, 0.0),
                161800.0,
                feasible=False,
                reasons=["bore A: clean-up cuts the boss"],
            ),
        ],
        "saves": {"against": "original centres", "required_volume_mm3": 22800.0, "deposit_mass_kg": 0.21},
        "stations": [
            _station("A", "bore", 0.0, (0.0, 0.0), (0.79, -1.28), 0.6),
            _station("middle eye", "datum", 210.0, (0.05, -0.1), None, 0.1),
            _station("B", "bore", 420.0, (0.0, 0.0), (0.41, -0.49), 0.6),
        ],
    }
    return {key: value for key, value in {**plain, **changes}.items() if value is not None}
