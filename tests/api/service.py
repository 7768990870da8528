"""The service under test, in this process, as a caller on this machine sees it."""

import json
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from api.app import create_app
from api.examples import JOBS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
JSON = {"content-type": "application/json"}
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def client() -> TestClient:
    """Return a client of a new service; a defect is answered, not raised."""
    return TestClient(create_app(), base_url="http://localhost:8000", raise_server_exceptions=False)


def job(**changes: object) -> dict[str, Any]:
    """Return a small job that can be estimated, with other keys of its first bore."""
    found: dict[str, Any] = json.loads(json.dumps(JOBS["measured"]["value"]))
    found["bores"][0] |= changes
    return found


def refused_job() -> dict[str, Any]:
    """Return a job that must not be welded."""
    return job(condition={"cracks": "yes"})
