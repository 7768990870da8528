"""Each role and each route: who is unknown, who may, who may not."""

from itertools import pairwise
from typing import Any

import pytest

from api.access.roles import may
from api.app import create_app
from api.describe.examples import VARIATIONS
from estimator.document.redact import ROLES
from tests.api.conftest import ODD_BOOK
from tests.api.running import Server
from tests.api.service import job

ALL = frozenset(ROLES)
OFFICE = frozenset({"owner", "estimator"})
OWNER = frozenset({"owner"})
COSTED = job() | {"economics": {"discount_rate": 0.08, "hours_per_year": 1800, "repair": {"life": "6000 h"}}}
MORE = VARIATIONS["more wear"]["value"]
WORK = {"quote": "100001", "bores": [{"name": "A", "arc_time": "34 min", "wire": "0.9 kg", "on_site": "5.2 h"}]}

# What is asked, who may ask it, and what it answers to who may.
ROUTES: list[tuple[str, str, object, frozenset[str], set[int]]] = [
    ("GET", "/", None, ALL, {200}),
    ("GET", "/jobs/1", None, ALL, {200}),
    ("GET", "/jobs/999", None, ALL, {404}),
    ("GET", "/quotes/100001", None, ALL, {200}),
    ("GET", "/api/jobs", None, ALL, {200}),
    ("GET", "/api/jobs/1", None, ALL, {200}),
    ("GET", "/api/jobs/999", None, ALL, {404}),
    ("GET", "/api/jobs/1/quotes", None, ALL, {200}),
    ("GET", "/api/quotes", None, ALL, {200}),
    ("GET", "/api/quotes/100001", None, ALL, {200}),
    ("GET", "/api/quotes/100001.xlsx", None, ALL - {"field"}, {200}),
    ("GET", "/api/quotes/100001.xlsx?for=customer", None, ALL - {"field"}, {200}),
    ("GET", "/api/quotes/100001.xlsx?for=shop", None, OFFICE, {200}),
    ("GET", "/api/quotes/100001.pdf", None, ALL - {"field"}, {200}),
    ("GET", "/api/quotes/100001.pdf?language=de", None, ALL - {"field"}, {200}),
    ("GET", "/api/quotes/100001/pack.pdf", None, ALL, {200}),
    ("GET", "/api/quotes/999/pack.pdf", None, ALL, {404}),
    ("POST", "/api/orders", {"jobs": [job()]}, ALL, {200}),
    ("POST", "/api/orders", {"jobs": []}, ALL, {200, 422}),
    ("POST", "/api/comparisons", COSTED, OFFICE | {"fleet"}, {200}),
    ("POST", "/api/fleets", {"rows": []}, OFFICE | {"fleet"}, {200}),
    ("POST", "/api/estimates", job(), OFFICE, {200}),
    ("POST", "/api/explanations", {"job": job(), "key": "cost.total"}, OFFICE, {200}),
    ("GET", "/api/intake.xlsx", None, OFFICE | {"field"}, {200}),
    ("POST", "/api/intake", {}, OFFICE | {"field"}, {415}),
    ("POST", "/api/jobs", job(), OFFICE, {201}),
    ("PUT", "/api/jobs/1", job(), OFFICE, {428}),
    ("DELETE", "/api/jobs/1", None, OFFICE, {428}),
    ("POST", "/api/jobs/999/quotes", {}, OFFICE, {404}),
    ("POST", "/api/quotes/999/issue", {}, OFFICE, {404}),
    ("POST", "/api/quotes/999/accept", {}, OFFICE, {404}),
    ("POST", "/api/quotes/999/decline", {}, OFFICE, {404}),
    ("POST", "/api/quotes/999/revise", {}, OFFICE, {404}),
    ("GET", "/api/pricebooks", None, OFFICE, {200}),
    ("GET", "/api/pricebooks/odd", None, OFFICE, {200}),
    ("PUT", "/api/pricebooks/odd", ODD_BOOK, OWNER, {428}),
    ("DELETE", "/api/pricebooks/odd", None, OWNER, {428}),
    ("POST", "/api/jobs/1/actuals", WORK, ALL, {409}),
    ("GET", "/api/jobs/1/actuals", None, ALL, {200}),
    ("GET", "/api/quotes/100001/invoice", None, OFFICE, {409}),
    ("POST", "/api/quotes/100001/invoices", {}, OFFICE, {409}),
    ("GET", "/api/quotes/100001/invoices", None, OFFICE | {"fleet"}, {200}),
    ("GET", "/api/invoices", None, OFFICE | {"fleet"}, {200}),
    ("GET", "/api/invoices/{number}", None, OFFICE | {"fleet"}, {404}),
    ("GET", "/api/invoices/{number}.pdf", None, OFFICE | {"fleet"}, {404}),
    ("POST", "/api/invoices/1/cancel", {}, OFFICE, {404}),
    ("POST", "/api/quotes/100001/variations", MORE, OFFICE | {"field"}, {409}),
    ("GET", "/api/quotes/100001/variations", None, ALL, {200}),
    ("GET", "/api/quotes/100001/variations/{variation}", None, ALL, {404}),
    ("GET", "/api/quotes/100001/variations/{variation}.pdf", None, OFFICE | {"fleet"}, {404}),
    ("POST", "/api/quotes/100001/variations/1/accept", {"by": "A"}, OFFICE, {404}),
    ("POST", "/api/quotes/100001/variations/1/decline", {"by": "A"}, OFFICE, {404}),
    ("GET", "/api/quotes/100001/variance", None, OFFICE, {409}),
    ("GET", "/api/calibration", None, OFFICE, {200}),
    ("GET", "/api/calibrations", None, OFFICE, {200}),
    ("GET", "/api/calibrations/9", None, OFFICE, {404}),
    ("POST", "/api/calibrations", {"version": 9}, OWNER, {422}),
    ("GET", "/field", None, ALL - {"fleet"}, {200}),
    ("GET", "/field/100001", None, ALL - {"fleet"}, {200}),
    ("GET", "/field/worker.js", None, ALL - {"fleet"}, {200}),
    ("GET", "/diary", None, OFFICE, {200}),
    ("POST", "/api/quotes/100001/found", {}, OFFICE | {"field"}, {409, 422}),
    ("GET", "/api/diary", None, OFFICE, {200}),
    ("GET", "/api/quotes/100001/days", None, OFFICE, {200}),
    ("POST", "/api/quotes/100001/days", {"start": "2027-03-08"}, OFFICE, {409}),
    ("DELETE", "/api/quotes/100001/days", None, OFFICE, {404}),
    ("POST", "/api/diary/names", {}, OFFICE, {422}),
    ("DELETE", "/api/diary/names/rig/none", None, OFFICE, {404}),
    ("POST", "/api/diary/days-off", {}, OFFICE, {422}),
    ("DELETE", "/api/diary/days-off/2027-03-08", None, OFFICE, {404}),
    ("GET", "/api/audit", None, OWNER, {200}),
    ("GET", "/metrics", None, OFFICE, {200}),
    ("GET", "/api/nothing", None, OFFICE, {404}),
    ("PATCH", "/api/jobs/1", {}, OFFICE, {405}),
]


@pytest.mark.parametrize("role", [None, *ROLES])
@pytest.mark.parametrize(("method", "path", "body", "granted", "answers"), ROUTES)
def test_each_role_gets_what_is_granted_and_403_for_the_rest(
    stocked: Server, method: str, path: str, body: object, granted: frozenset[str], answers: set[int], role: str | None
) -> None:
    said = stocked.ask(method, path, role, body)
    if role is None:
        assert said.status == (200 if path == "/" else 401)
    elif role in granted:
        assert said.status in answers, said.body
    else:
        assert (said.status, said.problem) == (403, f"Not for the role {role}.")


@pytest.mark.parametrize("role", [None, *ROLES])
@pytest.mark.parametrize("path", ["/api/audit", "/api/quotes/100001.pdf", "/api/calibrations", "/jobs/1"])
def test_a_path_with_a_control_sign_is_nowhere(stocked: Server, path: str, role: str | None) -> None:
    """A router's pattern may match before a newline at the end, where a role's does not."""
    for sign in ("%0A", "%0D", "%00", "%7F"):
        assert stocked.ask("GET", path + sign, role).status == (401 if role is None else 404)


def test_what_is_not_for_a_role_is_not_looked_at(stocked: Server) -> None:
    assert stocked.ask("POST", "/api/estimates", "field", b"no json").status == 403
    assert stocked.ask("POST", "/api/estimates", "field", b"{}", Content_Type="text/plain").status == 403
    assert stocked.ask("POST", "/api/jobs/1/nothing", "fleet", {}).status == 403
    assert stocked.ask("GET", "/api/calibration", "fleet").status == 403


@pytest.mark.parametrize("role", sorted(ALL - OFFICE))
def test_every_route_of_the_service_is_decided_upon_for_the_field(role: Any) -> None:
    """A route that is added is closed to field and fleet until it stands here."""
    mine = {(method, path.replace("999", "1")) for method, path, _, granted, _ in ROUTES if role in granted} | {
        ("GET", "/health"),
        ("GET", "/ready"),
    }
    described = [(m.upper(), path) for path, methods in create_app().openapi()["paths"].items() for m in methods]
    opened = {(method, path) for method, path in described if may(role, method, path)}
    known = {
        (m, p.replace("/1/", "/{id}/").replace("/jobs/1", "/jobs/{id}").replace("100001", "{number}")) for m, p in mine
    }
    assert opened == {(method, path) for method, path in known if (method, path) in described}


def test_the_office_sees_ever_more_than_the_field() -> None:
    paths = [(m.upper(), path) for path, methods in create_app().openapi()["paths"].items() for m in methods]
    field, fleet, *office = [
        {one for one in paths if may(role, *one)} for role in ("field", "fleet", "estimator", "owner")
    ]
    assert all(less < more for less, more in pairwise([field | fleet, *office]))
    found = {("GET", "/api/intake.xlsx"), ("POST", "/api/intake")}
    found |= {("POST", f"/api/quotes/{{number}}/{end}") for end in ("variations", "found")}
    assert field - fleet == found  # sheets are filled in on site, and more wear is found there
    papers = {("GET", f"/api/quotes/{{number}}.{ending}") for ending in ("xlsx", "pdf")}
    papers |= {("GET", f"/api/invoices{end}") for end in ("", "/{number}", "/{number}.pdf")}
    papers |= {("GET", f"/api/quotes/{{number}}/{end}") for end in ("invoices", "variations/{variation}.pdf")}
    assert fleet - field == {("POST", "/api/comparisons"), ("POST", "/api/fleets"), *papers}  # papers tell of money
    assert office[-1] == set(paths)
