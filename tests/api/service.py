"""The service under test, in this process, as a caller on this machine sees it."""

import json
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient
from starlette.types import ASGIApp, Receive, Scope, Send

from api.app import create_app
from api.describe.examples import JOBS
from api.settings import Settings

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
JSON = {"content-type": "application/json"}
WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
PDF = "application/pdf"


HERE = ("127.0.0.1", 50000)
ELSEWHERE = {"x-forwarded-for": "192.0.2.7"}  # whoever is passed on by a proxy is not on this machine


def client(settings: Settings | None = None) -> TestClient:
    """Return a client of a new service on this machine; a defect is answered, not raised."""
    app = create_app(settings)
    return TestClient(app, base_url="http://localhost:8000", raise_server_exceptions=False, client=HERE)


def from_here(app: ASGIApp) -> ASGIApp:
    """Return the application as it is when asked from this machine."""

    async def asked(scope: Scope, receive: Receive, send: Send) -> None:
        await app({**scope, "client": HERE}, receive, send)

    return asked


def job(**changes: object) -> dict[str, Any]:
    """Return a small job that can be estimated, with other keys of its first bore."""
    found: dict[str, Any] = json.loads(json.dumps(JOBS["measured"]["value"]))
    found["bores"][0] |= changes
    return found


def refused_job() -> dict[str, Any]:
    """Return a job that must not be welded."""
    return job(condition={"cracks": "yes"})
