"""A photo as it is kept: read by a library and written anew, so that nothing of its file but the picture is left."""

import io
from typing import TYPE_CHECKING

from estimator.errors import DocumentError, Fault

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

__all__ = ["LARGEST", "cleaned"]

LARGEST = 10 * 1024 * 1024  # [bytes] of a file that is sent
MOST_PIXELS = 60_000_000  # of one that is opened at all; a telephone's largest has 50 million
SIDE = 1600  # [pixels] of the longer side as it is kept
KEPT = 400_000  # [bytes] as it is kept
QUALITIES = (82, 70, 55, 40)
KINDS = ("JPEG", "PNG")


def cleaned(data: bytes) -> tuple[bytes, int, int]:
    """Return a photo as JPEG without what its file told beside the picture, its width and its height.

    Raises `DocumentError` at `photo` for what is no photo, or too large.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415  # only loaded by who sends one

    if len(data) > LARGEST:
        raise _wrong("is larger than 10 MB")
    try:
        with Image.open(io.BytesIO(data), formats=KINDS) as found:
            if found.width * found.height > MOST_PIXELS:
                raise _wrong(f"has {found.width} by {found.height} pixels; {MOST_PIXELS // 1_000_000} million at most")
            found.draft("RGB", (2 * SIDE, 2 * SIDE))  # a large JPEG is read at a fraction of its size
            picture = ImageOps.exif_transpose(found)
            picture.thumbnail((SIDE, SIDE))
            plain = Image.new("RGB", picture.size, "white")  # what shines through shows paper
            plain.paste(picture, mask=picture.getchannel("A") if "A" in picture.getbands() else None)
    except UnidentifiedImageError:
        raise _wrong(
            "is no JPEG or PNG picture; a telephone sends one where it is set to the most compatible"
        ) from None
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise _wrong(f"cannot be read: {str(error)[:100]}") from None
    return _small(plain), plain.width, plain.height


def _wrong(said: str) -> DocumentError:
    return DocumentError([Fault("photo", said)])


def _small(picture: "Picture") -> bytes:
    """Return a picture as a file that is not too large."""
    data = b""
    for quality in QUALITIES:
        kept = io.BytesIO()
        picture.save(kept, "JPEG", quality=quality, optimize=True)
        data = kept.getvalue()
        if len(data) <= KEPT:
            break
    return data
