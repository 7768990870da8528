"""Pages go out packed to who takes them so; documents go as they are."""

import gzip

from starlette.testclient import TestClient

from tests.api.service import client, job


def test_a_page_is_packed_and_a_document_is_not(stand: TestClient) -> None:
    plain = stand.get("/sign-in", headers={"accept-encoding": "identity"})
    packed = stand.get("/sign-in")
    assert "content-encoding" not in plain.headers
    assert packed.headers["content-encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["vary"]
    assert packed.text == plain.text  # the client unpacks it
    assert int(packed.headers["content-length"]) < len(gzip.compress(plain.content, 1)) * 1.1
    assert "content-encoding" not in client().post("/api/estimates", json=job()).headers
    assert "content-encoding" not in stand.get("/static/life.js").headers  # it fits into one packet


def test_a_job_and_the_first_page_are_small(stand: TestClient) -> None:
    number = stand.post("/api/jobs", json=job()).json()["id"]
    for path in ("/", f"/jobs/{number}"):
        assert int(stand.get(path, headers={"accept": "text/html"}).headers["content-length"]) < 60_000
