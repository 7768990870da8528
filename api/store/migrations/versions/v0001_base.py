"""The first tables: jobs, quotes, price books, what happened, and who may come in."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

IDS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def text(name: str, *, null: bool = False, **more: bool) -> sa.Column[str]:
    """Return a column of text."""
    return sa.Column(name, sa.Text(), nullable=null, **more)  # pyrefly: ignore[bad-argument-type] # only `unique` is given


def number(name: str, *, null: bool = False) -> sa.Column[int]:
    """Return a column of whole numbers."""
    return sa.Column(name, sa.Integer(), nullable=null)


def table(name: str, *columns: sa.schema.SchemaItem) -> None:
    """Make a table whose rows are counted; a number is not used again."""
    op.create_table(name, sa.Column("id", IDS, primary_key=True), *columns, sqlite_autoincrement=True)


def to(
    column: str, target: str, kind: sa.types.TypeEngine[int] = IDS, *, null: bool = False, cascade: bool = False
) -> sa.Column[int]:
    """Return a column that points to another table."""
    key = sa.ForeignKey(target, ondelete="CASCADE" if cascade else None)
    return sa.Column(column, kind, key, nullable=null)


def upgrade() -> None:
    """Make the tables of this version."""
    _shop()
    _jobs()
    _quotes()
    _access()


def _shop() -> None:
    counters = op.create_table(
        "counters",
        sa.Column("name", sa.Text(), primary_key=True),
        sa.Column("last", sa.BigInteger(), nullable=False),
    )
    op.bulk_insert(counters, [{"name": "quote", "last": 100_000}])  # six digits from the first on
    table("customers", text("key", unique=True), text("name"), text("created_at"))
    table(
        "equipment", text("key", unique=True), to("customer_id", "customers.id", null=True), text("description"),
        text("created_at"),
    )  # fmt: skip
    op.create_index("ix_equipment_customer_id", "equipment", ["customer_id"])
    table(
        "price_books", text("name", unique=True), number("revision"), text("document"), text("changed_at"),
        text("changed_by"),
    )  # fmt: skip


def _jobs() -> None:
    table(
        "jobs", number("revision"), text("reference"), text("title", null=True),
        to("customer_id", "customers.id", null=True), to("equipment_id", "equipment.id", null=True),
        text("pricebook", null=True), text("state"), text("search"), text("created_at"), text("changed_at"),
    )  # fmt: skip
    for column in ("reference", "customer_id", "equipment_id", "created_at"):
        op.create_index(f"ix_jobs_{column}", "jobs", [column])
    op.create_index("ix_jobs_state_id", "jobs", ["state", "id"])
    op.create_table(
        "job_revisions",
        to("job_id", "jobs.id", cascade=True),
        number("revision"),
        *(text(name) for name in ("document", "sha256", "created_at", "created_by")),
        sa.PrimaryKeyConstraint("job_id", "revision"),
    )


def _quotes() -> None:
    large = sa.BigInteger()
    op.create_table(
        "quotes", sa.Column("number", large, primary_key=True, autoincrement=False), to("job_id", "jobs.id"),
        number("job_revision"), number("revision"), sa.Column("first", large, nullable=False),
        to("revises", "quotes.number", large, null=True), text("state"), text("pricebook", null=True),
        text("currency"), text("total"), text("created_at"), text("created_by"),
        *(text(name, null=True) for name in ("issued_at", "issued_by", "valid_until", "settled_at", "settled_by")),
    )  # fmt: skip
    op.create_index("ix_quotes_job_id", "quotes", ["job_id"])
    op.create_index("ix_quotes_created_at", "quotes", ["created_at"])
    op.create_index("ix_quotes_state_valid_until", "quotes", ["state", "valid_until"])
    op.create_table(
        "papers",
        sa.Column("number", large, sa.ForeignKey("quotes.number"), primary_key=True, autoincrement=False),
        *(text(name) for name in ("engine", "tables_sha256", "job", "pricebook", "estimate")),
        sa.Column("explanations", sa.LargeBinary(), nullable=False),
        text("sha256", null=True),
        *(sa.Column(name, sa.LargeBinary(), nullable=True) for name in ("workbook", "workbook_without_cost")),
    )
    table(
        "actuals", to("job_id", "jobs.id"), to("number", "quotes.number", large),
        to("replaces", "actuals.id", null=True), text("document"), text("judged"), text("created_at"),
        text("created_by"),
    )  # fmt: skip
    op.create_index("ix_actuals_job_id", "actuals", ["job_id"])
    op.create_index("ix_actuals_number", "actuals", ["number"])


def _access() -> None:
    table(
        "tokens", text("name"), text("role"), text("sha256", unique=True), text("created_at"),
        *(text(name, null=True) for name in ("expires_at", "revoked_at", "last_used_at")),
    )  # fmt: skip
    op.create_index("ix_tokens_name", "tokens", ["name"])
    table(
        "sessions", to("token_id", "tokens.id", cascade=True), text("sha256", unique=True), text("created_at"),
        text("expires_at"), text("revoked_at", null=True), text("last_used_at", null=True),
    )  # fmt: skip
    op.create_index("ix_sessions_token_id", "sessions", ["token_id"])
