"""Which names and addresses never leave this machine."""

import ipaddress
import re

__all__ = ["host_of", "is_loopback", "is_loopback_peer"]

HOST = re.compile(r"(\[[0-9a-f:.]+\]|[^:\[\]/@\s]+)(?::([0-9]{1,5}))?", re.IGNORECASE)


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
