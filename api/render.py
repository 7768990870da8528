"""A template filled in and sent as a page, and whether a page is asked for; below whoever answers with one."""

import base64
import hashlib
from pathlib import Path

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.datastructures import Headers

from api.caller import Caller, current
from estimator.document.whole import ENGINE
from exports.signs import kept

__all__ = ["POLICY", "page", "wants_page"]

ROOM = Path(__file__).parent / "pages/templates"
STYLE = (ROOM / "style.css").read_text("utf-8")
STYLE_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
POLICY = "; ".join(
    (
        "default-src 'none'",
        f"style-src 'sha256-{STYLE_HASH}'",
        "img-src data:",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
TEMPLATES = Environment(
    loader=FileSystemLoader(ROOM),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
TEMPLATES.filters["paper"] = kept
TEMPLATES.globals.update(style=Markup(STYLE), engine=ENGINE)  # the style sheet is our own file


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
    text = TEMPLATES.get_template(template).render(caller=_caller(), csrf=csrf, **content)
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
