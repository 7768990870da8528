"""Price books by name."""

import json

from sqlmodel import Session, col, select

from api.store.audit import Who, entries, note
from api.store.clock import now
from api.store.errors import MissingError, StaleError
from api.store.models import PriceBook as Row
from estimator.errors import DocumentError, Fault, nearest

__all__ = ["book_named", "delete_book", "find_book", "list_books", "put_book", "versions_of"]


MOST_VERSIONS = 50


def book_named(session: Session, name: str | None) -> str | None:
    """Return the text of the stored book of that name, None for the built-in one.

    Raises `DocumentError` at `pricebook`.
    """
    if name is None:
        return None
    document = session.exec(select(Row.document).where(Row.name == name)).one_or_none()
    if document is not None:
        return document
    near = nearest(name, session.exec(select(Row.name)).all())
    said = f"; near: {', '.join(near)}" if near else "; store it with PUT /api/pricebooks/NAME, or leave it out"
    raise DocumentError([Fault("pricebook", f"no stored price book is named {name!r}{said}")])


def find_book(session: Session, name: str) -> Row:
    """Return a stored book; raise `MissingError` where there is none of that name."""
    kept = "\0" not in name  # which a shared database does not even take to look for
    row = session.exec(select(Row).where(Row.name == name)).one_or_none() if kept else None
    if row is None:
        raise MissingError(f"no price book is named {name!r}")
    return row


def list_books(session: Session, after: str | None, limit: int) -> list[Row]:
    """Return stored books in the order of their names."""
    query = select(Row).order_by(col(Row.name)).limit(limit)
    return list(session.exec(query if after is None else query.where(Row.name > after)))


def put_book(session: Session, who: Who, name: str, text: str, revision: int | None) -> Row:
    """Store the text of a book under a name, over revision `revision` of it or as a new one (None).

    Raises `StaleError` where the stored one is another revision, or is there and none was expected.
    """
    row = session.exec(select(Row).where(Row.name == name).with_for_update()).one_or_none()
    if (row.revision if row else None) != revision:
        raise StaleError(f"the price book {name!r} was stored by someone else meanwhile; read it again")
    if row is None:
        row = Row(name=name, revision=0, document=text, changed_at=now(), changed_by=who.name)
    row.revision, row.document, row.changed_at, row.changed_by = row.revision + 1, text, now(), who.name
    session.add(row)
    note(session, who, "price book stored", f"price book {name}", revision=row.revision, document=text)
    session.flush()
    return row


def versions_of(session: Session, name: str) -> list[tuple[int, str, str, str]]:
    """Return the versions of a book as they were stored, newest first: revision, when, by whom, its text."""
    rows = [(row, json.loads(row.detail)) for row in entries(session, f"price book {name}", None, MOST_VERSIONS)]
    return [
        (said["revision"], row.at, row.actor, said["document"])
        for row, said in rows
        if row.action == "price book stored" and "document" in said
    ]


def delete_book(session: Session, who: Who, name: str, revision: int) -> None:
    """Remove a book; quotes made with it keep their own copy. Raises as `find_book` and `put_book` do."""
    row = session.exec(select(Row).where(Row.name == name).with_for_update()).one_or_none()
    if row is None:
        raise MissingError(f"no price book is named {name!r}")
    if row.revision != revision:
        raise StaleError(f"the price book {name!r} was stored by someone else meanwhile; read it again")
    note(session, who, "price book removed", f"price book {name}", revision=row.revision, document=row.document)
    session.delete(row)
