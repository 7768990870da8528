"""The order of work in the typed estimate document: tasks, days, who does what, and what another crew would change."""

from typing_extensions import TypedDict

__all__ = ["Schedule"]


class Task(TypedDict):
    """One task as it falls into days. Minutes count from the moment the van leaves.

    `measure`: what to measure and write down; `tools`: what to have at hand; `uses`: keys of what it uses up.
    """

    number: int
    code: str
    name: str
    bore: str | None
    line: str | None
    people: list[int]
    machine: int | None
    hot: bool
    after: list[int]
    held_by: str
    critical: bool
    duration_min: float
    start_min: float
    end_min: float
    measure: list[str]
    tools: list[str]
    uses: list[str]


class Day(TypedDict):
    """One day: its date where the job says when it starts, from when until when, hot work, and the tasks in it."""

    day: int
    date: str | None
    begins: str
    ends: str
    hot_until: str | None
    watch_until: str | None
    tasks: list[int]


class Role(TypedDict):
    """The hours of one who goes."""

    role: str
    work_h: float
    waiting_h: float
    travel_h: float
    overtime_h: float


class OtherCrew(TypedDict):
    """What another crew or a further machine would change."""

    name: str
    technicians: int
    machines: int
    on_site_min: float
    on_site_more_min: float
    elapsed_h: float
    elapsed_more_h: float
    price_more: str


class Schedule(TypedDict):
    """The order of work. `order_min`: working time from arrival to leaving, no order takes less than `bound_min`."""

    technicians: int
    machines: int
    stays: bool
    shift_start: str
    arrives_min: float
    leaves_min: float
    sets_off_min: float
    home_min: float
    day_min: float
    opens_min: float
    closing_min: float
    order_min: float
    bound_min: float
    ends: str
    tasks: list[Task]
    days: list[Day]
    roles: list[Role]
    crews: list[OtherCrew]
    notes: list[str]
