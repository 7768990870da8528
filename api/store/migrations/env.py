"""What Alembic runs: the versions that are missing, on the connection it was given."""

from alembic import context

from api.store.versions import VERSION_TABLE

context.configure(connection=context.config.attributes["connection"], version_table=VERSION_TABLE)
context.run_migrations()
