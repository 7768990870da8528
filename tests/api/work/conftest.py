"""What the tests of the pool share with those of the store: servers, and databases of a test's own."""

from tests.api.store.conftest import cluster, nursery, postgresql, sqlite

__all__ = ["cluster", "nursery", "postgresql", "sqlite"]
