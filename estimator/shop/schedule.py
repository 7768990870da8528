"""Crew, travel, days and nights: what the whole job takes from door to door."""

from dataclasses import dataclass

from estimator.either import larger, whole_up
from estimator.formula import formula

__all__ = ["Schedule", "elapsed_time", "labour_time", "nights_away", "on_site_time", "travel_time"]


@dataclass(frozen=True)
class Schedule:
    """What the whole job takes. [s; nights and people as numbers]"""

    once: float
    fire_watch: float
    used_waits: float
    on_site: float
    travel: float
    labour: float
    elapsed: float
    nights: int
    people: int


@formula("on_site", "definition in the project's estimate document", "computed", unit="s")
def on_site_time(bores: float, once: float, fire_watch: float, used_waits: float) -> float:
    """Time on site: bores, work once a job, rest of the fire watch, less waits used for other work. [s]"""
    return bores + once + fire_watch - used_waits


@formula("travel", "definition: there and back", "computed", unit="s")
def travel_time(distance: float, road_speed: float) -> float:
    """Time on the road, there and back. [s]"""
    return 2 * distance / road_speed


@formula("nights", "whole shifts that hold the work and the road, less one", "computed")
def nights_away(on_site: float, travel: float, shift_length: float) -> int:
    """Nights away. [-]"""
    return larger(whole_up((on_site + travel) / shift_length), 1) - 1


@formula("labour", "definition: people times their time on site and on the road", "computed", unit="s")
def labour_time(on_site: float, travel: float, people: int) -> float:
    """Person-time with travel. [s]"""
    return (on_site + travel) * people


@formula("elapsed", "door to door: work, road, and the nights between shifts", "computed", unit="s")
def elapsed_time(on_site: float, travel: float, nights: int, day: float, shift_length: float) -> float:
    """Time from door to door. [s]"""
    return on_site + travel + nights * (day - shift_length)
