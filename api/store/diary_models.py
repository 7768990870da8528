"""The tables of the diary: who and what goes, days off, accepted quotes placed on days. Dates are texts, 2027-03-08."""

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from api.store.rows import IDS, Row

__all__ = ["Booking", "Holiday", "Placement", "Resource"]


class Resource(Row, table=True):
    """A technician or a rig, by name; one who left keeps the days that are past."""

    __tablename__ = "resources"
    __table_args__ = (sa.UniqueConstraint("kind", "key"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    kind: str = Field(sa_type=sa.Text)
    key: str = Field(sa_type=sa.Text)  # the name, case folded: Anna is anna
    name: str = Field(sa_type=sa.Text)
    added_at: str = Field(sa_type=sa.Text)
    added_by: str = Field(sa_type=sa.Text)
    removed_at: str | None = Field(default=None, sa_type=sa.Text)


class Holiday(SQLModel, table=True):
    """A date on which nobody works."""

    __tablename__ = "holidays"

    date: str = Field(primary_key=True, sa_type=sa.Text)
    name: str = Field(sa_type=sa.Text)
    added_at: str = Field(sa_type=sa.Text)
    added_by: str = Field(sa_type=sa.Text)


class Placement(SQLModel, table=True):
    """An accepted quote placed on days; `plan` is what the diary tells of it, a JSON text from its frozen estimate."""

    __tablename__ = "placements"

    number: int = Field(
        foreign_key="quotes.number", primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False}
    )
    start: str = Field(sa_type=sa.Text, index=True)
    until: str = Field(sa_type=sa.Text, index=True)  # its last day
    plan: str = Field(sa_type=sa.Text)
    placed_at: str = Field(sa_type=sa.Text)
    placed_by: str = Field(sa_type=sa.Text)


class Booking(SQLModel, table=True):
    """A day of somebody or of a rig; the key allows one quote a day."""

    __tablename__ = "bookings"

    date: str = Field(primary_key=True, sa_type=sa.Text)
    resource_id: int = Field(foreign_key="resources.id", primary_key=True, sa_type=IDS)
    number: int = Field(foreign_key="placements.number", ondelete="CASCADE", sa_type=sa.BigInteger, index=True)
    day: int  # which of the quote's days it is, from 1
