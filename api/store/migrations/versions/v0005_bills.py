"""Invoices without gaps, variation orders, and a quote's work pack: frozen and guarded like quotes."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

NEVER = "an invoice is never changed"
ORDERED = "what a variation order says is never changed"
KEPT = ("quote", "number", "currency", "total", "document", "sha256", "papers", "created_at", "created_by")
DATABASE_OWN = {"sqlite": "IS NOT", "postgresql": "IS DISTINCT FROM"}  # unequal, where nothing equals nothing
BEFORE_THE_FIRST = 200_000  # six digits from the first on, and none that a quote has


def upgrade() -> None:
    """Make the tables of this version, the counter of invoices, and the triggers that guard them."""
    op.add_column("papers", sa.Column("pack", sa.LargeBinary(), nullable=True))
    op.add_column("papers", sa.Column("workbooks", sa.LargeBinary(), nullable=True))
    counters = sa.table("counters", sa.column("name"), sa.column("last"))
    op.bulk_insert(counters, [{"name": "invoice", "last": BEFORE_THE_FIRST}])
    _tables()
    for line in _sqlite() if op.get_bind().dialect.name == "sqlite" else _postgresql():
        op.execute(sa.text(line))


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def _tables() -> None:
    quote = sa.ForeignKey("quotes.number")
    op.create_table(
        "variations",
        sa.Column("quote", sa.BigInteger(), quote, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False, autoincrement=False),
        *_texts("state", "currency", "total", "document", "sha256"),
        sa.Column("papers", sa.LargeBinary(), nullable=False),
        *_texts("created_at", "created_by"),
        *(sa.Column(name, sa.Text(), nullable=True) for name in ("settled_at", "settled_by", "settled")),
        sa.PrimaryKeyConstraint("quote", "number"),
    )
    op.create_table(
        "invoices",
        sa.Column("number", sa.BigInteger(), primary_key=True, autoincrement=False),
        sa.Column("quote", sa.BigInteger(), sa.ForeignKey("quotes.number"), nullable=False),
        sa.Column("cancels", sa.BigInteger(), sa.ForeignKey("invoices.number"), nullable=True, unique=True),
        *_texts("currency", "total", "document", "sha256"),
        sa.Column("papers", sa.LargeBinary(), nullable=False),
        *_texts("issued_at", "issued_by"),
    )
    op.create_index("ix_invoices_quote", "invoices", ["quote"])
    op.create_index("ix_invoices_issued_at", "invoices", ["issued_at"])


def _changed(unequal: str) -> str:
    """Return when a change of a variation order is none that its life brings: it is accepted or declined once."""
    frozen = " OR ".join(f"NEW.{name} {unequal} OLD.{name}" for name in KEPT)
    return f"{frozen} OR OLD.state <> 'offered' OR NEW.state NOT IN ('accepted', 'declined')"


def _sqlite() -> list[str]:
    there = "EXISTS (SELECT 1 FROM {0} WHERE ({1}) OR rowid = NEW.rowid)"
    ordered = there.format("variations", "quote = NEW.quote AND number = NEW.number")
    invoiced = there.format("invoices", "number = NEW.number OR cancels = NEW.cancels")
    moved = "NEW.rowid <> OLD.rowid"
    rules = [  # a row put in another's place (INSERT OR REPLACE, UPDATE OR REPLACE) fires no trigger of DELETE
        ("invoices_no_update", "UPDATE", "invoices", "1", NEVER),
        ("invoices_no_delete", "DELETE", "invoices", "1", NEVER),
        ("invoices_no_replace", "INSERT", "invoices", invoiced, NEVER),
        ("variations_no_update", "UPDATE", "variations", f"{_changed(DATABASE_OWN['sqlite'])} OR {moved}", ORDERED),
        ("variations_no_delete", "DELETE", "variations", "1", ORDERED),
        ("variations_no_replace", "INSERT", "variations", ordered, ORDERED),
    ]
    return [
        f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW WHEN {when} "
        f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
        for name, event, table, when, said in rules
    ]


def _postgresql() -> list[str]:
    made = []
    for table, said, when in (
        ("invoices", NEVER, ""),
        ("variations", ORDERED, f"WHEN ({_changed(DATABASE_OWN['postgresql'])}) "),
    ):
        refuse = f"boreworth_keep_{table}()"
        made += [
            f"CREATE FUNCTION {refuse} RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION '{said}'; END $$",
            f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} FOR EACH ROW {when}EXECUTE FUNCTION {refuse}",
            f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} FOR EACH ROW EXECUTE FUNCTION {refuse}",
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} EXECUTE FUNCTION {refuse}",
        ]
    return made
