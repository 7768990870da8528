"""Who may come in: from this machine without a login, from elsewhere with a token or a signed-in session."""

import ipaddress
import re
from collections.abc import Callable
from typing import Protocol

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from api.access.rate import Buckets, Tries
from api.access.roles import OPEN, is_open, may
from api.caller import LOOPBACK, NOBODY, Caller, answering
from api.guard import SAFE, same_origin
from api.loopback import host_of, is_loopback, is_loopback_peer, passed_on
from api.problems import problem, refusal
from api.render import wants_page
from api.store.errors import UnavailableError

__all__ = ["COOKIE", "Gate", "Keys", "network_of", "session_in"]

COOKIE = "boreworth_session"
SIGN_IN = ("POST", "/sign-in")  # the door itself counts what is tried there
CONTROL = re.compile(r"[\x00-\x1f\x7f]")
LONGEST_ADDRESS = 64  # characters
NETWORK = 64  # bits of an IPv6 address that one subscriber has at least
ORIGIN = "The request changes something and comes from another origin."
NO_ORIGIN = "A signed-in browser says where a request comes from (Origin); this one does not. Or send a token."
TOKEN = "Send a token that is in force: Authorization: Bearer, or sign in at /sign-in."
PASSED_ON = " (A request from this machine needs none, but this one was passed on: it has {}.)"


class Keys(Protocol):
    """Who holds which token or session; None where there is no such thing in force."""

    def token(self, secret: str, /) -> Caller | None:
        """Return who holds a token."""

    def session(self, secret: str, /) -> Caller | None:
        """Return who is signed in with a session."""


class Gate:
    """Middleware that finds out who asks, and refuses who may not."""

    def __init__(
        self,
        app: ASGIApp,
        keys: Keys,
        login: str,
        per_minute: int,
        page: Callable[[Scope, int], Response],
        tries: Tries | None = None,
    ) -> None:
        """Stand before an application.

        Parameters
        ----------
        app
            What stands behind.
        keys
            Who holds which token or session.
        login
            `always` where a request from this machine needs a token too, as behind a reverse proxy.
        per_minute
            Requests that one caller from elsewhere may make. [1/min]
        page
            The sign-in page, for a browser that is not signed in, with the status to answer.
        tries
            What was tried and is no token; else counted here alone.
        """
        self.app, self.keys, self.login, self.page = app, keys, login, page
        self.asked, self.tries = Buckets(per_minute, per_minute), tries or Tries()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer who is refused; pass on who may come in."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        try:
            refused = await self._refusal(scope, Headers(scope=scope))
        except UnavailableError as error:
            refused = refusal(scope, 503, f"{str(error)[:1].upper()}{str(error)[1:]}.", headers={"Retry-After": "2"})
        if refused is not None:
            await refused(scope, receive, send)
            return
        with answering(scope["caller"]):
            await self.app(scope, receive, send)

    async def _refusal(self, scope: Scope, headers: Headers) -> Response | None:
        """Return the answer to a request that is refused, having noted in the scope who asks; else None."""
        hosts, peer, scope["caller"] = headers.getlist("host"), scope["client"][0] if scope["client"] else "", NOBODY
        here = self.login == "remote" and is_loopback_peer(peer)
        if len(hosts) != 1 or (here and not is_loopback(host_of(hosts[0])[0])):
            return refusal(scope, 421)
        passed = passed_on(headers.keys(), scope["http_version"]) if here else ""
        scope["passed_on"], scope["near"] = passed, here and not passed
        refused = await (self._near(scope, headers) if scope["near"] else self._stranger(scope, headers, peer))
        if refused is None and CONTROL.search(scope["path"]):  # a router's pattern may end before it, a role's does not
            return refusal(scope, 404)
        return refused or _forbidden(scope, headers, hosts[0])

    async def _near(self, scope: Scope, headers: Headers) -> Response | None:
        """Let in who asks from this machine: as the holder of a token or session it brings, else as its owner."""
        caller, _ = await self._holder(scope, headers)
        scope["caller"] = caller or LOOPBACK
        return None if caller or said_nothing(headers) or scope["path"] in OPEN else unknown()

    async def _stranger(self, scope: Scope, headers: Headers, peer: str) -> Response | None:
        """Find out who asks from elsewhere; return the answer if that is nobody, or one who asks too often."""
        caller, tried = await self._holder(scope, headers)
        scope["caller"] = caller or NOBODY
        wait = 0
        if caller is not None or (scope["method"], scope["path"]) != SIGN_IN:
            wait = self.asked.take(caller.key if caller else self._address(headers, peer))
        if caller is None and tried:
            wait = max(wait, self.tries.wrong(network_of(peer), tried))
        if wait:
            return refusal(scope, 429, headers={"Retry-After": str(wait)})
        if caller or is_open(scope["method"], scope["path"]):
            return None
        if scope["method"] in SAFE and said_nothing(headers) and wants_page(scope["path"], headers):
            return self.page(scope, 200 if scope["path"] == "/" else 401)
        return unknown(scope["passed_on"])

    def _address(self, headers: Headers, peer: str) -> str:
        """Return the address that an unknown caller is counted by.

        Behind a proxy it is what the proxy saw, so that one stranger does not use up the share of all others. Whoever
        could write it himself gains nothing but answers that he is not known.
        """
        seen = headers.getlist("x-forwarded-for")[-1:] if self.login == "always" else []
        return network_of(seen[0].rpartition(",")[2].strip()[:LONGEST_ADDRESS] if seen else peer)

    async def _holder(self, scope: Scope, headers: Headers) -> tuple[Caller | None, str]:
        """Return who holds the token or session that a request brings, and what it brings; empty for nothing.

        What is open to all is answered whether the database knows anybody or not.
        """
        if scope["path"] in OPEN:
            return None, ""
        said = headers.get("authorization")
        if said is not None:
            scheme, _, token = said.partition(" ")
            known = scheme.lower() == "bearer"
            return (await run_in_threadpool(self.keys.token, token.strip()) if known else None), said or " "
        session = session_in(headers)
        return (await run_in_threadpool(self.keys.session, session) if session else None), session


def session_in(headers: Headers) -> str:
    """Return the session number in a request's cookie; empty where there is none."""
    return cookie_parser(headers.get("cookie", "")).get(COOKIE, "")


def unknown(passed: str = "") -> Response:
    """Return the answer to somebody who is not known; `passed` tells why a request is not of this machine."""
    return problem(401, TOKEN + (PASSED_ON.format(passed) if passed else ""), headers={"WWW-Authenticate": "Bearer"})


def said_nothing(headers: Headers) -> bool:
    """Return whether a request brings no token of its own, which a program would."""
    return "authorization" not in headers


def network_of(peer: str) -> str:
    """Return what is counted as one address: of IPv6, the network of one subscriber."""
    try:
        address = ipaddress.ip_address(peer.partition("%")[0])
    except ValueError:
        return peer
    if isinstance(address, ipaddress.IPv6Address):
        return str(address.ipv4_mapped or ipaddress.ip_network((int(address), NETWORK), strict=False))
    return str(address)


def _forbidden(scope: Scope, headers: Headers, host: str) -> Response | None:
    """Return the answer to what this caller may not do, or may not from where it comes."""
    caller, method = scope["caller"], scope["method"]
    origins = headers.getlist("origin")
    site = {said.strip().lower() for said in headers.getlist("sec-fetch-site")}
    foreign = "cross-site" in site or any(not same_origin(origin, host) for origin in origins)
    if method not in SAFE and foreign:
        return refusal(scope, 403, ORIGIN)
    if method not in SAFE and caller.way == "session" and not origins:
        return refusal(scope, 403, NO_ORIGIN)
    if not may(caller.role, method, scope["path"]):
        return refusal(scope, 403, f"Not for the role {caller.role}.")
    return None
