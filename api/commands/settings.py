"""`boreworth settings`: what is set, and where it came from."""

from typing import TYPE_CHECKING, Any

from api.commands.edge import WRONG, AsJson, print_json, print_page, say, stop

if TYPE_CHECKING:
    from api.settings import Settings

__all__ = ["read_settings", "settings"]


def read_settings(**given: object) -> "Settings":
    """Return the settings, those given on the command line before the variables; end the command if one is wrong."""
    from pydantic import ValidationError

    from api.settings import PREFIX, Settings

    chosen: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    try:
        return Settings(**chosen)
    except ValidationError as error:
        faults = error.errors(include_url=False, include_input=False)
        stop(WRONG, *(f"{PREFIX}{str(one['loc'][0]).upper()}: {one['msg']}" for one in faults))


def settings(as_json: AsJson = False) -> None:
    """Print every setting, where it came from, and what it is for; passwords are masked."""
    from api.settings import PREFIX, listed, unknown_variables

    found = listed(read_settings())
    for line in unknown_variables():
        say(f"warning: {line}")
    if as_json:
        print_json([{"name": one.name, "value": one.value, "source": one.source} for one in found])
        return
    wide = [max(len(getattr(one, part)) for one in found) for part in ("name", "value")]
    rows = [f"{one.name:<{wide[0]}}  {one.value:<{wide[1]}}  {one.source}\n    {one.meaning}" for one in found]
    print_page("\n".join([*rows, "", f"Set one by its variable, for instance {PREFIX}PORT=8080.", ""]))
