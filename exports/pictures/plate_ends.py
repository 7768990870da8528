"""The six cases of where the plate round a boss ends, seen along the bore; those that a job's bores have are marked."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from estimator.estimate import Estimate
from estimator.tables import raw
from exports.format import has, shown
from exports.pictures.paper import MARGIN, WIDTH, cut, head, notes, prose
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing

__all__ = ["Used", "plate_ends", "used_of"]

STEEL, BOSS, REACH = "#dfe4e9", "#b4bdc6", "#1d5a8a"
COLUMNS, TALL = 3, 34.0  # cells in a row; height of one's drawing [mm on paper]
WIDE = (WIDTH - 2 * MARGIN) / COLUMNS - 6  # of one's drawing
EDGE, OUTSIDE, BORE = 12.0, 8.0, 4.0  # reach, radius of boss and of bore as drawn
TYPE, SMALL = 3.2, 2.5
ROUND_IT = 48  # corners of a circle as drawn

NOTES = (
    "Reach: from the bore's centre to the nearest free edge. Neck: the width of what a lug goes on with.",
    "Where a web goes on from an edge, measure on up the web; for a closed box to its middle, with two plates.",
    "A flange welded across an edge is no free edge. Edges farther off than about half a metre do not count: none.",
    "Which sides end sets how long a boss cools; how near they end sets how long the welder waits.",
)


class Used(NamedTuple):
    """Which bores have a case, how near its edge is, and whether that was assumed."""

    ends: str
    said: str


Place = tuple[float, float]


def used_of(estimate: Estimate) -> list[Used]:
    """Return what a job says of each bore's plate; nothing of an older document."""
    found = []
    for bore in estimate.get("bores") or []:
        if has(bore, "plate"):
            one = bore["plate"]
            reach = one["plate_reach_mm"]
            near = "" if reach is None else f", reach {shown('plate_reach_mm', reach, 'metric')}"
            found.append(Used(one["ends"], f"{bore['name']}{near}{' (assumed)' if one['assumed'] else ''}"))
    return found


def plate_ends(used: Sequence[Used] = ()) -> str:
    """Return the sheet of the six cases, as SVG."""
    title = "Where the plate ends"
    about = "Seen along the bore. Which of these is the boss in, and how far is the nearest free edge from its centre?"
    rows = raw("plate_ends")
    said = "; ".join(f"{row['name']}: {row['plainly']}" for row in rows)
    marked = "; ".join(f"{one.ends}: {one.said}" for one in used)
    drawing = Drawing(WIDTH, title, f"{title}. {said}." + (f" Here {marked}." if marked else ""))
    y, bottom = head(drawing, title, about), 0.0
    for number, row in enumerate(rows):
        column = number % COLUMNS
        y = bottom if number and column == 0 else y
        x = MARGIN + column * (WIDE + 6) + 3
        bores = [one.said for one in used if one.ends == row["name"]]
        bottom = max(bottom, _cell(drawing, row["name"], row["plainly"], (x, y), bores))
    return drawing.finish(notes(drawing, bottom, NOTES))


def _cell(drawing: Drawing, ends: str, plainly: str, at: Place, bores: Sequence[str]) -> float:
    """Draw one case with its words and the bores that have it; return where it ends."""
    x, y = at
    drawing.group(ends)
    drawing.rect(x, y, WIDE, TALL, fill=PAPER, stroke=INK if bores else HAIR, stroke_width=0.7 if bores else 0.25)
    middle = (x + WIDE / 2, y + TALL / 2)
    _metal(drawing, ends, middle)
    drawing.circle(*middle, OUTSIDE, fill=BOSS)
    drawing.circle(*middle, BORE, fill=PAPER)
    _reach(drawing, ends, middle)
    y += TALL + 4.5
    drawing.text(x, y, ends, TYPE, font_weight="bold")
    for line in prose(plainly, WIDE, SMALL):
        y += 3.6
        drawing.text(x, y, line, SMALL)
    for line in bores:
        y += 3.8
        drawing.text(x, y, cut(f"bore {line}", WIDE, SMALL), SMALL, fill=REACH, font_weight="bold")
    return y + 5


def _metal(drawing: Drawing, ends: str, middle: Place) -> None:
    """Draw the plate, cut off where it goes on, and its free edges."""
    half, tall = WIDE / 2 - 0.4, TALL / 2 - 0.4
    low = -EDGE if ends in {"side", "corner"} else -half
    top = -EDGE if ends in {"corner", "strip"} else -tall
    high = EDGE if ends == "strip" else tall
    corners = [(low, top), (half, top), (half, high), (low, high)]
    edges: list[list[Place]] = {
        "side": [[(low, top), (low, high)]],
        "corner": [[(low, high), (low, top), (half, top)]],
        "strip": [[(low, top), (half, top)], [(low, high), (half, high)]],
    }.get(ends, [])
    if ends in {"lug", "round"}:
        turned = math.pi if ends == "lug" else 2 * math.pi
        bow = [_on_circle(math.pi / 2 + turned * n / ROUND_IT) for n in range(ROUND_IT + 1)]
        edges = [[(half, EDGE), *bow, (half, -EDGE)]] if ends == "lug" else [bow]
        corners = edges[0]
    drawing.path(_moved(corners, middle), closed=True, fill=STEEL, stroke="none")
    for edge in edges:
        drawing.path(_moved(edge, middle), stroke_width=0.8)


def _on_circle(angle: float) -> Place:
    return EDGE * math.cos(angle), EDGE * math.sin(angle)


def _moved(places: Sequence[Place], middle: Place) -> list[Place]:
    return [(middle[0] + x, middle[1] + y) for x, y in places]


def _reach(drawing: Drawing, ends: str, middle: Place) -> None:
    """Draw from the bore's centre to the nearest free edge, and a lug's neck."""
    x, y = middle
    if ends == "none":
        return
    across = ends != "strip"
    end = (x - EDGE, y) if across else (x, y - EDGE)
    drawing.line(x, y, *end, stroke=REACH, stroke_width=0.5)
    drawing.circle(x, y, 0.7, fill=REACH, stroke="none")
    drawing.circle(*end, 0.7, fill=REACH, stroke="none")
    place = (end[0] - 1.2, y + 0.8) if across else (x + 1.4, y - OUTSIDE - 1.0)
    anchor = "end" if across else "start"
    drawing.text(*place, "reach", SMALL, fill=REACH, text_anchor=anchor)
    if ends == "lug":
        right = x + WIDE / 2 - 5
        drawing.line(right, y - EDGE, right, y + EDGE, stroke=SOFT, stroke_width=0.3)
        drawing.text(right - 1.2, y + 0.8, "neck", SMALL, fill=SOFT, text_anchor="end")
