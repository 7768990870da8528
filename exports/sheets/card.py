"""The weld cards: one page a bore, large type, to tape to the boss."""

from itertools import zip_longest

from estimator.document.bore import Bore
from estimator.document.card import Card
from estimator.document.weld import Buildup, Layer
from estimator.estimate import Estimate
from exports.card_words import (
    FEED,
    course_said,
    named_settings,
    setting_figures,
    stops_of,
    temperatures,
    too_hard,
    turns_said,
    waits_said,
)
from exports.cells import Cell, Row, Sheet, lines_of, sheet_names
from exports.format import bare, field
from exports.phrases import after_welding, moved_said
from exports.settings import Setting
from exports.setup_words import torch_from

__all__ = ["sheets"]

WIDTHS = (12.0, 13.0, 12.5, 13.0, 11.5, 8.5, 8.5, 17.0)
COLUMNS, WIDTH = len(WIDTHS), sum(WIDTHS)
FEW, LOW = 3, 1.75  # layers that have room to write in; height of a line to write in where there are more
AFTER = ((6, 7),)  # columns that the temperature after a layer is written into
SEEN, QUARTER = 3, 2  # columns of what is seen beside what to do; columns of one temperature
HEAD = ("Layer", "WIRE FEED\nm/min", "expect\nA", "expect\nV", "travel\nmm/min", "step\nmm", "beads", "rotation")
TEXT, BOLD, BAR, ROW, TITLE = 1.2, 1.35, 1.35, 2.2, 2.6  # height of a line over that of the usual type
NARROW, BESIDE, WIDER = 0.87, 0.91, 1.12  # a character of the card's text over the width of a column's unit
ROTATION = {"clockwise": "\u21bb clock", "counter-clockwise": "\u21ba counter"}


def _bar(words: str) -> Row:
    return Row((Cell(words, "bar"),), span=COLUMNS, scale=BAR)


def _text(words: str, look: str = "bigtext") -> Row:
    height, wide = (TEXT, NARROW) if look == "bigtext" else (BOLD, WIDER)
    return Row((Cell(words, look),), span=COLUMNS, lines=lines_of(words, WIDTH, wide), scale=height)


def _pairs(left: list[str], right: list[str], columns: int = COLUMNS // 2) -> list[Row]:
    """Return two texts beside each other, the left one over that many columns."""
    wide = sum(WIDTHS[:columns])
    rows = []
    for one, other in zip_longest(left, right, fillvalue=""):
        lines = max(lines_of(one, wide, BESIDE), lines_of(other, WIDTH - wide, BESIDE))
        cells = (Cell(one or None, "bigtext"), *(Cell(None),) * (columns - 1), Cell(other or None, "bigtext"))
        rows.append(Row(cells, lines=lines, scale=TEXT, spans=((1, columns), (columns + 1, COLUMNS))))
    return rows


def _top(bore: Bore, estimate: Estimate) -> list[Row]:
    """Return whose card it is: bore, job, sizes, steel; then wire, gas and flow."""
    given, sizes, built = bore["given"], bore["sizes"], bore["buildup"]
    job = estimate["job"]["title"]
    machine = field(estimate, "job", "equipment", "description")
    start, end = bare("cleanup_mm", sizes["cleanup_mm"], "metric"), bare("weld_mm", sizes["weld_mm"], "metric")
    rows = [Row((Cell(f"BORE {bore['name']}", "huge"),), span=COLUMNS, scale=TITLE)]
    rows.append(_text(", ".join(one for one in (estimate["reference"], job, machine) if one)))
    size = f"\u00d8 {start} mm down to \u00d8 {end} mm, {given['length_mm']:g} mm long, {given['axis']} axis"
    part = given.get("clock_sector")
    rows.append(_text(f"{size}, {given['material']}", "bigbold"))
    rows += [_text(said)] if (said := after_welding(bore, "metric")) else []
    if part is not None:
        rows.append(_text(f"ONLY FROM {part['from']:g}° TO {part['to']:g}°, 0 is 12 o'clock", "bigbold"))
    if (place := field(bore, "sizes", "clock_axis")) is not None:
        rows.append(_text(f"BAR SET {moved_said(place)} of the zero of the readings", "bigbold"))
    flow = f"{built['gas']} ({built['gas_symbol']}), {built['gas_flow_L_min']:.0f} L/min"
    setup = field(bore, "setup")
    rows += [_text(torch_from(setup, "metric").capitalize(), "bigbold")] if setup else []
    return [*rows, _text(f"Wire {built['wire']}     Gas {flow}     Slag: {built['slag']}", "bigbold")]


def _stops(bore: Bore, estimate: Estimate) -> list[Row]:
    """Return what must be settled before the arc, this bore's own and the job's."""
    said = stops_of(bore, estimate)
    return [_bar("BEFORE ANY ARC"), *(_text(one, "alarm") for one in said)] if said else []


def _setting(name: str, one: Setting, layer: Layer, built: Buildup) -> Row:
    """Return one line of settings."""
    feed, current, volts, travel = setting_figures(one, built)
    looks = ("big", "bigger", *("big",) * 6)
    step = bare("step_mm", layer["step_mm"], "metric")
    values = (name, feed, current, volts, travel, step, f"{one.beads:g}", ROTATION[layer["rotation"]])
    return Row(tuple(Cell(value, look) for value, look in zip(values, looks, strict=True)), scale=ROW)


def _layers(built: Buildup) -> list[Row]:
    """Return the settings of each layer in the order it is laid; of the first its cooler first bead, then the rest."""
    rows = [Row(tuple(Cell(name, "bighead") for name in HEAD), lines=2, scale=TEXT)]
    for layer in built["layers"]:
        rows += [_setting(name, one, layer, built) for name, one in named_settings(layer)]
    rows += [_text(turns, "bigbold")] if (turns := turns_said(built)) else []
    ends = field(built, "ends", "text")  # not in old quotes
    return [*rows, _text(f"ENDS: {ends}", "bigbold")] if ends else rows


def _four(words: tuple[str, ...], look: str, scale: float) -> Row:
    """Return four cells side by side over the whole width."""
    cells = [cell for one in words for cell in (Cell(one, look), *(Cell(None, look),) * (QUARTER - 1))]
    spans = tuple((first, first + QUARTER - 1) for first in range(1, COLUMNS + 1, QUARTER))
    return Row(tuple(cells), scale=scale, spans=spans)


def _temperatures(bore: Bore, estimate: Estimate) -> list[Row]:
    """Return what to measure and where to wait, by contact thermometer or crayon; the filter shade beside it."""
    shade = f"\u2265 {max((one['minimum_shade'] for one in estimate['shades']), default=0):g}"
    head = ("PREHEAT through the wall", "BETWEEN PASSES", "FINISH CUT", "FILTER SHADE")
    return [
        _bar("TEMPERATURES by contact thermometer or crayon"),
        _four(head, "bighead", TEXT),
        _four((*temperatures(bore), shade), "bigger", ROW),
        _text(course_said(bore)),
        *(_text(one, "bigbold") for one in waits_said(bore)),
    ]


def _written(built: Buildup) -> list[Row]:
    """Return a line a layer to write down what was really set and read: the shop's own arc is learnt from it."""
    heads = ("Layer", "feed\nset", "A\nread", "V\nread", "bore before", "bore after", "", "arc on, off")
    lines = [(f"{layer['number']}", *("",) * (COLUMNS - 1)) for layer in built["layers"]]
    height = ROW if len(lines) <= FEW else LOW
    rows = [Row(tuple(Cell(one, "big") for one in line), scale=height, spans=AFTER) for line in lines]
    head = Row(tuple(Cell(one, "bighead") for one in heads), lines=2, scale=TEXT, spans=AFTER)
    return [_bar("WRITE DOWN"), head, *rows]


def _odds(bore: Bore) -> list[Row]:
    """Return what to do with a deposit that is too hard, where that is likely enough to be told."""
    said = too_hard(bore)
    return [_bar("TOO HARD TO BORE?"), _text(said)] if said else []


def _watch(card: Card) -> list[Row]:
    """Return what to watch and what to do about it, beside each other."""
    seen, done = [f"\u2022 {one['see']}" for one in card["watch"]], [f"\u2192 {one['do']}" for one in card["watch"]]
    return [_bar("IF YOU SEE ... DO"), *_pairs(seen, done, SEEN)]


def _sheet(bore: Bore, name: str, estimate: Estimate) -> Sheet:
    """Return the card of one bore."""
    card = bore.get("card", {"order": [], "watch": []})
    rows = [*_top(bore, estimate), *_stops(bore, estimate), _text(FEED), *_layers(bore["buildup"])]
    rows += [_text(f"\u2022 {one}") for one in card["order"]]
    rows += [*_temperatures(bore, estimate), *_written(bore["buildup"]), *_odds(bore)]
    rows += _watch(card) if card["watch"] else []
    cautions = [f"\u2022 {one}" for one in estimate.get("cautions_short", [])]
    half = -(-len(cautions) // 2)
    rows += [_bar("CARE"), *_pairs(cautions[:half], cautions[half:])] if cautions else []
    return Sheet(name, WIDTHS, tuple(rows), 1, one_page=True)


def sheets(estimate: Estimate) -> tuple[Sheet, ...]:
    """Return a card for each bore."""
    names = sheet_names(estimate, "Card")
    return tuple(_sheet(bore, name, estimate) for bore, name in zip(estimate["bores"], names, strict=True))
