"""Times as they are kept: texts in UTC of one width, so that their order as texts is their order in time."""

from datetime import UTC, datetime, timedelta

__all__ = ["day_of", "later", "now", "stamp"]


def stamp(moment: datetime) -> str:
    """Return a moment as it is kept, `2026-11-25T17:50:00.000000Z`."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def now() -> str:
    """Return this moment as it is kept."""
    return stamp(datetime.now(UTC))


def later(kept: str, seconds: float) -> str:
    """Return a kept moment moved by some seconds, back where they are negative."""
    return stamp(datetime.fromisoformat(kept) + timedelta(seconds=seconds))


def day_of(text: str, *, end: bool = False) -> str | None:
    """Return a date or moment as someone writes it, as it is kept; None if it is neither.

    A date is its first moment in UTC, or with `end` the first one after it; a moment without a zone is taken as UTC.
    """
    try:
        moment = datetime.fromisoformat(text)
        if end and len(text) == len("2026-11-25"):
            moment += timedelta(days=1)
        return stamp(moment.replace(tzinfo=moment.tzinfo or UTC))
    except (ValueError, OverflowError):
        return None
