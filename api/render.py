"""A template filled in and sent as a page, and whether a page is asked for; below whoever answers with one."""

from fastapi.responses import HTMLResponse
from starlette.datastructures import Headers

from api.caller import Caller, current
from api.filled import STYLE_HASH, filled

__all__ = ["POLICY", "page", "sent_page", "wants_page"]

POLICY = "; ".join(
    (
        "default-src 'none'",
        f"style-src 'sha256-{STYLE_HASH}'",
        "script-src 'self'",
        "connect-src 'self'",
        "img-src 'self' data:",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)


def page(template: str, status: int = 200, *, csrf: str = "", **content: object) -> HTMLResponse:
    """Return a page.

    Parameters
    ----------
    template
        Its template.
    status
        The status code.
    csrf
        The word that its forms bring along.
    content
        What the template shows.
    """
    return sent_page(filled(template, _caller(), csrf, **content), status)


def sent_page(text: str, status: int = 200) -> HTMLResponse:
    """Return the text of a page as the answer."""
    return HTMLResponse(text, status, {"Content-Security-Policy": POLICY, "Vary": "Accept, Cookie"})


def _caller() -> Caller | None:
    try:
        return current()
    except LookupError:  # a page of the gate itself, before anybody is known
        return None


def wants_page(path: str, headers: Headers) -> bool:
    """Return whether a person's browser asks, for a page."""
    accepted = headers.get("accept", "*/*")
    return ("text/html" in accepted and not path.startswith("/api/")) or (path == "/" and "*/*" in accepted)
