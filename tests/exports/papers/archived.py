"""What a PDF for archives must hold, read out of the file's own objects: ISO 19005-2 (A) and ISO 14289-1.

Of their rules those that can be told without setting the page: structure, output intent, metadata, fonts, nothing that
acts or hides.
"""

import re
import zlib
from collections.abc import Iterator

__all__ = ["archive_faults"]

OBJECT = re.compile(rb"(\d+) 0 obj\b(.*?)\bendobj", re.DOTALL)
STREAM = re.compile(rb"^(.*?)\bstream\r?\n(.*?)\r?\nendstream", re.DOTALL)
NEVER = (
    b"/JavaScript",
    b"/JS",
    b"/Launch",
    b"/Encrypt",
    b"/AA",
    b"/EmbeddedFiles",
    b"/RichMedia",
    b"/Sound",
    b"/Movie",
)
ONE_OF_FILES = (b"/FontFile3", b"/FontFile2", b"/FontFile ")


def _objects(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield each object's dictionary, blanks as one, and its stream as it is; those of packed objects too."""
    for _, body in OBJECT.findall(data):
        found = STREAM.match(body)
        head = re.sub(rb"\s+", b" ", found[1] if found else body)
        stream = found[2] if found else b""
        yield head, stream
        if b"/ObjStm" in head:
            yield re.sub(rb"\s+", b" ", zlib.decompress(stream)), b""


def archive_faults(data: bytes) -> list[str]:
    """Return a line for each rule that a file breaks; none where it keeps them."""
    objects = list(_objects(data))
    whole = b"\n".join(head for head, _ in objects)
    said = {
        "no header of PDF 1.7 with a binary comment": re.match(rb"%PDF-1\.7\s*\n%[\x80-\xff]{4}", data) is None,
        "no structure tree": b"/StructTreeRoot" not in whole or b"/Type/StructElem" not in whole.replace(b" ", b""),
        "not marked": re.search(rb"/MarkInfo ?<<[^>]*/Marked true", whole) is None,
        "no language": re.search(rb"/Lang ?\(", whole) is None,
        "no output intent with a profile": not all(one in whole for one in (b"/GTS_PDFA1", b"/DestOutputProfile")),
        "no title shown": re.search(rb"/DisplayDocTitle true", whole) is None,
        "no identifier": re.search(rb"/ID ?\[", whole + data[-2000:]) is None,
        "pages without an order of tabs": whole.replace(b" ", b"").count(b"/Type/Page/") and b"/Tabs" not in whole,
    }
    faults = [fault for fault, broken in said.items() if broken]
    faults += [f"holds {name.decode()}" for name in NEVER if re.search(re.escape(name) + rb"\b", whole)]
    return faults + _metadata(objects) + _fonts(objects)


def _metadata(objects: list[tuple[bytes, bytes]]) -> list[str]:
    """Return what is wrong with the metadata: one packet, not packed, that says which standards it keeps."""
    packets = [(head, stream) for head, stream in objects if b"/Subtype/XML" in head.replace(b" ", b"")]
    if len(packets) != 1:
        return [f"{len(packets)} packets of metadata"]
    ((head, stream),) = packets
    found = ["metadata is packed"] if b"/Filter" in head else []
    for part in (b"pdfaid:part>2<", b"pdfaid:conformance>A<", b"pdfuaid:part>1<", b"<dc:title>", b"xmp:CreateDate>"):
        found += [] if part in stream else [f"metadata without {part.decode()}"]
    return found


def _fonts(objects: list[tuple[bytes, bytes]]) -> list[str]:
    """Return which fonts are not embedded, or cannot be read as text."""
    faults = []
    for head, _ in objects:
        for font in re.findall(rb"/FontDescriptor\b(?! \d+ 0 R)[^>]*", head):
            if not any(kind in font + b" " for kind in ONE_OF_FILES):
                faults.append("a font is not embedded")
    whole = b"\n".join(head for head, _ in objects).replace(b" ", b"")
    types = whole.count(b"/Subtype/Type0")
    return faults + ([] if types and whole.count(b"/ToUnicode") >= types else ["fonts without their letters"])
