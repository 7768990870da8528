"""Faults of the store, each with what is wrong and what would be right.

StoreError
├── UnusableError      the database cannot be used as it is: the service does not start
├── UnavailableError   the database cannot answer now: locked, full, read-only, gone (503)
│   └── OvertakenError somebody else took the number meanwhile; asked again within the service first
├── MissingError       there is no such job, quote or price book (404)
├── StateError         the state of a thing forbids it (409)
├── StaleError         someone else changed it since it was read (412)
├── ReusedKeyError     an idempotency key that stood for another request (422)
└── AlteredError       what is stored is not what was issued (500, with a type of its own)
"""

__all__ = [
    "AlteredError", "MissingError", "OvertakenError", "ReusedKeyError", "StaleError", "StateError", "StoreError",
    "UnavailableError", "UnusableError",
]  # fmt: skip


class StoreError(Exception):
    """Base of every fault of the store; its text is for people."""


class UnusableError(StoreError):
    """The database cannot be used as it is."""


class UnavailableError(StoreError):
    """The database cannot answer now; asking again later may help."""


class OvertakenError(UnavailableError):
    """Somebody else took the number that was to be given; making it again helps."""


class MissingError(StoreError):
    """There is no such thing."""


class StateError(StoreError):
    """The state of a thing forbids what was asked."""


class StaleError(StoreError):
    """The thing was changed since it was read."""


class ReusedKeyError(StoreError):
    """An idempotency key was used for another request."""


class AlteredError(StoreError):
    """What is stored of an issued quote is not what was issued."""
