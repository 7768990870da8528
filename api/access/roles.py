"""What each role may ask for: field and fleet only what stands here, and nothing else; the office everything."""

import re

from estimator.document.redact import Role

__all__ = ["OPEN", "is_open", "may"]

ONE = r"[^/]+"
PAPERS = rf"/api/quotes/{ONE}\.(pdf|xlsx)"  # they are all about money, which the field has no part in
BILLS = rf"/api/invoices(/{ONE})?|/api/quotes/{ONE}/(invoices|variations/{ONE}\.pdf)"  # the same
VARIATIONS = rf"/api/quotes/{ONE}/variations"
ONE_BUT_PDF = rf"/{ONE}(?<!\.pdf)"
READS = (
    r"/",
    r"/jobs/" + ONE,
    rf"/jobs/{ONE}/photos/{ONE}",
    r"/quotes/" + ONE,
    r"/api/jobs",
    r"/api/jobs/" + ONE,
    rf"/api/jobs/{ONE}/quotes",
    rf"/api/jobs/{ONE}/actuals",
    r"/api/quotes",
    r"/api/quotes/" + ONE + r"(?<!\.pdf)(?<!\.xlsx)",
    rf"/api/quotes/{ONE}/pack\.pdf",
    VARIATIONS,
    VARIATIONS + ONE_BUT_PDF,
)
ON_SITE = (r"/field", r"/field/" + ONE, r"/field/static/" + ONE)
RECORDS = (r"/api/orders", rf"/api/jobs/{ONE}/actuals", r"/sign-out", r"/sign-in")
OPEN = ("/health", "/ready", "/openapi.json")
STATIC = "/static/"  # scripts of ours, which hold nothing of anybody's


def _any(*paths: str) -> re.Pattern[str]:
    return re.compile("|".join(paths))


GRANTED: dict[Role, dict[str, re.Pattern[str]]] = {
    "field": {
        "GET": _any(*READS, *ON_SITE, r"/api/intake\.xlsx"),
        "POST": _any(*RECORDS, rf"/api/quotes/{ONE}/found", r"/api/intake", VARIATIONS),
    },
    "fleet": {"GET": _any(*READS, PAPERS, BILLS), "POST": _any(*RECORDS, r"/api/comparisons", r"/api/fleets")},
}
OWNERS = _any(
    r"/api/tokens(/.*)?", r"/api/audit(/.*)?", r"/api/pricebooks(/.*)?", r"/api/calibrations(/.*)?", r"/pricebook(/.*)?"
)
SEEN = ("pricebook", "calibrations")  # what an estimator may read of what is the owner's to change
SAFE = {"GET", "HEAD", "OPTIONS"}


def is_open(method: str, path: str) -> bool:
    """Return whether a request is answered without a token."""
    if path == "/sign-in":
        return True
    return (path in OPEN or path.startswith(STATIC)) and method in SAFE


def may(role: Role, method: str, path: str) -> bool:
    """Return whether a role may make a request; `path` is as it was asked for."""
    method = "GET" if method == "HEAD" else method
    if role == "owner" or is_open(method, path):
        return True
    if role == "estimator":
        return not (OWNERS.fullmatch(path) and (method not in SAFE or not any(name in path for name in SEEN)))
    pattern = GRANTED[role].get(method)
    return pattern is not None and pattern.fullmatch(path) is not None
