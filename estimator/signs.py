"""Texts of a document, and signs that none may hold: not seen, they steer a terminal or turn what is read."""

import re

__all__ = ["name_in", "note_in", "text_in", "unfit"]

# C0 and C1 but a line break, marks and overrides of direction, separators of lines, the byte order mark, half a
# surrogate pair, and what takes no room at all, by which two names that look the same differ.
UNFIT = re.compile(
    r"[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    r"\ud800-\udfff\U000e0000-\U000e007f]|\r(?!\n)"
)


def unfit(text: str) -> str:
    """Return what is wrong with a text that holds a control or direction character; empty where it holds none.

    Examples
    --------
    >>> unfit("boom foot" + chr(0x202E))
    'holds the control or direction character U+202E; write plain text'
    >>> unfit("two" + chr(10) + "lines")
    ''
    """
    found = UNFIT.search(text)
    return f"holds the control or direction character U+{ord(found[0]):04X}; write plain text" if found else ""


def note_in(value: object) -> str:
    """Return a text of a document, of several lines; raise `ValueError` for what is none."""
    if not isinstance(value, str):
        raise ValueError("must be a text")
    if len(value) > 2000:  # noqa: PLR2004  # a note, not a book
        raise ValueError("is longer than 2000 characters")
    if said := unfit(value):
        raise ValueError(said)
    return value


def text_in(value: object) -> str:
    """Return a text of one line; raise `ValueError` for what is none."""
    text = note_in(value)
    if "\n" in text:
        raise ValueError("holds a line break; write it on one line")
    return text


def name_in(value: object) -> str:
    """Return a name, which fits a line of the page; raise `ValueError` for what is none."""
    text = text_in(value)
    if not text.strip():
        raise ValueError("must not be empty")
    if not text.isprintable():
        raise ValueError("holds a line break or another sign that does not print; write it on one line")
    if len(text) > 120:  # noqa: PLR2004  # fits a line of the page
        raise ValueError("is longer than 120 characters")
    return text
