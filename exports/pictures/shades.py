"""A scale of wear after the temper colours of steel: straw, gold, brown, purple, blue, each darker than the last.

Lightness alone tells the order, so the scale serves colour-blind eyes and a print in black and white. Relative
luminance and contrast ratio are those of WCAG 2.2 (W3C, 2023).
"""

import math
from typing import NamedTuple

from exports.pictures.paper import round_step

__all__ = ["Band", "bands", "contrast", "luminance", "text_on"]

TEMPER = ("#fdf5dc", "#f6dc9c", "#e6b665", "#cb8b4d", "#a5604f", "#783f5c", "#482c5f", "#1c1d42")
MOST = len(TEMPER)
KNEE = 0.04045  # below it a colour's share is linear (WCAG 2.2)
FINEST = 0.01  # finest step that numbers of two places tell apart [mm]


class Band(NamedTuple):
    """Wear from low up to high is painted in one colour. [mm]"""

    low: float
    high: float
    colour: str


def _parts(colour: str) -> list[int]:
    return [int(colour[at : at + 2], 16) for at in (1, 3, 5)]


def _shade(share: float) -> str:
    """Return the colour at a share of the scale, between its neighbours."""
    place = share * (MOST - 1)
    low = min(int(place), MOST - 2)
    pair = zip(_parts(TEMPER[low]), _parts(TEMPER[low + 1]), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * (place - low)):02x}" for a, b in pair)


def bands(deepest: float) -> list[Band]:
    """Return the bands of a map from nominal to its deepest wear, in round steps. [mm]"""
    top = max(deepest, FINEST)  # a bore without wear still has a scale
    step = max(FINEST, round_step(top, MOST))
    count = math.ceil(top / step - 1e-9)
    ends = [round(n * step, 9) for n in range(count + 1)]
    return [Band(ends[n], ends[n + 1], _shade(n / max(1, count - 1))) for n in range(count)]


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.2, definitions: relative luminance). [-]"""
    shares = [part / 255 for part in _parts(colour)]
    red, green, blue = (one / 12.92 if one <= KNEE else ((one + 0.055) / 1.055) ** 2.4 for one in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2, definitions: contrast ratio). [-]"""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def text_on(colour: str) -> str:
    """Return black or white, whichever reads better upon a colour; one of them always reaches 4.5."""
    return max(("#000000", "#ffffff"), key=lambda ink: contrast(ink, colour))
