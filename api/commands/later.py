"""Commands that are promised and not built: each is refused by its name. Delete a row when you build one."""

from collections.abc import Callable

from api.commands.edge import WRONG, stop

__all__ = ["LATER", "refusal"]

LATER: dict[str, str] = {}


def refusal(name: str) -> Callable[[], None]:
    """Return the command of that name, which only says that it is not built."""

    def refuse() -> None:
        stop(WRONG, f"boreworth {name}: not built yet")

    return refuse
