"""What was issued or noted also withstands being replaced, a quote's row is guarded, and replays belong to a token."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

NEVER = "what was noted in the audit is never changed"
FROZEN = "an issued quote is never changed"
KEPT = (
    "number", "job_id", "job_revision", "revision", "first", "revises", "pricebook", "currency", "total", "created_at",
    "created_by", "issued_at", "issued_by", "valid_until",
)  # fmt: skip
STEPS = {
    "issued": ("accepted", "declined", "superseded", "expired"),
    "accepted": ("superseded",),
    "declined": ("superseded",),
    "expired": ("superseded",),
}
DATABASE_OWN = {"sqlite": "IS NOT", "postgresql": "IS DISTINCT FROM"}  # unequal, where nothing equals nothing


def upgrade() -> None:
    """Make the triggers of this version, and let replays name whom they belong to by token."""
    kind = op.get_bind().dialect.name
    for line in (*_replays(), *(_sqlite() if kind == "sqlite" else _postgresql())):
        op.execute(sa.text(line))


def _replays() -> list[str]:
    """Return what turns names into tokens; a name that stood for several tokens tells nothing."""
    token = "SELECT {} FROM tokens WHERE tokens.name = replays.actor"
    several = token.format("count(*)")
    return [
        f"DELETE FROM replays WHERE actor <> 'loopback' AND (actor LIKE 'token %' OR ({several}) <> 1)",
        f"UPDATE replays SET actor = ({token.format(chr(39) + 'token ' + chr(39) + ' || max(tokens.id)')}) "
        "WHERE actor <> 'loopback'",
    ]


def _changed(unequal: str) -> str:
    """Return when a change of a quote's row is none that the life of a quote brings."""
    frozen = " OR ".join(f"NEW.{name} {unequal} OLD.{name}" for name in KEPT)
    steps = " OR ".join(
        f"(OLD.state = '{state}' AND NEW.state IN ({', '.join(repr(one) for one in after)}))"
        for state, after in STEPS.items()
    )
    settled = f"NEW.settled_at {unequal} OLD.settled_at OR NEW.settled_by {unequal} OLD.settled_by"
    return (
        f"(OLD.state = 'draft' AND (NEW.number <> OLD.number OR NEW.state NOT IN ('draft', 'issued'))) OR "
        f"(OLD.state <> 'draft' AND ({frozen} OR (NEW.state = OLD.state AND ({settled})) OR "
        f"(NEW.state <> OLD.state AND NOT ({steps}))))"
    )


def _sqlite() -> list[str]:
    unequal = DATABASE_OWN["sqlite"]
    there = "EXISTS (SELECT 1 FROM {0} WHERE {1} = NEW.{1} OR rowid = NEW.rowid)"
    rules = [  # a row put in another's place (INSERT OR REPLACE, UPDATE OR REPLACE) fires no trigger of DELETE
        ("audit_no_replace", "INSERT", "audit", there.format("audit", "id"), NEVER),
        ("papers_no_replace", "INSERT", "papers", there.format("papers", "number"), FROZEN),
        ("quotes_no_replace", "INSERT", "quotes", there.format("quotes", "number"), FROZEN),
        ("papers_no_move", "UPDATE", "papers", "NEW.number <> OLD.number OR NEW.rowid <> OLD.rowid", FROZEN),
        ("quotes_no_move", "UPDATE", "quotes", "NEW.rowid <> OLD.rowid", FROZEN),
        ("quotes_no_update", "UPDATE", "quotes", _changed(unequal), FROZEN),
        ("quotes_no_delete", "DELETE", "quotes", "OLD.state <> 'draft'", FROZEN),
    ]
    return [
        f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW WHEN {when} "
        f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
        for name, event, table, when, said in rules
    ]


def _postgresql() -> list[str]:
    refuse = "boreworth_keep_quotes()"
    changed = _changed(DATABASE_OWN["postgresql"])
    on = "CREATE TRIGGER {} BEFORE {} ON {} FOR EACH ROW WHEN ({}) EXECUTE FUNCTION {}"
    return [
        f"CREATE FUNCTION {refuse} RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION '{FROZEN}'; END $$",
        on.format("quotes_no_update", "UPDATE", "quotes", changed, refuse),
        on.format("quotes_no_delete", "DELETE", "quotes", "OLD.state <> 'draft'", refuse),
        on.format("papers_no_move", "UPDATE", "papers", "NEW.number <> OLD.number", "boreworth_keep_papers()"),
        f"CREATE TRIGGER quotes_no_truncate BEFORE TRUNCATE ON quotes EXECUTE FUNCTION {refuse}",
    ]
