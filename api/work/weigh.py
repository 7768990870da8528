"""How much work a document asks for, told before it is read: by its bores and readings, not by its bytes."""

import re

__all__ = ["LEAST", "MOST", "weight", "weight_of_sheet"]

LEAST, MOST = 1, 400  # bores; 200 bores with all the readings a document may have are less than the most
HIDDEN = re.compile(rb"\\u00(?:[46][1-9a-f]|[57][0-9a])", re.IGNORECASE)  # a plain letter escaped, which no writer does
LIST, LINE = b'"csv"', b"\\n"  # a fleet's list: a bore a line
BORE = b'"nominal_diameter'  # a unit may follow
TYPED = b".nominal_diameter"  # a row of a form
PACKED = 100_000  # [bytes] of a packed sheet that are unpacked and read about as fast as a bore
READINGS = 1000  # numbers in a list, such as readings, that are worked through about as fast as a bore


def weight(*texts: object) -> int:
    """Return about how many bores' worth of work JSON texts ask for.

    A text that escapes plain letters may hide its keys, and counts as the most there can be.

    Examples
    --------
    >>> weight(b'{"bores": [{"nominal_diameter": "90 mm"}, {"nominal_diameter": "80 mm"}]}')
    3
    """
    found = LEAST
    for text in texts:
        data = text.encode() if isinstance(text, str) else text
        if isinstance(data, bytes):
            bores = data.count(BORE) + data.count(TYPED)
            found += MOST if HIDDEN.search(data) else bores + data.count(b",") // READINGS
            found += data.count(LINE) if LIST in data else 0
    return min(MOST, found)


def weight_of_sheet(data: bytes) -> int:
    """Return about how many bores' worth of work a packed sheet asks for.

    Examples
    --------
    >>> weight_of_sheet(bytes(20_000)), weight_of_sheet(bytes(2_000_000))
    (1, 21)
    """
    return min(MOST, LEAST + len(data) // PACKED)
