"""One SVG drawing in millimetres: shapes and text, escaped, with the same bytes each time."""

import math
from collections.abc import Iterable
from xml.etree import ElementTree as Tree

from exports.phrases import printable

__all__ = ["HAIR", "INK", "MADE_BY", "PAPER", "SOFT", "Drawing", "short"]

INK, SOFT, HAIR, PAPER = "#1b2430", "#525d69", "#c3cad1", "#ffffff"
MADE_BY = 'data-made-by="boreworth"'
HATCHES = {
    "unmeasured": ("M0 1.6L1.6 0", "#7c8792"),
    "under": ("M.55 .8H1.05", "#a9b2bb"),
    "datum": ("M0 0L1.6 1.6", SOFT),
}
PITCH = 1.6  # of a hatch [mm]


def short(value: float) -> str:
    """Return a coordinate to a micrometre on paper, without idle zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def _attributes(given: dict[str, float | str]) -> dict[str, str]:
    """Return attributes as they are written: `stroke_width` is `stroke-width`, a number is a length in mm."""
    return {
        key.strip("_").replace("_", "-"): short(value) if isinstance(value, float | int) else printable(value)
        for key, value in given.items()
    }


class Drawing:
    """A drawing of some width in millimetres; its height is said at the end.

    Title and description are for those who hear a drawing instead of seeing it.
    """

    def __init__(self, width: float, title: str, description: str) -> None:
        self.width = width
        self.root = Tree.Element("svg")
        Tree.SubElement(self.root, "title").text = printable(title)
        Tree.SubElement(self.root, "desc").text = printable(description)
        self.here = self.root
        self._hatches: set[str] = set()

    def add(self, kind: str, **given: float | str) -> Tree.Element:
        """Add an element of any kind."""
        return Tree.SubElement(self.here, kind, _attributes(given))

    def group(self, part: str, **given: float | str) -> None:
        """Let all that follows belong to a named part of the drawing."""
        self.here = Tree.SubElement(self.root, "g", _attributes({"data_part": part, **given}))

    def line(self, x1: float, y1: float, x2: float, y2: float, **given: float | str) -> None:
        """Add a straight line; ink and hairline unless said otherwise."""
        self.add("line", x1=x1, y1=y1, x2=x2, y2=y2, **{"stroke": INK, "stroke_width": 0.2, **given})

    def rect(self, x: float, y: float, width: float, height: float, **given: float | str) -> None:
        """Add a rectangle."""
        self.add("rect", x=x, y=y, width=width, height=height, **given)

    def circle(self, x: float, y: float, radius: float, **given: float | str) -> None:
        """Add a circle, not filled unless said otherwise."""
        self.add("circle", cx=x, cy=y, r=radius, **{"fill": "none", "stroke": INK, "stroke_width": 0.2, **given})

    def path(self, places: Iterable[tuple[float, float]], closed: bool = False, **given: float | str) -> None:
        """Add a line through places."""
        drawn = "L".join(f"{short(x)} {short(y)}" for x, y in places)
        self.add("path", d=f"M{drawn}{'Z' if closed else ''}", **{"fill": "none", "stroke": INK, **given})

    def text(self, x: float, y: float, said: str, size: float = 3.0, **given: float | str) -> None:
        """Add one line of text; y is its base line."""
        element = self.add("text", x=x, y=y, font_size=size, **{"fill": INK, **given})
        element.text = printable(said)

    def hatch(self, name: str) -> str:
        """Return the paint of a hatch, which is defined on its first use."""
        self._hatches.add(name)
        return f"url(#hatch-{name})"

    def finish(self, height: float) -> str:
        """Return the drawing as the text of an SVG file."""
        size = {"width": f"{short(self.width)}mm", "height": f"{short(math.ceil(height))}mm"}
        box = f"0 0 {short(self.width)} {short(math.ceil(height))}"
        label = self.root.findtext("title", "")
        about = {"xmlns": "http://www.w3.org/2000/svg", **size, "viewBox": box, "role": "img", "aria-label": label}
        self.root.attrib |= about | {"font-family": "sans-serif", "fill": INK}
        self.root.insert(2, Tree.Element("rect", {"width": "100%", "height": "100%", "fill": PAPER}))
        if self._hatches:
            self.root.insert(2, _hatches(sorted(self._hatches)))
        Tree.indent(self.root, "")
        body = Tree.tostring(self.root, "unicode").replace("<svg ", f"<svg {MADE_BY} ", 1)
        return f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'


def _hatches(names: list[str]) -> Tree.Element:
    """Return the definitions of hatches."""
    found = Tree.Element("defs")
    for name in names:
        size = {"width": short(PITCH), "height": short(PITCH), "patternUnits": "userSpaceOnUse"}
        pattern = Tree.SubElement(found, "pattern", {"id": f"hatch-{name}", **size})
        Tree.SubElement(pattern, "rect", {**{key: size[key] for key in ("width", "height")}, "fill": PAPER})
        path, stroke = HATCHES[name]
        Tree.SubElement(pattern, "path", {"d": path, "stroke": stroke, "stroke-width": "0.25"})
    return found
