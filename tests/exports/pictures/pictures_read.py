"""Reads a drawing back: its elements by part, and their numbers."""

from typing import NamedTuple
from xml.etree import ElementTree as Tree

__all__ = ["Read", "read"]

SVG = "{http://www.w3.org/2000/svg}"


class Read(NamedTuple):
    """A drawing read back."""

    root: Tree.Element

    def part(self, name: str, kind: str) -> list[Tree.Element]:
        """Return the elements of a kind in a named part."""
        groups = [group for group in self.root.iter(f"{SVG}g") if group.get("data-part") == name]
        return [element for group in groups for element in group.iter(f"{SVG}{kind}")]

    def every(self, kind: str) -> list[Tree.Element]:
        """Return the elements of a kind."""
        return list(self.root.iter(f"{SVG}{kind}"))

    def texts(self) -> list[str]:
        """Return every printed text."""
        return [element.text or "" for element in self.every("text")]

    def said(self) -> str:
        """Return all printed text as one line."""
        return " ".join(self.texts())


def read(text: str) -> Read:
    """Return a drawing read back; `ParseError` where it is not well-formed."""
    return Read(Tree.fromstring(text.encode("utf-8")))
