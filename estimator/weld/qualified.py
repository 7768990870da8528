"""What is not welded without a qualified procedure: which cases of the table hold for a bore, and who decides."""

from estimator.bore.survey import Survey
from estimator.tables import Tables
from estimator.tables.rows import Procedure
from estimator.weld.steel import Base
from estimator.weld.technique import Situation, bound

__all__ = ["case_of", "holds"]

ANYWHERE = Situation("any", "any")
OTHER = "carbon refused"


def case_of(applies: str, facts: Tables) -> Procedure:
    """Return the case for something said of a bore; steel of no family of its own counts as high in carbon."""
    rows = {row.applies: row for row in facts.every("procedures", Procedure)}
    return rows.get(applies) or rows[OTHER]


def holds(row: Procedure, survey: Survey, base: Base, thin: bool, facts: Tables) -> bool:
    """Return whether a case of the table holds, or may hold, for a bore."""
    condition = survey.bore.condition
    kind, _, what = row.applies.partition(" ")
    if kind in ("cracks", "hardened", "welded_before", "coated"):
        return str(getattr(condition, kind)) != "no"
    if kind == "family":
        return base.family == what
    if kind == "delivery":
        return base.delivery == what
    return {
        "always": True,
        "brackets": survey.bore.mounts == "welded",
        "wall": thin,
        "carbon": not what and bound(facts, "carbon", ANYWHERE, "comfort").high < base.C,
    }.get(kind, condition.duty == kind)
