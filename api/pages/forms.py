"""A form of ours read and checked: all values of each name."""

from collections.abc import Mapping, Sequence
from urllib.parse import parse_qs

from fastapi import Request
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException

from api.access.gate import session_in
from api.access.secrets import csrf_of, is_csrf_of

__all__ = ["Fields", "csrf_word", "one_of", "sent_fields"]

FORM = "application/x-www-form-urlencoded"
LARGEST = 64 * 1024  # [bytes]
MOST_FIELDS = 500
KILO = 1024
Fields = Mapping[str, Sequence[str]]


async def sent_fields(request: Request, largest: int = LARGEST, most: int = MOST_FIELDS) -> Fields:
    """Return the values of each field of a form; raise 403, 413 or 415 for one that is not ours.

    Parameters
    ----------
    request
        What was sent.
    largest, most
        How many bytes and how many fields it may have.
    """
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != FORM:
        raise HTTPException(415, f"Send a form, as {FORM}.")
    body = await request.body()
    if len(body) > largest:
        raise HTTPException(413, f"The form is larger than {largest // KILO} kB.")
    try:
        fields = parse_qs(body.decode("utf-8", "replace"), keep_blank_values=True, max_num_fields=most)
    except ValueError:
        raise HTTPException(413, f"The form has more than {most} fields.") from None
    session = session_in(Headers(scope=request.scope))
    if session and not is_csrf_of(one_of(fields, "csrf"), session):
        raise HTTPException(403, "The form belongs to another session; load the page again.")
    return fields


def one_of(fields: Fields, name: str) -> str:
    """Return the first value of a field; empty where it has none."""
    return (fields.get(name) or [""])[0].strip()


def csrf_word(request: Request) -> str:
    """Return the word that forms of this session bring along; empty without one."""
    session = session_in(Headers(scope=request.scope))
    return csrf_of(session) if session else ""
