"""What is set for a layer, as somebody sets it: of the first layer its cooler first bead, then what follows it."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from estimator.document.weld import Buildup, Layer
from exports.format import perhaps

__all__ = ["COOLER", "Setting", "has_cooler_bead", "settings_of"]

COOLER = "The first bead of layer 1 is laid cooler: set it, then set the next row."


class Setting(NamedTuple):
    """One row of settings: its name, current [A], voltage [V], wire feed [m/min], travel [mm/min], beads.

    `turn`: seconds a whole turn of the torch takes; `rpm`: its turns a minute; None in documents of before.
    """

    name: str
    current: float
    voltage: float
    wire_feed: float
    travel: float
    beads: float
    turn: float | None
    rpm: float | None


def _cooler(layer: Layer) -> bool:
    first, then = layer.get("first_bead"), layer.get("after_first")
    return first is not None and then is not None and first["current_A"] < layer["current_A"]


def has_cooler_bead(built: Buildup) -> bool:
    """Return whether the first bead is laid cooler than the rest."""
    return any(_cooler(layer) for layer in built["layers"])


def _setting(name: str, bead: Mapping[str, Any], layer: Layer, beads: float) -> Setting:
    volts = bead.get("voltage_V", layer["voltage_V"])  # older documents have it of the layer alone
    turn = {"turn": bead.get("turn_s"), "rpm": bead.get("torch_rpm")}
    return Setting(name, bead["current_A"], volts, bead["wire_feed_m_min"], bead["travel_mm_min"], beads, **turn)


def settings_of(layer: Layer) -> list[Setting]:
    """Return the rows of settings of a layer in the order they are set; never a mean that nobody sets."""
    beads = perhaps(layer.get("beads")) or layer["turns"]
    name = f"layer {layer['number']}"
    if not _cooler(layer):
        return [_setting(name, layer, layer, beads)]
    first = _setting("first bead", layer["first_bead"], layer, 1)
    return [first, _setting(f"then {name}", layer["after_first"], layer, beads - 1)]
