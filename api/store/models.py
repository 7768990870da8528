"""The tables. Times are texts (see `clock`), documents are JSON texts, hashes are SHA-256 in hexadecimal.

`api/store/migrations` makes them; a test holds the two together.
"""

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from api.store.diary_models import Booking, Holiday, Placement, Resource
from api.store.rows import IDS, Row

__all__ = [
    "ORDER", "Actual", "AuditEntry", "Calibration", "Counter", "Customer", "Equipment", "Invoice", "Job", "JobRevision",
    "Paper", "Photo", "PriceBook", "Quote", "Replay", "Session", "Token", "Variation",
]  # fmt: skip


class Customer(Row, table=True):
    """Who asks for repairs."""

    __tablename__ = "customers"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    key: str = Field(sa_type=sa.Text, unique=True)  # hash of the name, which may be longer than an index takes
    name: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text)


class Equipment(Row, table=True):
    """A machine, of a customer where one is named."""

    __tablename__ = "equipment"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    key: str = Field(sa_type=sa.Text, unique=True)  # hash of customer and description
    customer_id: int | None = Field(default=None, foreign_key="customers.id", sa_type=IDS, index=True)
    description: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text)


class Job(Row, table=True):
    """A job as it stands; `search` holds reference, title, customer and equipment, case folded."""

    __tablename__ = "jobs"
    __table_args__ = (sa.Index("ix_jobs_state_id", "state", "id"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    revision: int
    reference: str = Field(sa_type=sa.Text, index=True)
    title: str | None = Field(default=None, sa_type=sa.Text)
    customer_id: int | None = Field(default=None, foreign_key="customers.id", sa_type=IDS, index=True)
    equipment_id: int | None = Field(default=None, foreign_key="equipment.id", sa_type=IDS, index=True)
    pricebook: str | None = Field(default=None, sa_type=sa.Text)
    state: str = Field(sa_type=sa.Text)
    search: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text, index=True)
    changed_at: str = Field(sa_type=sa.Text)


class JobRevision(SQLModel, table=True):
    """A job document as it was sent, each time it was."""

    __tablename__ = "job_revisions"

    job_id: int = Field(foreign_key="jobs.id", ondelete="CASCADE", primary_key=True, sa_type=IDS)
    revision: int = Field(primary_key=True)
    document: str = Field(sa_type=sa.Text)
    sha256: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text)
    created_by: str = Field(sa_type=sa.Text)


class Photo(Row, table=True):
    """A photo of a job, as it was written anew; `in_letter`: whether the customer's letter shows it."""

    __tablename__ = "photos"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    job_id: int = Field(foreign_key="jobs.id", ondelete="CASCADE", sa_type=IDS, index=True)
    words: str = Field(sa_type=sa.Text)
    width: int
    height: int
    in_letter: int = 0
    data: bytes = Field(sa_type=sa.LargeBinary)
    created_at: str = Field(sa_type=sa.Text)
    created_by: str = Field(sa_type=sa.Text)


class PriceBook(Row, table=True):
    """A price book by name, whole or in part, as it was sent."""

    __tablename__ = "price_books"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    name: str = Field(sa_type=sa.Text, unique=True)
    revision: int
    document: str = Field(sa_type=sa.Text)
    changed_at: str = Field(sa_type=sa.Text)
    changed_by: str = Field(sa_type=sa.Text)


class Quote(SQLModel, table=True):
    """A quote and its state; what it says stands in its paper."""

    __tablename__ = "quotes"
    __table_args__ = (sa.Index("ix_quotes_state_valid_until", "state", "valid_until"),)

    number: int = Field(primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False})
    job_id: int = Field(foreign_key="jobs.id", sa_type=IDS, index=True)
    job_revision: int
    revision: int
    first: int = Field(sa_type=sa.BigInteger)  # number of the first quote of those that revise one another
    revises: int | None = Field(default=None, foreign_key="quotes.number", sa_type=sa.BigInteger)
    state: str = Field(sa_type=sa.Text)
    pricebook: str | None = Field(default=None, sa_type=sa.Text)
    currency: str = Field(sa_type=sa.Text)
    total: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text, index=True)
    created_by: str = Field(sa_type=sa.Text)
    issued_at: str | None = Field(default=None, sa_type=sa.Text)
    issued_by: str | None = Field(default=None, sa_type=sa.Text)
    valid_until: str | None = Field(default=None, sa_type=sa.Text)
    settled_at: str | None = Field(default=None, sa_type=sa.Text)  # when it was accepted, declined, superseded, expired
    settled_by: str | None = Field(default=None, sa_type=sa.Text)


class Paper(SQLModel, table=True):
    """All that a quote says and stands on. Once issued (`sha256` is there) the database refuses to change it."""

    __tablename__ = "papers"

    number: int = Field(
        foreign_key="quotes.number", primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False}
    )
    engine: str = Field(sa_type=sa.Text)
    tables_sha256: str = Field(sa_type=sa.Text)
    job: str = Field(sa_type=sa.Text)
    pricebook: str = Field(sa_type=sa.Text)
    estimate: str = Field(sa_type=sa.Text)
    explanations: bytes = Field(sa_type=sa.LargeBinary)  # JSON, packed by zlib
    sha256: str | None = Field(default=None, sa_type=sa.Text)
    workbook: bytes | None = Field(default=None, sa_type=sa.LargeBinary)
    # the customer's; in quotes issued before it was there, the shop's own without its sheets of cost
    workbook_without_cost: bytes | None = Field(default=None, sa_type=sa.LargeBinary)
    letters: bytes | None = Field(default=None, sa_type=sa.LargeBinary)  # JSON, base64 of the PDF by language
    pack: bytes | None = Field(default=None, sa_type=sa.LargeBinary)  # the field lead's, as PDF
    workbooks: bytes | None = Field(default=None, sa_type=sa.LargeBinary)  # the customer's in other languages, the same


class Actual(Row, table=True):
    """What happened, as it was recorded and as it was set beside the estimate then.

    A later record of one quote stands beside the earlier ones, unless it says that it replaces one.
    """

    __tablename__ = "actuals"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    job_id: int = Field(foreign_key="jobs.id", sa_type=IDS, index=True)
    number: int = Field(foreign_key="quotes.number", sa_type=sa.BigInteger, index=True)
    replaces: int | None = Field(default=None, foreign_key="actuals.id", sa_type=IDS)
    document: str = Field(sa_type=sa.Text)
    judged: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text)
    created_by: str = Field(sa_type=sa.Text)


class Variation(SQLModel, table=True):
    """A variation order of an accepted quote; what it says never changes, only whether it was accepted or declined."""

    __tablename__ = "variations"

    quote: int = Field(foreign_key="quotes.number", primary_key=True, sa_type=sa.BigInteger)
    number: int = Field(primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False})
    state: str = Field(sa_type=sa.Text)
    currency: str = Field(sa_type=sa.Text)
    total: str = Field(sa_type=sa.Text)
    document: str = Field(sa_type=sa.Text)
    sha256: str = Field(sa_type=sa.Text)
    papers: bytes = Field(sa_type=sa.LargeBinary)  # as those of `Paper.letters`
    created_at: str = Field(sa_type=sa.Text)
    created_by: str = Field(sa_type=sa.Text)
    settled_at: str | None = Field(default=None, sa_type=sa.Text)
    settled_by: str | None = Field(default=None, sa_type=sa.Text)  # who noted it
    settled: str | None = Field(default=None, sa_type=sa.Text)  # JSON: who of the customer said so, and how


class Invoice(SQLModel, table=True):
    """An invoice, or the credit note that cancels one; it never changes, and numbers have no gaps."""

    __tablename__ = "invoices"

    number: int = Field(primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False})
    quote: int = Field(foreign_key="quotes.number", sa_type=sa.BigInteger, index=True)
    cancels: int | None = Field(default=None, foreign_key="invoices.number", sa_type=sa.BigInteger, unique=True)
    currency: str = Field(sa_type=sa.Text)
    total: str = Field(sa_type=sa.Text)
    document: str = Field(sa_type=sa.Text)
    sha256: str = Field(sa_type=sa.Text)
    papers: bytes = Field(sa_type=sa.LargeBinary)  # the same
    issued_at: str = Field(sa_type=sa.Text, index=True)
    issued_by: str = Field(sa_type=sa.Text)


class Calibration(Row, table=True):
    """What recorded jobs had taught when an owner accepted it; the last one is in force, none is ever changed."""

    __tablename__ = "calibrations"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)  # its version
    document: str = Field(sa_type=sa.Text)
    sha256: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text)
    created_by: str = Field(sa_type=sa.Text)


class Token(Row, table=True):
    """Who may come in, by the hash of a token that was shown once."""

    __tablename__ = "tokens"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    name: str = Field(sa_type=sa.Text, index=True)
    role: str = Field(sa_type=sa.Text)
    sha256: str = Field(sa_type=sa.Text, unique=True)
    created_at: str = Field(sa_type=sa.Text)
    expires_at: str | None = Field(default=None, sa_type=sa.Text)
    revoked_at: str | None = Field(default=None, sa_type=sa.Text)
    last_used_at: str | None = Field(default=None, sa_type=sa.Text)


class Session(Row, table=True):
    """A browser that is signed in with a token; it ends with it."""

    __tablename__ = "sessions"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    token_id: int = Field(foreign_key="tokens.id", ondelete="CASCADE", sa_type=IDS, index=True)
    sha256: str = Field(sa_type=sa.Text, unique=True)
    created_at: str = Field(sa_type=sa.Text)
    expires_at: str = Field(sa_type=sa.Text)
    revoked_at: str | None = Field(default=None, sa_type=sa.Text)
    last_used_at: str | None = Field(default=None, sa_type=sa.Text)


class Counter(SQLModel, table=True):
    """The last number given, by kind; it only rises."""

    __tablename__ = "counters"

    name: str = Field(primary_key=True, sa_type=sa.Text)
    last: int = Field(sa_type=sa.BigInteger)


class AuditEntry(Row, table=True):
    """Who did what; the database refuses to change or remove a row."""

    __tablename__ = "audit"

    id: int | None = Field(default=None, primary_key=True, sa_type=IDS)
    at: str = Field(sa_type=sa.Text, index=True)
    actor: str = Field(sa_type=sa.Text)
    role: str = Field(sa_type=sa.Text)
    action: str = Field(sa_type=sa.Text)
    subject: str = Field(sa_type=sa.Text)
    detail: str = Field(default="{}", sa_type=sa.Text)
    request: str = Field(default="", sa_type=sa.Text)


class Replay(SQLModel, table=True):
    """The first answer to a request that named an idempotency key, kept for a day; `actor` is a token, not its name."""

    __tablename__ = "replays"

    actor: str = Field(primary_key=True, sa_type=sa.Text)
    key: str = Field(primary_key=True, sa_type=sa.Text)
    route: str = Field(sa_type=sa.Text)
    body_sha256: str = Field(sa_type=sa.Text)
    status: int
    headers: str = Field(sa_type=sa.Text)
    body: str = Field(sa_type=sa.Text)
    created_at: str = Field(sa_type=sa.Text, index=True)


# Rows of a later table may point to rows of an earlier one.
ORDER: tuple[type[SQLModel], ...] = (
    Counter, Customer, Equipment, PriceBook, Job, JobRevision, Photo, Quote, Paper, Actual, Variation, Invoice,
    Calibration, Token, Session, AuditEntry, Replay, Resource, Holiday, Placement, Booking,
)  # fmt: skip
