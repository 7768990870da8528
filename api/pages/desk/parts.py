"""A form with a file in it (multipart/form-data, RFC 7578), taken apart: its fields, and its file."""

import re
from typing import NamedTuple

__all__ = ["Sent", "taken_apart"]

BOUNDARY = re.compile(r'multipart/form-data;.*\bboundary="?([0-9A-Za-z\'()+_,./:=? -]{1,70})"?', re.IGNORECASE)
NAME = re.compile(rb'\bname="([^"\r\n]{1,100})"')
FILE = re.compile(rb"\bfilename\*?=")
MOST_PARTS = 20
LONGEST = 4000  # [bytes] of a field that is no file


class Sent(NamedTuple):
    """What was sent: fields by name, and the bytes of the file; empty where none was chosen."""

    fields: dict[str, str]
    file: bytes


def taken_apart(kind: str, body: bytes) -> Sent | None:
    """Return what a form says; None for anything that is not such a form.

    Parameters
    ----------
    kind
        The media type that it came with, which says what stands between its parts.
    body
        The form.
    """
    match = BOUNDARY.match(kind)
    if match is None:
        return None
    line = b"--" + match[1].encode()
    first, *parts = (b"\r\n" + body).split(b"\r\n" + line, MOST_PARTS)
    if first or not parts or not parts[-1].startswith(b"--"):
        return None
    fields, file = dict[str, str](), b""
    for part in parts[:-1]:
        head, found, content = part.partition(b"\r\n\r\n")
        name = NAME.search(head)
        if not found or name is None:
            return None
        if FILE.search(head):
            file = content or file
        elif len(content) <= LONGEST:
            fields[name[1].decode("utf-8", "replace")] = content.decode("utf-8", "replace")
    return Sent(fields, file)
