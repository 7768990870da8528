"""Where the database is: a URL, read once."""

import re
from dataclasses import dataclass
from urllib.parse import unquote

from api.store.errors import UnusableError

__all__ = ["DEFAULT", "Address", "masked", "read_address"]

DEFAULT = "sqlite:///boreworth.db"
SHARED = ("postgresql", "postgres")
RIGHT = "write sqlite:///FILE, sqlite:////ABSOLUTE/FILE or postgresql://USER@HOST/NAME"
# A user:password ends at the last @: rather too much is masked than too little.
PASSWORD = re.compile(r"(://[^:/?#]*):.*@|((?:password|passwd|pwd|secret)=)[^&\s]*", re.IGNORECASE)


@dataclass(frozen=True)
class Address:
    """A file, or the URL of a shared database; one of them is empty."""

    file: str = ""
    url: str = ""

    @property
    def shared(self) -> bool:
        """Whether it is a PostgreSQL that servers share."""
        return bool(self.url)

    def __str__(self) -> str:
        """Return the address without a password."""
        return masked(self.url) or self.file


def read_address(text: str) -> Address:
    """Return where a URL leads; raise `UnusableError` for one that leads nowhere."""
    scheme, mark, rest = text.partition("://")
    if mark and scheme in SHARED:
        return Address(url=text)
    if not mark or scheme != "sqlite":
        raise UnusableError(f"{_short(text)} is no database URL; {RIGHT}")
    if "?" in rest or "#" in rest:
        raise UnusableError(f"{_short(text)}: options are not taken; {RIGHT}")
    file = unquote(rest.removeprefix("/"))
    if not rest.startswith("/") or file in {"", ":memory:"}:
        raise UnusableError(f"{_short(text)} would be lost at the end; {RIGHT}")
    return Address(file=file)


def masked(text: str) -> str:
    """Return a text with every password in it replaced by stars.

    Examples
    --------
    >>> masked("postgresql://shop:s3cret@db/quotes?sslpassword=x")
    'postgresql://shop:***@db/quotes?sslpassword=***'
    """
    return PASSWORD.sub(lambda match: f"{match[1]}:***@" if match[1] is not None else f"{match[2]}***", text)


def _short(text: str) -> str:
    return masked(text)[:200]
