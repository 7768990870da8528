"""A diary: technicians, rigs, days off, accepted quotes placed on days."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"

IDS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def text(name: str, *, null: bool = False) -> sa.Column[str]:
    """Return a column of text."""
    return sa.Column(name, sa.Text(), nullable=null)


def upgrade() -> None:
    """Make the tables of the diary."""
    op.create_table(
        "resources", sa.Column("id", IDS, primary_key=True),
        *(text(name) for name in ("kind", "key", "name", "added_at", "added_by")), text("removed_at", null=True),
        sa.UniqueConstraint("kind", "key"), sqlite_autoincrement=True,
    )  # fmt: skip
    op.create_table(
        "holidays", sa.Column("date", sa.Text(), primary_key=True),
        *(text(name) for name in ("name", "added_at", "added_by")),
    )  # fmt: skip
    op.create_table(
        "placements",
        sa.Column("number", sa.BigInteger(), sa.ForeignKey("quotes.number"), primary_key=True, autoincrement=False),
        *(text(name) for name in ("start", "until", "plan", "placed_at", "placed_by")),
    )
    for column in ("start", "until"):
        op.create_index(f"ix_placements_{column}", "placements", [column])
    op.create_table(
        "bookings",
        text("date"),
        sa.Column("resource_id", IDS, sa.ForeignKey("resources.id"), nullable=False),
        sa.Column("number", sa.BigInteger(), sa.ForeignKey("placements.number", ondelete="CASCADE"), nullable=False),
        sa.Column("day", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("date", "resource_id"),
    )
    op.create_index("ix_bookings_number", "bookings", ["number"])
