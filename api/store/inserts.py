"""Rows that are made once, whoever comes first."""

from typing import Any

from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import Session, SQLModel

__all__ = ["insert_new"]


def insert_new(session: Session, model: type[SQLModel], **values: object) -> bool:
    """Insert a row unless one like it is there; return whether it was inserted.

    On PostgreSQL this waits for another transaction that is about to insert the same.
    """
    kind: Any = postgresql if session.get_bind().dialect.name == "postgresql" else sqlite
    table = model.metadata.tables[str(model.__tablename__)]
    asked = kind.insert(table).values(**values).on_conflict_do_nothing().returning(*table.primary_key.columns)
    return session.execute(asked).first() is not None
