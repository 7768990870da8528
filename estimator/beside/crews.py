"""What other people would change: the same plan with one technician more or less, or with a second machine."""

from collections.abc import Iterator
from dataclasses import replace

from estimator.beside.variants import dearer
from estimator.days.crew import Crew
from estimator.days.timetable import crew_of
from estimator.document.schedule import OtherCrew
from estimator.express import all_shown, money
from estimator.formula import choice, difference
from estimator.money.bill import Bill, bill_of
from estimator.money.lines import minor_of
from estimator.plans import Figures
from estimator.road import arrange, run

__all__ = ["crews_of"]


def _others(crew: Crew, lines: int) -> Iterator[tuple[str, Crew]]:
    """Yield the other crews worth a look, by name."""
    if crew.technicians > 1:
        yield "one technician less", replace(crew, technicians=crew.technicians - 1)
    yield "one technician more", replace(crew, technicians=crew.technicians + 1)
    if crew.machines < lines:
        more = replace(crew, machines=crew.machines + 1)
        yield "a second rig" if crew.machines == 1 else "one rig more", more
        yield "one technician and one rig more", replace(more, technicians=crew.technicians + 1)


def crews_of(figures: Figures, bill: Bill) -> list[OtherCrew]:
    """Return what other crews would change: hours on site, days, price."""
    plan, minor = figures.plan, minor_of(figures.plan.book)
    found = []
    for name, crew in _others(crew_of(plan), len({bore.line for bore in plan.bores})):
        order = arrange(plan, figures.bores, crew)
        own = figures.schedule.arrangement
        if (order.technicians, order.machines) == (own.technicians, own.machines):
            continue  # one more machine that the order of work has no use for
        changed = run(plan, figures.bores, order, plan.day)
        other, price = changed.schedule, bill_of(changed).price.total
        one = OtherCrew(
            name=name,
            technicians=choice(crew.technicians, "technicians", "another crew"),
            machines=choice(other.arrangement.machines, "machines", "machines that the order of work uses"),
            on_site_min=other.on_site,
            on_site_more_min=difference(other.on_site, figures.schedule.on_site),
            elapsed_h=other.elapsed,
            elapsed_more_h=difference(other.elapsed, figures.schedule.elapsed),
            price_more=money(dearer(price, bill.price.total), minor),
        )
        found.append(all_shown(one))
    return found
