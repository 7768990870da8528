"""Formula values into a saved workbook, and fixed times, in one small pass over its archive.

The library that writes the workbook stores no value beside a formula; a preview that does not calculate would show
nothing. The sheets are written in order as xl/worksheets/sheet1.xml and so on.
"""

import io
import re
import zipfile
from collections.abc import Sequence
from datetime import datetime

__all__ = ["with_values"]

FORMULA = re.compile(rb'(<c r="([A-Z]+[0-9]+)"[^>]*>)(<f>.*?</f>)<v\s*/?>(?:</v>)?(</c>)', re.DOTALL)
SHEET = re.compile(r"xl/worksheets/sheet([0-9]+)\.xml")
TIMES = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:)")


def _valued(xml: bytes, values: dict[str, float]) -> bytes:
    """Return a sheet's XML with the value of each formula beside it."""
    left = dict(values)

    def put(match: re.Match[bytes]) -> bytes:
        value = left.pop(match[2].decode())
        return b"".join((match[1], match[3], b"<v>", repr(value).encode(), b"</v>", match[4]))

    done = FORMULA.sub(put, xml)
    if left:
        raise ValueError(f"no formula was found for the values of {', '.join(left)}")
    return done


def with_values(saved: bytes, values: Sequence[dict[str, float]], made: datetime) -> bytes:
    """Return the workbook with stored values and fixed times.

    Parameters
    ----------
    saved
        The bytes of the workbook as written.
    values
        For each sheet in order, the value of each formula by coordinate.
    made
        The time that stands in the archive and the properties.
    """
    out, stamp = io.BytesIO(), made.timetuple()[:6]
    with zipfile.ZipFile(io.BytesIO(saved)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data, sheet = old.read(name), SHEET.fullmatch(name)
            if sheet:
                data = _valued(data, values[int(sheet[1]) - 1])
            elif name == "docProps/core.xml":
                data = TIMES.sub(rb"\g<1>" + made.strftime("%Y-%m-%dT%H:%M:%SZ").encode() + rb"\g<3>", data)
            entry = zipfile.ZipInfo(name, (stamp[0], stamp[1], stamp[2], stamp[3], stamp[4], stamp[5]))
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o600 << 16
            new.writestr(entry, data)
    return out.getvalue()
