"""A logo as data in the price book: a small PNG picture, read far enough to know that it is one."""

import base64
import binascii
import struct
import zlib
from typing import Annotated

from pydantic import PlainValidator, WithJsonSchema

__all__ = ["Logo", "picture_of"]

HEAD = "data:image/png;base64,"
SIGNATURE = b"\x89PNG\r\n\x1a\n"
LARGEST, WIDEST = 200_000, 2000  # characters as typed, pixels a side
CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}  # by kind of colour
DEPTHS = (1, 2, 4, 8, 16)  # bits of a channel
NO_PICTURE = f'is no PNG picture; write "{HEAD}" and the file in base64'


def picture_of(logo: str) -> bytes:
    """Return the picture of a logo as the bytes of its file."""
    return base64.b64decode(logo.removeprefix(HEAD), validate=True)


def _chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    """Return the chunks of a PNG file, each by its kind, their checks held."""
    found, at = list[tuple[bytes, bytes]](), len(SIGNATURE)
    while at < len(data):
        length, kind = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        (check,) = struct.unpack_from(">I", data, at + 8 + length)
        if zlib.crc32(kind + body) != check:
            raise ValueError(NO_PICTURE)
        found.append((kind, body))
        at += 12 + length
    return found


def _sound(data: bytes) -> None:
    """Raise `ValueError` unless a file is a PNG picture of moderate size, whole to its last pixel."""
    chunks = _chunks(data)
    if not data.startswith(SIGNATURE) or chunks[0][0] != b"IHDR" or chunks[-1][0] != b"IEND":
        raise ValueError(NO_PICTURE)
    width, height, depth, colour, *_, laced = struct.unpack(">IIBBBBB", chunks[0][1])
    if not (0 < width <= WIDEST and 0 < height <= WIDEST):
        raise ValueError(f"is {width} by {height} pixels; {WIDEST} a side at most")
    if colour not in CHANNELS or depth not in DEPTHS or laced or (colour == 3 and b"PLTE" not in dict(chunks)):  # noqa: PLR2004  # by palette
        raise ValueError(f"{NO_PICTURE} (plain, not interlaced)")
    size = height * (1 + -(-width * depth * CHANNELS[colour] // 8))
    pixels = zlib.decompressobj().decompress(b"".join(body for kind, body in chunks if kind == b"IDAT"), size + 1)
    if len(pixels) != size:
        raise ValueError(NO_PICTURE)


def _logo(value: object) -> str:
    if not isinstance(value, str) or not value.startswith(HEAD):
        raise ValueError(NO_PICTURE)
    if len(value) > LARGEST:
        raise ValueError(f"is longer than {LARGEST} characters; make the picture smaller")
    try:
        _sound(picture_of(value))
    except (binascii.Error, struct.error, zlib.error, IndexError):
        raise ValueError(NO_PICTURE) from None
    return value


_SCHEMA = {"type": "string", "maxLength": LARGEST, "description": "a PNG picture as a data URL"}
Logo = Annotated[str, PlainValidator(_logo), WithJsonSchema(_SCHEMA)]
