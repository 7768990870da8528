"""What recorded jobs have taught is kept by version, and a version that was accepted is never changed."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

IDS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
NEVER = "a calibration that was accepted is never changed"


def upgrade() -> None:
    """Make the table of calibrations and what guards it."""
    op.create_table(
        "calibrations",
        sa.Column("id", IDS, primary_key=True),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("document", "sha256", "created_at", "created_by")),
        sqlite_autoincrement=True,
    )
    guards = _sqlite() if op.get_bind().dialect.name == "sqlite" else _postgresql()
    for guard in guards:
        op.execute(sa.text(guard))


def _sqlite() -> list[str]:
    there = "WHEN EXISTS (SELECT 1 FROM calibrations WHERE id = NEW.id OR rowid = NEW.rowid)"
    rules = [("UPDATE", ""), ("DELETE", ""), ("INSERT", there)]  # a row put in another's place fires no DELETE
    return [
        f"CREATE TRIGGER calibrations_no_{event.lower()} BEFORE {event} ON calibrations FOR EACH ROW {when} "
        f"BEGIN SELECT RAISE(ABORT, '{NEVER}'); END"
        for event, when in rules
    ]


def _postgresql() -> list[str]:
    refuse = "boreworth_keep_calibrations()"
    return [
        f"CREATE FUNCTION {refuse} RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION '{NEVER}'; END $$",
        f"CREATE TRIGGER calibrations_keep BEFORE UPDATE OR DELETE ON calibrations "
        f"FOR EACH ROW EXECUTE FUNCTION {refuse}",
        f"CREATE TRIGGER calibrations_no_truncate BEFORE TRUNCATE ON calibrations EXECUTE FUNCTION {refuse}",
    ]
