"""Signs that steer come in nowhere, and many faults make a small answer, on a running server."""

import json
from pathlib import Path
from urllib.parse import quote

import pytest

from tests.api.running import Server, give_tokens, token_command
from tests.jobs import job

STEERS = ["\u202e", "\u2066", "\u200f", "\u0085", "\u0007", "\ufeff"]


@pytest.mark.parametrize("sign", STEERS, ids=lambda sign: f"{ord(sign):04X}")
def test_no_way_in_takes_a_sign_that_steers(stocked: Server, sign: str, tmp_path: Path) -> None:
    text, named = f"a{sign}b", quote(f"a{sign}b")
    nowhere = 404 if sign < " " or sign == "\x7f" else 422  # a path with a control sign leads nowhere
    assert stocked.ask("POST", "/api/jobs", "owner", job(title=text)).status == 422
    assert stocked.ask("POST", "/api/estimates", "owner", job(note=text)).status == 422
    assert stocked.ask("PUT", f"/api/pricebooks/{named}", "owner", {"crew": 3}).status == nowhere
    assert stocked.ask("PUT", "/api/pricebooks/plain", "owner", {"note": text}).status == 422
    for path in ("/api/jobs?q=", "/api/quotes?q=", "/api/pricebooks?after=", "/api/audit?subject="):
        assert stocked.ask("GET", path + named, "owner").status == 422
    database = f"sqlite:///{tmp_path}/shop.db"
    give_tokens(database)
    assert token_command(database, "add", text, "--role", "field")[0] == 2


def test_many_faults_make_a_small_answer(stocked: Server) -> None:
    document = {"reference": "x", "bores": [{"faces": [1] * 300_000}]}
    for path, body in (("/api/estimates", document), ("/api/orders", {"jobs": [1] * 300_000})):
        said = stocked.ask("POST", path, "owner", body)
        assert (said.status, len(said.body) < 50_000) == (422, True)
    said = stocked.ask("POST", "/api/estimates", "owner", json.dumps(document).encode())
    assert len(said.json["errors"]) == 101
    assert said.json["errors"][-1]["message"].endswith("more faults")
    query = "&".join(f"k{number}=1" for number in range(300))
    assert len(stocked.ask("GET", f"/api/jobs?{query}", "owner").json["errors"]) == 101
