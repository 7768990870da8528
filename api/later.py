"""Routes that are promised and not built: each is refused by its path. Delete a row when you build one."""

__all__ = ["LATER", "is_later"]

LATER = ("/api/diary",)


def is_later(path: str) -> bool:
    """Return whether a path is one of the promised ones, or lies below one."""
    return any(path == later or path.startswith(f"{later}/") for later in LATER)
