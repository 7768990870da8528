"""Which of the user's machines does a job: the first that bores every bore, and why the others cannot."""

from collections.abc import Sequence

from estimator.book.pricebook import PriceBook
from estimator.book.rig import Equipment
from estimator.bore.survey import Survey
from estimator.cut.bars import bar_for, passage_of
from estimator.cut.span import Span
from estimator.errors import Fault, JobRefusedError
from estimator.tables import Tables
from estimator.units import in_mm

__all__ = ["machine_for"]


def _why_not(survey: Survey, span: Span, machine: Equipment, facts: Tables) -> str:
    """Return why a machine cannot bore a bore; empty where it can."""
    size, largest = survey.bore.nominal_diameter, survey.sizes.cleanup
    if size < machine.smallest_bore:
        return f"{in_mm(size)} is under its {in_mm(machine.smallest_bore)}"
    if largest > machine.largest_bore:
        return f"{in_mm(largest)} is over its {in_mm(machine.largest_bore)}"
    if survey.bore.sector is not None and not machine.part_turns:
        return "it cannot weld part of a turn"
    found = bar_for(passage_of(survey, facts), span, machine, facts)
    return found if isinstance(found, str) else ""


def machine_for(surveys: Sequence[Survey], spans: Sequence[Span], book: PriceBook) -> tuple[PriceBook, list[str]]:
    """Return the book with the first machine that bores every bore, and a word where that is not the usual one.

    Raises
    ------
    JobRefusedError
        If the book has further machines and none bores all of them.
    """
    if not book.machines:
        return book, []
    machines = [("", book.equipment), *book.machines.items()]
    against: list[tuple[str, int, str]] = []
    for name, machine in machines:
        whys = [_why_not(one, span, machine, book.facts) for one, span in zip(surveys, spans, strict=True)]
        first = next((number for number, why in enumerate(whys) if why), None)
        if first is None:
            said = [f"{machine.name} is planned: {before} cannot, {why}" for before, _, why in against[:1]]
            return (book.with_machine(name) if name else book), said
        against.append((machine.name, first, whys[first]))
    told = "; ".join(f"{name}: bore {surveys[number].bore.name}, {why}" for name, number, why in against)
    raise JobRefusedError(
        [
            Fault(
                f"bores.{against[0][1]}.nominal_diameter",
                f"no one machine of the book bores all of them: {told}; split the job",
            )
        ]
    )
