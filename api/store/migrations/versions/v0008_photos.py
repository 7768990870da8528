"""Photos of a job."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"

IDS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the table of photos."""
    op.create_table(
        "photos",
        sa.Column("id", IDS, primary_key=True),
        sa.Column("job_id", IDS, sa.ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        *(sa.Column(name, sa.Integer(), nullable=False) for name in ("width", "height", "in_letter")),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("created_at", "created_by")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_photos_job_id", "photos", ["job_id"])
