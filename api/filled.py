"""A template filled in: the text of a page."""

import base64
import hashlib
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from api.caller import Caller
from estimator import ENGINE
from exports.signs import kept

__all__ = ["STYLE_HASH", "filled"]

ROOM = Path(__file__).parent / "pages/templates"
STYLE = "".join((ROOM / name).read_text("utf-8") for name in ("style.css", "desk.css"))
STYLE_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
TEMPLATES = Environment(
    loader=FileSystemLoader(ROOM),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
TEMPLATES.filters["paper"] = kept
SHARED: dict[str, Any] = TEMPLATES.globals
SHARED.update(style=Markup(STYLE), engine=ENGINE)  # the style sheet is our own file


def filled(template: str, caller: Caller | None, csrf: str, **content: object) -> str:
    """Return the text of a page.

    Parameters
    ----------
    template
        Its template.
    caller
        Who sees it, if that is known.
    csrf
        The word that its forms bring along.
    content
        What the template shows.
    """
    money = caller is not None and caller.sees_money
    office = caller is not None and caller.sees_cost
    return TEMPLATES.get_template(template).render(caller=caller, csrf=csrf, money=money, office=office, **content)
