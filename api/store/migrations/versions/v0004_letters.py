"""A paper also holds its quote's letter in every language."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make room for letters; quotes issued before have none."""
    op.add_column("papers", sa.Column("letters", sa.LargeBinary(), nullable=True))
