"""Signs that no text may hold: not seen, they steer a terminal or turn around what is read."""

import re

__all__ = ["unfit"]

# C0 and C1 but a line break, marks and overrides of direction, separators of lines, the byte order mark.
UNFIT = re.compile(r"[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]|\r(?!\n)")


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
