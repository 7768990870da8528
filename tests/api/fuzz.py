"""Somebody of every role who asks for anything, in any order: one walk through every route of a running server.

    python -m tests.api.fuzz                          ten minutes, a SQLite file
    python -m tests.api.fuzz --minutes 60 --database postgresql:///shop

No answer may be a server error, or one that the service's own description does not name; what was issued stays the same
bytes; a request that is sent again under its key is answered as before; nobody sees our cost who may not.
"""

import itertools
import re
from collections import Counter
from collections.abc import Iterator
from typing import Any, ClassVar
from urllib.parse import quote, urlencode

from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, consumes, multiple, rule

from estimator.document.redact import ROLES, sees_cost
from estimator.strict import sha256
from tests.api.fuzz_documents import BASKETS, BOOKS, DAYS_OFF, FOUND, JOBS, NAMED, PLACINGS, QUESTIONS, RECORDS
from tests.api.running import Reply, Server
from tests.api.service import WORKBOOK

__all__ = ["READS", "Walk"]

BROKEN = 500
HIDDEN = re.compile(rb'"(cost|unit_cost|margin|markup|shadow_prices)":')
ROLE = st.sampled_from(("owner", "owner", "owner", *ROLES))  # who may do most asks most
KEY = st.sampled_from(["", "", "", "one", "two", "three"])
TAG = st.sampled_from(["*", '"1"', '"2"', '"99"', 'W/"1"', "", "x", '"1", "2"'])
NAME = st.sampled_from(["north", "south", "no such", "%00", "ä" * 130])
ODD = st.sampled_from(["0", "1", "2", "-1", "99999999999999999999", "x", "100001", "100002", "%2e%2e", "1.5"])
VERB = st.sampled_from(["issue", "accept", "decline", "revise"])
READS = (
    "/", "/sign-in", "/health", "/ready", "/metrics", "/openapi.json", "/jobs/{id}", "/quotes/{number}", "/api/jobs",
    "/api/jobs/{id}", "/api/jobs/{id}/quotes", "/api/jobs/{id}/actuals", "/api/quotes", "/api/quotes/{number}",
    "/api/quotes/{number}.xlsx", "/api/quotes/{number}/invoice", "/api/calibration", "/api/audit", "/api/pricebooks",
    "/api/calibrations", "/api/calibrations/{version}",
    "/api/quotes/{number}/variance",
    "/api/pricebooks/{name}", "/api/quotes/{number}.pdf", "/api/intake.xlsx", "/api/quotes/{number}/pack.pdf",
    "/api/invoices", "/api/invoices/{number}", "/api/invoices/{number}.pdf", "/api/quotes/{number}/invoices",
    "/api/quotes/{number}/variations", "/api/quotes/{number}/variations/{variation}",
    "/api/quotes/{number}/variations/{variation}.pdf",
    "/api/diary", "/api/quotes/{number}/days", "/diary", "/field", "/field/{number}",
)  # fmt: skip
WORKS = {"/api/estimates": JOBS, "/api/comparisons": JOBS, "/api/orders": BASKETS, "/api/explanations": QUESTIONS}
QUERY = st.dictionaries(
    st.sampled_from(
        [
            "limit",
            "after",
            "q",
            "state",
            "since",
            "until",
            "pricebook",
            "detail",
            "revision",
            "subject",
            "units",
            "odd",
            "language",
        ]
    ),
    st.sampled_from(["", "1", "500", "501", "0", "north", "issued", "2026-01-01", "9" * 30, "%", "full", "us", "de"]),
    max_size=2,
)
INTAKE = ("/api/intake", "/api/intake.xlsx")
ACCEPT = st.sampled_from(["*/*", "application/json", "text/html", "text/csv", WORKBOOK])


class Walk(RuleBasedStateMachine):
    """One walk; the server and what it holds go on from walk to walk."""

    server: ClassVar[Server]
    described: ClassVar[dict[str, Any]]
    seen: ClassVar[Counter[tuple[str, str, int]]] = Counter()
    issued: ClassVar[dict[str, str]] = {}

    walks: ClassVar[Iterator[int]] = itertools.count(1)

    jobs: Bundle[int] = Bundle("jobs")
    quotes: Bundle[str] = Bundle("quotes")

    def __init__(self) -> None:
        """Begin a walk, with keys of its own."""
        super().__init__()
        self.number = next(self.walks)

    def keyed(self, key: str) -> str:
        """Return a key of this walk; empty where there shall be none."""
        return f"{key} of {self.number}" if key else ""

    def asked(self, method: str, path: str, role: str, body: object = None, of: str = "", **headers: str) -> Reply:
        """Send a request and hold its answer to what holds for every answer; `of` is the pattern of its path."""
        reply = self.server.ask(method, path, role, body, **{name: text for name, text in headers.items() if text})
        said = f"{method} {path} as {role}: {reply.status} {reply.body[:300]!r}"
        assert reply.status < BROKEN, said
        pattern = of or path.partition("?")[0]
        self.seen[method, pattern, reply.status] += 1
        described = self.described["paths"].get(pattern, {}).get(method.lower())
        assert described is None or str(reply.status) in described["responses"], said
        if reply.status >= 400 and pattern.startswith("/api/"):
            assert reply.problem, said
        if not path.startswith("/openapi.json") and not sees_cost(role):  # pyrefly: ignore[bad-argument-type] # one of the roles
            assert not HIDDEN.search(reply.body), said
        return reply

    # ---------------------------------------------------------------- jobs

    @rule(target=jobs, document=JOBS, role=ROLE, key=KEY, query=QUERY)
    def store_job(self, document: Any, role: str, key: str, query: dict[str, str]) -> Any:
        """Keep a job."""
        path = "/api/jobs?" + urlencode(query)
        reply = self.asked("POST", path, role, document, "/api/jobs", idempotency_key=self.keyed(key))
        if reply.status != 201:
            return multiple()
        if key:
            again = self.asked("POST", path, role, document, "/api/jobs", idempotency_key=self.keyed(key))
            assert (again.status, again.json["id"]) == (201, reply.json["id"])
        return reply.json["id"]

    @rule(job=jobs, document=JOBS, role=ROLE, tag=TAG)
    def change_job(self, job: int, document: Any, role: str, tag: str) -> None:
        """Keep the next revision."""
        self.asked("PUT", f"/api/jobs/{job}", role, document, "/api/jobs/{id}", if_match=tag)

    @rule(job=consumes(jobs), role=ROLE, tag=TAG)
    def remove_job(self, job: int, role: str, tag: str) -> None:
        """Remove a job."""
        self.asked("DELETE", f"/api/jobs/{job}", role, None, "/api/jobs/{id}", if_match=tag)

    # ---------------------------------------------------------------- quotes

    @rule(target=quotes, job=jobs, role=ROLE, key=KEY)
    def draft(self, job: int, role: str, key: str) -> Any:
        """Draft a quote."""
        path, of = f"/api/jobs/{job}/quotes", "/api/jobs/{id}/quotes"
        reply = self.asked("POST", path, role, {}, of, idempotency_key=self.keyed(key))
        return reply.json["number"] if reply.status == 201 else multiple()

    @rule(target=quotes, number=quotes, verb=VERB, role=ROLE, key=KEY)
    def bring_on(self, number: str, verb: str, role: str, key: str) -> Any:
        """Issue, accept, decline or revise a quote."""
        path = f"/api/quotes/{number}/{verb}"
        reply = self.asked("POST", path, role, {}, "/api/quotes/{number}/" + verb, idempotency_key=self.keyed(key))
        if verb == "issue" and reply.status == 200 and sees_cost(role):  # pyrefly: ignore[bad-argument-type] # one of the roles
            self.issued[number] = sha256(reply.json["estimate"])
        return reply.json["number"] if (verb, reply.status) == ("revise", 201) else multiple()

    @rule(target=quotes, job=jobs, settled=st.sampled_from(["accept", "decline", "revise"]))
    def whole_course(self, job: int, settled: str) -> Any:
        """Quote a job, issue that, and settle it."""
        number = self.draft(job, "owner", "")
        if not isinstance(number, str):
            return multiple()
        self.bring_on(number, "issue", "owner", "")
        self.bring_on(number, settled, "owner", "")
        self.asked("GET", f"/api/quotes/{number}/invoice", "owner", None, "/api/quotes/{number}/invoice")
        return number

    @rule(number=quotes)
    def see_that_it_stays(self, number: str) -> None:
        """See that what was issued is what it was."""
        found = self.asked("GET", f"/api/quotes/{number}", "owner", None, "/api/quotes/{number}")
        if number in self.issued:
            assert found.json["sha256"] == self.issued[number] == sha256(found.json["estimate"])
        elif found.status == 200 and found.json["state"] == "draft":
            assert found.json["sha256"] is None

    @rule(job=jobs, number=quotes, record=RECORDS, role=ROLE, key=KEY)
    def record(self, job: int, number: str, record: Any, role: str, key: str) -> None:
        """Record what happened, for the job of the quote or another."""
        if isinstance(record, dict):
            record = record | {"quote": number}
            found = self.asked("GET", f"/api/quotes/{number}", "owner", None, "/api/quotes/{number}")
            job = found.json["job_id"] if found.status == 200 else job
        path, of = f"/api/jobs/{job}/actuals", "/api/jobs/{id}/actuals"
        self.asked("POST", path, role, record, of, idempotency_key=self.keyed(key))

    @rule(number=quotes, placing=PLACINGS, role=ROLE, key=KEY, gone=st.booleans())
    def place(self, number: str, placing: Any, role: str, key: str, gone: bool) -> None:
        """Put a quote on days, and perhaps take it off again."""
        path, of = f"/api/quotes/{number}/days", "/api/quotes/{number}/days"
        self.asked("POST", path, role, placing, of, idempotency_key=self.keyed(key))
        if gone:
            self.asked("DELETE", path, role, None, of)

    @rule(number=quotes, found=FOUND, role=ROLE)
    def find_more_wear(self, number: str, found: Any, role: str) -> None:
        """Have a quote planned anew from what was found on site."""
        self.asked("POST", f"/api/quotes/{number}/found", role, found, "/api/quotes/{number}/found")

    @rule(named=NAMED, day=DAYS_OFF, role=ROLE, gone=st.sampled_from(["Anna", "%00", "2027-03-26", "x"]))
    def diary(self, named: Any, day: Any, role: str, gone: str) -> None:
        """Say who goes and which days are off."""
        self.asked("POST", "/api/diary/names", role, named)
        self.asked("POST", "/api/diary/days-off", role, day)
        for of in ("/api/diary/names/technician/{name}", "/api/diary/days-off/{date}"):
            self.asked("DELETE", of.partition("{")[0] + gone, role, None, of.replace("technician", "{kind}"))

    # ---------------------------------------------------------------- all else

    @rule(name=NAME, document=BOOKS, role=ROLE, tag=TAG, method=st.sampled_from(["PUT", "PUT", "DELETE"]))
    def book(self, name: str, document: Any, role: str, tag: str, method: str) -> None:
        """Keep or remove a price book."""
        path, body = f"/api/pricebooks/{quote(name, safe='%')}", document if method == "PUT" else None
        self.asked(method, path, role, body, "/api/pricebooks/{name}", if_match=tag)

    @rule(pattern=st.sampled_from(READS), odd=ODD, name=NAME, role=ROLE, query=QUERY, accept=ACCEPT)
    def read_odd(self, pattern: str, odd: str, name: str, role: str, query: dict[str, str], accept: str) -> None:
        """Read something that may not be there."""
        self.read(pattern, odd, odd, name, role, query, accept)

    @rule(
        pattern=st.sampled_from(READS), job=jobs, number=quotes, role=ROLE, query=st.just({}) | QUERY, accept=ACCEPT
    )  # fmt: skip
    def read_there(self, pattern: str, job: int, number: str, role: str, query: dict[str, str], accept: str) -> None:
        """Read something that was there once."""
        self.read(pattern, str(job), number, "north", role, query, accept)

    def read(
        self, pattern: str, job: str, number: str, name: str, role: str, query: dict[str, str], accept: str
    ) -> None:
        """Read by a pattern."""
        path = pattern.replace("{id}", job).replace("{number}", number).replace("{version}", job)
        path = path.replace("{name}", quote(name, safe="%"))
        path += "?" + urlencode(query) if query else ""
        for method in ("GET", "HEAD") if pattern == "/health" else ("GET",):
            self.asked(method, path, role, None, pattern, accept=accept)

    @rule(data=st.data(), path=st.sampled_from(sorted(WORKS)), role=ROLE, query=QUERY, accept=ACCEPT)
    def compute(self, data: st.DataObject, path: str, role: str, query: dict[str, str], accept: str) -> None:
        """Have something computed."""
        body = data.draw(WORKS[path])
        self.asked("POST", f"{path}?{urlencode(query)}", role, body, path, accept=accept)

    @rule(role=ROLE, form=st.sampled_from(["token=x", "next=/&token=", "", "csrf=1", "token=" + "x" * 5000]))
    def doors(self, role: str, form: str) -> None:
        """Try to sign in, and out."""
        kind = "application/x-www-form-urlencoded"
        for path in ("/sign-in", "/sign-out"):
            self.asked("POST", path, role, form.encode(), content_type=kind)

    @rule(
        method=st.sampled_from(["GET", "POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PURGE"]),
        path=st.sampled_from([*READS, *WORKS, *INTAKE, "/api", "/api/jobs//", "/nowhere", "//", "/api/quotes/1"]),
        body=st.none() | st.binary(max_size=60) | st.sampled_from([b"{", b"[]", b"null", b'{"a":' * 3000, b"\xff{}"]),
        role=ROLE,
        kind=st.sampled_from(["application/json", "text/plain", "application/json; charset=utf-16", "x", WORKBOOK]),
    )  # fmt: skip
    def rubbish(self, method: str, path: str, body: bytes | None, role: str, kind: str) -> None:
        """Send what makes no sense."""
        self.asked(method, path, role, body, "rubbish", content_type=kind)


def main() -> None:
    """Walk for some minutes."""
    from tests.api.fuzz_run import run  # what runs it imports this

    run()


if __name__ == "__main__":
    main()
