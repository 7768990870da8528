"""Which names and addresses never leave this machine, and which requests were never passed on."""

import ipaddress
import re
from collections.abc import Iterable

__all__ = ["host_of", "is_loopback", "is_loopback_peer", "passed_on"]

HOST = re.compile(r"(\[[0-9a-f:.]+\]|[^:\[\]/@\s]+)(?::([0-9]{1,5}))?", re.IGNORECASE)
# What browsers, command lines and programs send by themselves, and what we ask for. A proxy has more names to tell of
# itself than anyone can list, so whatever stands not here is taken as its.
OF_CALLERS = {
    "accept", "accept-charset", "accept-encoding", "accept-language", "access-control-request-headers",
    "access-control-request-method", "authorization", "cache-control", "connection", "content-encoding",
    "content-length", "content-type", "cookie", "date", "dnt", "expect", "host", "idempotency-key", "if-match",
    "if-modified-since", "if-none-match", "if-range", "if-unmodified-since", "keep-alive", "origin", "pragma",
    "priority", "purpose", "range", "referer", "save-data", "sec-fetch-dest", "sec-fetch-mode", "sec-fetch-site",
    "sec-fetch-storage-access", "sec-fetch-user", "sec-gpc", "sec-purpose", "service-worker", "te", "transfer-encoding",
    "upgrade-insecure-requests", "user-agent",
}  # fmt: skip
OF_BROWSERS = "sec-ch-"  # what a browser says of itself where it is asked to


def passed_on(headers: Iterable[str], http_version: str) -> str:
    """Return what tells that a request was passed on by a proxy, for people; empty where nothing does.

    Examples
    --------
    >>> passed_on(["host", "accept", "x-forwarded-for"], "1.1")
    'the header x-forwarded-for'
    >>> passed_on(["host"], "1.0")
    'HTTP/1.0'
    """
    odd = next((name for name in headers if name not in OF_CALLERS and not name.startswith(OF_BROWSERS)), "")
    if odd:
        return f"the header {odd[:60]}"
    return "" if http_version != "1.0" else "HTTP/1.0"  # as proxies speak that were told nothing else


def host_of(text: str) -> tuple[str, str]:
    """Return host and port of `localhost:8000` or `[::1]:8000`, brackets removed; the port may be empty.

    Anything else gives two empty texts.
    """
    match = HOST.fullmatch(text)
    return (match[1].strip("[]").lower(), match[2] or "") if match else ("", "")


def is_loopback(host: str) -> bool:
    """Return whether a bare host is localhost, in 127.0.0.0/8, or ::1."""
    if host.lower() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def is_loopback_peer(address: str) -> bool:
    """Return whether a connection's other end is this machine, an IPv4 address inside an IPv6 one (RFC 4291) too."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return False
    mapped = found.ipv4_mapped if isinstance(found, ipaddress.IPv6Address) else None
    return (mapped or found).is_loopback
