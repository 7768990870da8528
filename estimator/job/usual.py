"""What is typed and lies outside all that is usual: a slip of unit or decimal point, until somebody looks."""

from typing import Any, Literal

from estimator.job.bore import Bore
from estimator.job.job import Job
from estimator.tables import Tables
from estimator.tables.messages import Message, about, say
from estimator.tables.rows import Usual
from estimator.units import factor

__all__ = ["odd_in_bore", "odd_in_job"]


def odd_in_job(job: Job, facts: Tables) -> list[Message]:
    """Return what of the site and of the customer's machine lies outside the usual, each at its place."""
    hours = None if job.equipment is None or job.equipment.hours is None else job.equipment.hours * factor("h")
    said = [about(f"site.{name}", one) for name, one in _odd("site", job.site, facts)]
    return said + [about(f"equipment.{name}", one) for name, one in _odd("equipment", {"hours": hours}, facts)]


def odd_in_bore(bore: Bore, facts: Tables) -> list[Message]:
    """Return what of a bore lies outside the usual."""
    return [one for _, one in _odd("bore", bore, facts)]


def _odd(of: Literal["site", "equipment", "bore"], part: Any, facts: Tables) -> list[tuple[str, Message]]:  # noqa: ANN401  # a part of the job
    """Return by name what a part of the job has that is less or more than usual; what was not typed is not judged."""
    typed = part if isinstance(part, dict) else {name: getattr(part, name) for name in part.model_fields_set}
    found = []
    for row in facts.rows("usual").values():
        assert isinstance(row, Usual)  # by the table's name
        value = typed.get(row.name) if row.of == of else None
        if isinstance(value, int | float) and not row.low <= value <= row.high:
            found.append((row.name, _said(row, value)))
    return found


def _said(row: Usual, value: float) -> Message:
    """Return that a figure is less or more than usual."""
    words, unit, hint = row.words, row.unit, row.hint
    if value < row.low:
        return say("usual_low", what=words, value=value, limit=row.low, unit=unit, hint=hint)
    return say("usual_high", what=words, value=value, limit=row.high, unit=unit, hint=hint)
