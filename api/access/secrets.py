"""Tokens and session numbers: 256 random bits, of which only the SHA-256 is kept."""

import hashlib
import hmac
import re
import secrets

__all__ = ["csrf_of", "digest", "is_csrf_of", "new_session", "new_token", "shaped"]

MARK = "bwt_"  # so that a token found lying about is known for what it is
SHAPE = re.compile(MARK + r"[A-Za-z0-9_-]{43}")
BYTES = 32


def new_token() -> str:
    """Return a new token; this is the only time that it is known."""
    return MARK + secrets.token_urlsafe(BYTES)


def new_session() -> str:
    """Return a new session number for a cookie."""
    return secrets.token_urlsafe(BYTES)


def shaped(token: str) -> bool:
    """Return whether a text could be one of our tokens; one that could not need not be looked up."""
    return SHAPE.fullmatch(token) is not None


def digest(secret: str) -> str:
    """Return what is kept of a token or session number.

    A plain hash is enough: 256 random bits cannot be tried out, so there is nothing to slow down.
    """
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def csrf_of(session: str) -> str:
    """Return the word that a form of this session must bring along; it does not lead back to the session."""
    return hmac.new(session.encode(), b"form", hashlib.sha256).hexdigest()


def is_csrf_of(word: str, session: str) -> bool:
    """Return whether a form's word is that of the session, in the same time whatever is wrong with it."""
    return hmac.compare_digest(word.encode("utf-8", "surrogatepass"), csrf_of(session).encode())
