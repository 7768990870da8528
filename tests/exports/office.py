"""Workbooks as another program calculates or prints them; many in one run, for starting it takes longest.

What is changed in a workbook before is changed in its archive: our library takes far longer to read and write it all.
"""

import io
import re
import subprocess
import tempfile
import zipfile
from collections.abc import Mapping
from pathlib import Path

import openpyxl

from tests.runner.tools import OFFICE

__all__ = ["converted", "uncalculated"]

PATIENCE = 600  # [s], against a hang
STORED = re.compile(r"(</f>)<v>[^<]*</v>")


def uncalculated(data: bytes, numbers: Mapping[str, float] | None = None) -> bytes:
    """Return the workbook with other numbers in named cells, and no stored value beside any formula.

    Whoever opens it must calculate.
    """
    book, out = openpyxl.load_workbook(io.BytesIO(data), read_only=True), io.BytesIO()
    places = {}
    for name, number in (numbers or {}).items():
        ((sheet, cell),) = book.defined_names[name].destinations
        places[f"xl/worksheets/sheet{book.sheetnames.index(sheet) + 1}.xml", cell.replace("$", "")] = number
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.namelist():
            text = old.read(entry).decode("utf-8")
            for (file, cell), number in places.items():
                if file == entry:
                    text, found = re.subn(rf'(<c r="{cell}"[^>]*><v>)[^<]*(</v>)', rf"\g<1>{number!r}\g<2>", text)
                    assert found == 1, (file, cell)
            new.writestr(entry, STORED.sub(r"\1", text) if entry.startswith("xl/worksheets/") else text)
    return out.getvalue()


def converted(files: dict[str, bytes], kind: str) -> dict[str, bytes]:
    """Return each workbook, by name, as another program saves it: `xlsx`, calculated, or `pdf`, printed."""
    office = OFFICE.find()
    assert office is not None
    with tempfile.TemporaryDirectory() as folder:
        base = Path(folder)
        for name, data in files.items():
            (base / f"{name}.xlsx").write_bytes(data)
        names = [str(base / f"{name}.xlsx") for name in files]
        home = f"-env:UserInstallation=file://{base}/home"
        command = [str(office), home, "--headless", "--convert-to", kind, "--outdir", str(base / "out"), *names]
        subprocess.run(command, check=True, capture_output=True, timeout=PATIENCE)
        return {name: (base / "out" / f"{name}.{kind}").read_bytes() for name in files}
