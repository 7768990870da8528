"""Who did what and the answers to repeat; what was issued or noted cannot be changed any more."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

IDS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
NEVER = "what was noted in the audit is never changed"
FROZEN = "an issued quote is never changed"


def upgrade() -> None:
    """Make the tables of this version and the triggers that guard it."""
    op.create_table(
        "audit",
        sa.Column("id", IDS, primary_key=True),
        *(
            sa.Column(name, sa.Text(), nullable=False)
            for name in ("at", "actor", "role", "action", "subject", "detail")
        ),
        sa.Column("request", sa.Text(), nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_audit_at", "audit", ["at"])
    op.create_table(
        "replays",
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("actor", "key", "route", "body_sha256")),
        sa.Column("status", sa.Integer(), nullable=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("headers", "body", "created_at")),
        sa.PrimaryKeyConstraint("actor", "key"),
    )
    op.create_index("ix_replays_created_at", "replays", ["created_at"])
    guards = _sqlite() if op.get_bind().dialect.name == "sqlite" else _postgresql()
    for guard in guards:
        op.execute(sa.text(guard))


def _sqlite() -> list[str]:
    rules = [("audit", "", NEVER), ("papers", "WHEN OLD.sha256 IS NOT NULL", FROZEN)]
    return [
        f"CREATE TRIGGER {table}_no_{event.lower()} BEFORE {event} ON {table} FOR EACH ROW {when} "
        f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
        for table, when, said in rules
        for event in ("UPDATE", "DELETE")
    ]


def _postgresql() -> list[str]:
    rules = [("audit", "", NEVER), ("papers", "WHEN (OLD.sha256 IS NOT NULL)", FROZEN)]
    made = []
    for table, when, said in rules:
        refuse = f"boreworth_keep_{table}()"
        made += [
            f"CREATE FUNCTION {refuse} RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION '{said}'; END $$",
            f"CREATE TRIGGER {table}_keep BEFORE UPDATE OR DELETE ON {table} "
            f"FOR EACH ROW {when} EXECUTE FUNCTION {refuse}",
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} EXECUTE FUNCTION {refuse}",
        ]
    return made
