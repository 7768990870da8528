"""Photos of a job: nothing of their files but the picture is kept; on the page, and in the letter where ticked."""

import io
import struct
import zlib
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from api.pages.desk.parts import taken_apart
from api.work import pictures
from api.work.pictures import cleaned
from estimator.errors import DocumentError
from tests.api.service import job

PAGE = {"accept": "text/html"}


def photo(kind: str = "JPEG", size: tuple[int, int] = (400, 300), **said: Any) -> bytes:
    """Return a photo of noise, which packs badly."""
    kept = io.BytesIO()
    Image.effect_noise(size, 90).convert("RGBA" if kind == "PNG" else "RGB").save(kept, kind, **said)
    return kept.getvalue()


def told() -> Image.Exif:
    """Return what a telephone tells in its files: turned by a quarter, and where it was."""
    found = Image.Exif()
    found[0x0112] = 6
    found.get_ifd(0x8825)[1] = "N"
    found[0x010F] = "SECRET-MAKER"
    return found


def test_a_photo_is_turned_upright_and_tells_nothing_more() -> None:
    data, width, height = cleaned(photo(exif=told(), comment=b"SECRET-WORDS"))
    assert (width, height) == (300, 400)
    assert b"SECRET" not in data
    with Image.open(io.BytesIO(data)) as found:
        assert (found.format, found.size, dict(found.getexif())) == ("JPEG", (300, 400), {})


def test_a_large_one_is_made_smaller_in_pixels_and_bytes() -> None:
    data, width, height = cleaned(photo("PNG", (2400, 1200)))
    assert (width, height) == (1600, 800)
    assert len(data) <= pictures.KEPT


def bomb() -> bytes:
    """Return a small PNG file that says it is 30,000 pixels a side."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(100))) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no JPEG or PNG"), (b"%PDF-1.7", "no JPEG or PNG"), (photo("GIF"), "no JPEG or PNG"),
        (photo()[:3000], "cannot be read"), (bomb(), "million at most|cannot be read"),
        (bytes(pictures.LARGEST + 1), "10 MB"),
    ],
)  # fmt: skip
def test_what_is_no_photo_is_refused_with_the_cure(data: bytes, said: str) -> None:
    with pytest.raises(DocumentError, match=said):
        cleaned(data)


@pytest.mark.parametrize("content", [b"\r\n--", b"x--line--", b"\r\n\r\n", bytes(range(256))])
def test_a_form_is_taken_apart_as_it_was_put_together(content: bytes) -> None:
    head = b'--line\r\nContent-Disposition: form-data; name="words"\r\n\r\nL\xc3\xb6ffel\r\n'
    file = (
        b'--line\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n\r\n'
        + content
        + b"\r\n--line--\r\n"
    )
    found = taken_apart("multipart/form-data; boundary=line", head + file)
    assert found == ({"words": "Löffel"}, content)
    assert taken_apart("multipart/form-data; boundary=other", head + file) is None
    assert taken_apart("application/json", head + file) is None


def test_a_photo_lives_with_its_job(shop: TestClient) -> None:
    assert shop.post("/api/jobs", json=job()).status_code == 201

    def sent(path: str, **said: Any) -> Any:
        return shop.post(path, headers=PAGE, follow_redirects=False, **said)

    form = {"files": {"photo": ("a.jpg", photo(), "image/jpeg")}, "data": {"words": "left lug", "key": "1"}}
    for _ in range(2):  # a form that is sent twice is one photo
        assert sent("/jobs/1/photos", **form).headers["location"] == "/jobs/1#photos"
    page = shop.get("/jobs/1", headers=PAGE).text
    assert page.count('alt="left lug"') == 1
    shown = shop.get("/jobs/1/photos/1")
    assert (shown.headers["content-type"], shown.content[:2]) == ("image/jpeg", b"\xff\xd8")
    assert sent("/jobs/1/quote", data={"key": "q"}).status_code == 303
    without = shop.get("/api/quotes/100001.pdf").content
    assert sent("/jobs/1/photos/1/tick", data={"key": "2"}).status_code == 303
    assert b"/DCTDecode" in shop.get("/api/quotes/100001.pdf").content
    assert b"/DCTDecode" not in without
    assert sent("/quotes/100001/issue", data={"key": "i"}).status_code == 303
    assert sent("/jobs/1/photos/1/remove", data={"key": "3"}).status_code == 303
    assert b"/DCTDecode" in shop.get("/api/quotes/100001.pdf").content  # what was issued stays as it was
    assert shop.get("/jobs/1/photos/1").status_code == 404
    assert sent("/jobs/1/photos", data={"x": "y"}).status_code == 415
    assert sent("/jobs/1/photos", files={"photo": ("a.heic", b"ftypheic", "image/heic")}).status_code == 422
