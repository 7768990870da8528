"""Signs as paper has them: ± and °C for what is typed as +/- and degC, and a figure that stays with its unit."""

import re

__all__ = ["NARROW", "kept", "plain", "sign_of", "signs", "unit_said"]

NARROW = "\u00a0"  # a space at which no line is broken
SIGN = {
    "degC": "°C", "degF": "°F", "mm3": "mm³", "in3": "in³", "ft3": "ft³", "mm2": "mm²", "um": "µm", "uin": "µin",
    "1/min": "rpm", "m3": "m³", "m2": "m²", "kg/m3": "kg/m³",
}  # fmt: skip
UNITS = (
    "°C", "°F", "mm³", "mm²", "in³", "ft³", "µm", "µin", "mm/min", "m/min", "mm/s", "ft/min", "L/min", "kJ/mm", "kg/h",
    "lb/h", "ipm", "cfh", "mm/m", "mm", "in", "min", "kg", "km", "mile", "miles", "kWh", "kW", "hp", "HV", "rpm", "ppm",
    "A", "V", "L", "h", "%", "s", "m", "lb", "ft",
)  # fmt: skip
TYPED = re.compile(r'("[^"]*")')
WORD = re.compile(r"(?<![\w/])(degC|degF|mm3|in3|ft3|mm2|um|uin|1/min)(?![\w/])")
SCATTER = re.compile(r"\+/- ?(?=\d)")
FIGURE = re.compile(rf"(?<=\d) ({'|'.join(map(re.escape, UNITS))}|[A-Z]{{3}})(?![\w/])")
HOURS = re.compile(r"(?<=\d)[ \u00a0]h (\d\d)(?!\d)")
ASCII = {
    "±": "+/-",
    "°C": "degC",
    "°F": "degF",
    "°": " deg",
    "µ": "u",
    "³": "3",
    "²": "2",
    "Ø": "dia.",
    "…": "...",
    "−": "-",
    "→": "->",
    NARROW: " ",
}


def sign_of(unit: str) -> str:
    """Return a unit as it stands on paper."""
    return SIGN.get(unit, unit)


NAMED = {
    "m^2 kg s^-2": "J", "m^2 kg s^-3": "W", "m kg s^-2": "N", "m^-1 kg s^-2": "Pa", "m^2 kg s^-3 A^-1": "V",
}  # fmt: skip
RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
FIRST = ("kg", "m", "K", "A", "s")  # the order in which people write them


def unit_said(unit: str) -> str:
    """Return a unit as people write it: "kg/m³" for "m^-3 kg", "EUR each" for "EUR/each"."""
    if unit in NAMED:
        return NAMED[unit]
    if unit.endswith("/each"):
        return unit.replace("/each", " each")
    parts = [one.partition("^")[::2] for one in unit.split(" ")]
    if not all(base in FIRST and power.removeprefix("-").isdigit() for base, power in parts if power):
        return sign_of(unit)
    parts.sort(key=lambda one: FIRST.index(one[0]) if one[0] in FIRST else len(FIRST))
    above = [base + _raised(power) for base, power in parts if not power.startswith("-")]
    below = [base + _raised(power[1:]) for base, power in parts if power.startswith("-")]
    return "/".join([" ".join(above) or ("1" if below else ""), *below])


def _raised(power: str) -> str:
    return "" if power in ("", "1") else power.translate(RAISED)


def signs(text: str) -> str:
    """Return a text with the signs of paper; what it quotes as typed stays as typed."""
    parts = TYPED.split(text)
    parts[::2] = [SCATTER.sub("±", WORD.sub(lambda found: SIGN[found[1]], one)) for one in parts[::2]]
    return "".join(parts)


def kept(text: str) -> str:
    """Return a text with the signs of paper, in which no line is broken between a figure and its unit."""
    return HOURS.sub(rf"{NARROW}h{NARROW}\1", FIGURE.sub(rf"{NARROW}\1", signs(text)))


def plain(text: str) -> str:
    """Return a text in signs that any terminal has."""
    for sign, typed in ASCII.items():
        text = text.replace(sign, typed)
    return text
