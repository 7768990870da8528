"""The bores of a job as they are found: each about the axis of its line."""

from estimator.bore.line import LineAxis, line_axes
from estimator.bore.survey import Survey, on_axis, survey
from estimator.errors import JobRefusedError
from estimator.formula import leaf
from estimator.job.job import Bore, Job
from estimator.steps.memo import remembered
from estimator.tables import Tables
from estimator.tables.messages import fault
from estimator.weld.technique import Situation, bound

__all__ = ["ANYWHERE", "surveyed", "thinnest_layer"]

ANYWHERE = Situation("any", "any")


def thinnest_layer(facts: Tables) -> float:
    """Return the least thickness of a sound layer. [m]"""
    low = bound(facts, "layer_thickness", ANYWHERE, "must", "comfort").low
    return leaf(low, "fact", "thinnest_layer", "least thickness of a sound layer, limits table", unit="m")


def _surveyed(bore: Bore, facts: Tables, thinnest: float) -> Survey:
    mark = bore.mark
    if mark is None:
        return survey(bore, facts, thinnest)
    return remembered("survey", (facts.mark, thinnest, mark), lambda: survey(bore, facts, thinnest))


def surveyed(job: Job, facts: Tables, thinnest: float) -> tuple[tuple[LineAxis, ...], list[Survey]]:
    """Return the axes of the lines, and the bores as they are about them; refuse where a line has none."""
    surveys = [_surveyed(bore, facts, thinnest) for bore in job.bores]
    lines = tuple(line_axes(job, surveys, bound(facts, "wall", ANYWHERE, "must").low))
    barred = [fault(f"lines.{line.name}", line.barred()) for line in lines if not line.chosen.feasible]
    if barred:
        raise JobRefusedError(barred)
    placed = {number: one for line in lines for number, one in line.placed().items()}
    return lines, [on_axis(one, placed[n]) if n in placed else one for n, one in enumerate(surveys)]
