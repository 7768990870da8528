"""Which of the user's bars cuts a bore, how it is held there, and how stiff it stands."""

from dataclasses import dataclass

from estimator.book.rig import Bar, Equipment
from estimator.bore.survey import Survey
from estimator.cut.beam import between, overhung, solid_moment, tube_moment
from estimator.cut.span import Span
from estimator.formula import formula, leaf
from estimator.tables import Tables
from estimator.tables.messages import Message, say

__all__ = ["Held", "bar_for", "held_bar", "passage_of", "reach_of"]


@dataclass(frozen=True)
class Held:
    """A bar as it is held: [m], compliance at the insert [m/N], how it is supported."""

    name: str
    diameter: float
    span: Span
    compliance: float
    supports: Message


@formula("passage", "the narrowest that the bore is before, between and after welding", "computed", unit="m")
def narrowest(found: float, meets: float, weld: float, crests: float, overbuild: float) -> float:
    """Diameter that the bar passes through: the bore as found, or with crests on the last layer. [m]"""
    return min(found, meets, weld - 2 * (crests + overbuild))


@formula("reach", "geometry: from one bearing to the other", "computed", unit="m")
def reach_between(before: float, after: float) -> float:
    """Length of bar between its bearings. [m]"""
    return before + after


@formula("room", "geometry: the holder stands out of the bar and chips must fall", "from memory", unit="m")
def bore_for(diameter: float, tool_room: float) -> float:
    """Least bore that a bar cuts where the price book says none. [m]"""
    return diameter + 2 * tool_room


def passage_of(survey: Survey, facts: Tables) -> float:
    """Return the diameter that a bar must pass through at any time of the job. [m]"""
    crests, overbuild = facts.constant("crest_allowance"), facts.constant("overbuild_allowance")
    return narrowest(survey.wear.smallest_diameter, survey.cut_from, survey.sizes.weld, crests, overbuild)


def reach_of(span: Span) -> float:
    """Return the length of bar between its bearings, or that stands out of one. [m]"""
    return span.before if span.after is None else reach_between(span.before, span.after)


def least_bore(bar: Bar, facts: Tables) -> float:
    """Return the smallest bore that a bar works in. [m]"""
    return bore_for(bar.diameter, facts.constant("tool_room")) if bar.smallest_bore is None else bar.smallest_bore


def bar_for(passage: float, span: Span, equipment: Equipment, facts: Tables) -> tuple[str, Bar] | Message:
    """Return name and data of the stiffest bar that passes and reaches, or why there is none."""
    reach = reach_of(span)
    passing = [(name, bar) for name, bar in equipment.bars.items() if least_bore(bar, facts) <= passage]
    if not passing:
        least = min(least_bore(bar, facts) for bar in equipment.bars.values())
        return say("no_bar_passes", passage=passage, least=least)
    reaching = [(name, bar) for name, bar in passing if bar.longest_span is None or reach <= bar.longest_span]
    if not reaching:
        return say("no_bar_reaches", reach=reach)
    return max(reaching, key=lambda one: one[1].diameter ** 4 - (one[1].bore or 0.0) ** 4)


def held_bar(name: str, bar: Bar, span: Span, facts: Tables) -> Held:
    """Return a bar as it stands at the insert."""

    def known(value: float, field: str) -> float:
        return leaf(value, "price", f"equipment.bars.{name}.{field}", f"bar {name!r} of the price book", unit="m")

    diameter, modulus = known(bar.diameter, "diameter"), facts.constant("steel_modulus")
    moment = solid_moment(diameter) if bar.bore is None else tube_moment(diameter, known(bar.bore, "bore"))
    if span.after is None:
        return Held(name, diameter, span, overhung(span.before, modulus, moment), say("bar_overhung"))
    return Held(name, diameter, span, between(span.before, span.after, modulus, moment), say("bar_between"))
