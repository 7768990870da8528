"""Which of the user's machines does a job: the first that bores every bore, and why the others cannot."""

from collections.abc import Sequence

from estimator.book.pricebook import PriceBook
from estimator.book.rig import Equipment
from estimator.bore.survey import Survey
from estimator.cut.bars import bar_for, passage_of
from estimator.cut.span import Span
from estimator.errors import JobRefusedError
from estimator.tables import Tables
from estimator.tables.messages import Message, fault, say

__all__ = ["machine_for"]


def _why_not(survey: Survey, span: Span, machine: Equipment, facts: Tables) -> Message | None:
    """Return why a machine cannot bore a bore; None where it can."""
    size, largest = survey.bore.nominal_diameter, survey.sizes.cleanup
    if size < machine.smallest_bore:
        return say("rig_too_large", size=size, least=machine.smallest_bore)
    if largest > machine.largest_bore:
        return say("rig_too_small", size=largest, most=machine.largest_bore)
    if survey.bore.sector is not None and not machine.part_turns:
        return say("rig_no_part_turns")
    found = bar_for(passage_of(survey, facts), span, machine, facts)
    return found if isinstance(found, Message) else None


def machine_for(surveys: Sequence[Survey], spans: Sequence[Span], book: PriceBook) -> tuple[PriceBook, list[Message]]:
    """Return the book with the first machine that bores every bore, and a word where that is not the usual one.

    Raises
    ------
    JobRefusedError
        If the book has further machines and none bores all of them.
    """
    if not book.machines:
        return book, []
    machines = [("", book.equipment), *book.machines.items()]
    against: list[tuple[str, int, Message]] = []
    for name, machine in machines:
        whys = [_why_not(one, span, machine, book.facts) for one, span in zip(surveys, spans, strict=True)]
        first = next((number for number, why in enumerate(whys) if why), None)
        if first is None:
            said = [say("rig_planned", rig=machine.name, other=before, why=why) for before, _, why in against[:1]]
            return (book.with_machine(name) if name else book), said
        against.append((machine.name, first, whys[first] or say("nothing")))
    told = tuple(say("rig_why", rig=rig, bore=surveys[n].bore.name, why=why) for rig, n, why in against)
    raise JobRefusedError([fault(f"bores.{against[0][1]}.nominal_diameter", say("rig_none", rigs=told))])
