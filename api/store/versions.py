"""The versions of the tables, and the table that says which one a database has."""

__all__ = ["EARLIER", "HEAD", "VERSION_TABLE"]

VERSION_TABLE = "boreworth_version"
EARLIER = ("0001", "0002", "0003", "0004", "0005", "0006", "0007")  # from oldest to newest; each can be migrated
HEAD = "0008"
