"""What the pages of the desk share: a form read and checked, units, the word of a session, a key to do it once."""

import hashlib
import secrets
from collections.abc import Mapping

from fastapi import Request
from fastapi.responses import RedirectResponse
from starlette.exceptions import HTTPException

from api.pages.forms import csrf_word, sent_fields
from api.routes.stored import who_asks
from api.store.replays import Once
from exports.format import Units

__all__ = ["csrf_word", "go_to", "known_number", "new_key", "once_of_form", "sent_form", "units_asked"]

LARGEST = 1 << 20  # [bytes]
MOST_FIELDS = 4000
LONGEST_KEY = 64
SHARE = 24  # digits of a hash that tell two forms apart
LARGEST_NUMBER = 2**63 - 1


async def sent_form(request: Request) -> dict[str, str]:
    """Return a form's fields, the last of each name; raise 403, 413 or 415 for one that is not ours."""
    return {name: values[-1] for name, values in (await sent_fields(request, LARGEST, MOST_FIELDS)).items()}


def new_key() -> str:
    """Return a key under which a form is done once, however often it is sent."""
    return secrets.token_urlsafe(18)


def once_of_form(request: Request, fields: Mapping[str, str]) -> Once:
    """Return what makes two sendings of a form one: who sends it, its key, where to, and what it says.

    Whoever goes back in the browser and types something else sends another form under the same key.
    """
    said = "\n".join(f"{name}={value}" for name, value in sorted(fields.items()) if name not in {"csrf", "key"})
    digest = hashlib.sha256(said.encode()).hexdigest()
    key = fields.get("key", "")
    fit = bool(key) and len(key) <= LONGEST_KEY and key.isascii() and key.isprintable()
    return Once(who_asks(), f"{key}.{digest[:SHARE]}" if fit else None, f"POST {request.url.path}", digest)


def units_asked(text: str | None) -> Units:
    """Return the units of a page."""
    return "us" if text == "us" else "metric"


def known_number(text: str) -> int:
    """Return the number in a path; raise 404 where it is none."""
    if text.isascii() and text.isdigit() and len(text) < len(str(LARGEST_NUMBER)):
        return int(text)
    raise HTTPException(404)


def go_to(path: str) -> RedirectResponse:
    """Lead a browser on to a page, after what it sent was done."""
    return RedirectResponse(path, 303)
