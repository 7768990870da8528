"""Workbooks as another program calculates or prints them; many in one run, for starting it takes longest."""

import subprocess
import tempfile
from pathlib import Path

from tests.runner.tools import OFFICE

__all__ = ["converted"]

PATIENCE = 600  # [s], against a hang


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
