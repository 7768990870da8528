"""Choose how every bore of a job is welded: one search over all bores and the wires on the van."""

from estimator.bore.survey import Survey
from estimator.errors import Fault, JobRefusedError
from estimator.pricebook import PriceBook
from estimator.tables.rows import Gas, TimeStandard
from estimator.units import deci
from estimator.weld import refuse
from estimator.weld.plan import Alternative, WeldPlan, cases_for, gas_for, wires_for
from estimator.weld.search import Case, Found, search
from estimator.weld.settle import plan_weld
from estimator.weld.steel import Base

__all__ = ["choose_welds"]

FURTHER_LAYER = ("gap", "layer")  # what each further layer costs besides its arc; slag of cored wire besides


def choose_welds(surveys: list[Survey], bases: list[Base], book: PriceBook) -> tuple[list[WeldPlan], list[str]]:
    """Choose wire, gas and layers of every bore with one search over all of them."""
    faults: list[Fault] = []
    cases: list[Case] = []
    owners: list[tuple[int, str]] = []
    for number, (one, base) in enumerate(zip(surveys, bases, strict=True)):
        wires, wrong = wires_for(one, book, f"bores.{number}")
        faults += wrong
        thin = refuse.is_thin(one, book)
        for case in cases_for(one, wires, base, thin, book, lambda slag: gap_time(book, slag)):
            cases.append(case)
            owners.append((number, f"bores.{number}"))
    faults += [fault for number, one in enumerate(surveys) for fault in _both_ways(one, book, f"bores.{number}")]
    if faults:
        raise JobRefusedError(faults)
    found = search(cases, book.facts)
    plans, warnings = [], []
    for number, one in enumerate(surveys):
        mine = [(case, hit) for case, hit, owner in zip(cases, found, owners, strict=True) if owner[0] == number]
        plan, said, wrong = _choose(one, mine, book, f"bores.{number}")
        faults += wrong
        warnings += said
        plans += [plan] if plan else []
    if faults:
        raise JobRefusedError(faults)
    return plans, warnings


def _both_ways(one: Survey, book: PriceBook, path: str) -> list[Fault]:
    """Return why alternating layers, if pinned, cannot be had of the equipment."""
    if one.bore.options.rotation != "alternating" or book.equipment.turns_both_ways:
        return []
    return [
        Fault(f"{path}.options.rotation", f"{book.equipment.name} turns one way only; leave it open or pin one way")
    ]


def _choose(
    one: Survey, mine: list[tuple[Case, Found]], book: PriceBook, path: str
) -> tuple[WeldPlan | None, list[str], list[Fault]]:
    """Return the plan of one bore: the first wire on the van that serves; the others stand by as alternatives."""
    serving, faults = [], []
    for case, found in mine:
        gas, said, wrong = gas_for(one, case.wire, book, path)
        faults += wrong
        if gas is not None and (found.comfort or found.pushed):
            serving.append((case, found, gas, said))
        elif gas is not None:
            faults += _impossible(case, found, path)
    if not serving:
        return None, [], list(dict.fromkeys(faults))
    serving.sort(key=lambda item: item[1].comfort is None)
    case, found, gas, said = serving[0]
    minutes = deci(_change(book, "change_gas"), "min")
    said = [f"bore {one.bore.name}: {text.replace('{change_gas}', f'{minutes:g}')}" for text in said]
    others = tuple(_alternative(*item[:3], book) for item in serving[1:])
    return plan_weld(case, found, one, gas, others, book), said, []


PINNED = {"current": "current", "step": "step", "step_ratio": "step", "layers": "layers", "layer_thickness": "layers"}


def _impossible(case: Case, found: Found, path: str) -> list[Fault]:
    """Return why no plan with a wire is possible, at the option that the user pinned where it is to blame."""
    faults = []
    for quantity, why in found.nearest_broken:
        option = PINNED.get(quantity, "")
        where = f"{path}.options.{option}" if getattr(case.ask, option or "build") and option else f"{path}.options"
        faults.append(Fault(where, f"impossible plan with {case.wire.name}: {why}"))
    return faults


def _change(book: PriceBook, code: str) -> float:
    return float(book.facts.rows("times")[code].duration)  # type: ignore[attr-defined] # a row of the table of times


def _alternative(case: Case, found: Found, gas: Gas, book: PriceBook) -> Alternative:
    plan = found.comfort or found.nearest
    assert plan is not None  # only plans that serve come here
    minutes = deci(_change(book, "change_wire"), "min")
    return Alternative(
        case.wire.name,
        case.wire.name,
        gas.name,
        plan.current,
        plan.layers,
        plan.time,
        f"changing the wire takes {minutes:g} min, not counted here",
    )


def gap_time(book: PriceBook, slag: bool) -> float:
    """Return the time that each further layer costs besides its arc, for the search. [s]"""
    wanted = (*FURTHER_LAYER, "slag layer") if slag else FURTHER_LAYER
    rows = (row for row in book.facts.rows("times").values() if isinstance(row, TimeStandard))
    return sum((row.duration for row in rows if row.basis in wanted), 0.0)
