"""What the tables have in common: how their rows are numbered."""

from typing import Any, ClassVar

import sqlalchemy as sa
from sqlmodel import SQLModel

__all__ = ["IDS", "Row"]

IDS: Any = sa.BigInteger().with_variant(sa.Integer(), "sqlite")  # only a plain INTEGER counts by itself in SQLite


class Row(SQLModel):
    """Base of the tables whose rows are counted; a number that was used is not used again."""

    __table_args__: ClassVar[Any] = {"sqlite_autoincrement": True}
