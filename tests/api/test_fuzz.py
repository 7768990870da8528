"""A short walk of anybody through everything; `python -m tests.api.fuzz` walks for ten minutes."""

from pathlib import Path

from api.app import create_app
from tests.api.fuzz import READS, WORKS, Walk
from tests.api.fuzz_run import opened, walk
from tests.depth import THOROUGH, deep

OTHERS = {
    "/sign-out", "/api/quotes/{number}/issue", "/api/quotes/{number}/accept", "/api/quotes/{number}/decline",
    "/api/quotes/{number}/revise", "/api/intake", "/api/fleets", "/api/diary/names",
    "/api/diary/names/{kind}/{name}", "/api/diary/days-off", "/api/diary/days-off/{date}",
    "/api/quotes/{number}/found", "/api/quotes/{number}/variations/{variation}/accept",
    "/api/quotes/{number}/variations/{variation}/decline", "/api/invoices/{number}/cancel",
}  # fmt: skip


def test_no_walk_meets_a_server_error(tmp_path: Path) -> None:
    with opened(f"sqlite:///{tmp_path}/shop.db", tmp_path):
        walk(deep(60, 4), 40, derandomize=not THOROUGH)
    assert Walk.seen.total() >= 100


def test_every_route_is_walked() -> None:
    described = set(create_app().openapi()["paths"])
    assert described <= {*READS, *WORKS, *OTHERS}
