"""The tasks of a job: what each is, what it waits for, what it needs. Durations stand apart, so that they may vary."""

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Station", "Task", "tasks_of"]


@dataclass(frozen=True)
class Station:
    """What the order of work needs to know of one bore; `hot` and `line_hot`: phases with a flame, an arc or sparks.

    `tested`: it is tested for cracks before the first tack.
    """

    name: str
    line: str
    boss: str
    wire: str
    gas: str
    clamped: bool
    hot: frozenset[str]
    line_hot: frozenset[str]
    bearings: int = 2
    tested: bool = False


@dataclass(frozen=True)
class Task:
    """One task. `after`: tasks it waits for; `hands`: people it takes, none for a wait; `hot`: a fire may start.

    `whole`: it is not broken off at the end of a day; `bar`: the line whose bar or torch it keeps busy; `takes` and
    `frees`: the machine is set to the line, and taken off it again.
    """

    code: str
    name: str
    after: tuple[int, ...] = ()
    bore: int | None = None
    line: str | None = None
    hands: int = 1
    hot: bool = False
    whole: bool = False
    bar: str | None = None
    takes: str | None = None
    frees: str | None = None


class _List:
    """Tasks as they are added, each with its number."""

    def __init__(self) -> None:
        self.tasks: list[Task] = []

    def add(self, task: Task) -> int:
        self.tasks.append(task)
        return len(self.tasks) - 1


def tasks_of(stations: Sequence[Station], order: Sequence[int] | None = None) -> tuple[Task, ...]:
    """Return the tasks of a job in an order that keeps all waits.

    A line is set up once: its bores are bored clean with the bar, built up with the torch, then bored to size with the
    bar indicated again. A bore is bored to size when it is cold; a boss cools from its last weld on.

    Parameters
    ----------
    stations
        The bores.
    order
        Their numbers in the order in which they are taken, and their lines with them; as they stand if not said.
    """
    found = _List()
    arrive = found.add(Task("arrive", "arrive, inspect, unload"))
    bead = found.add(Task("test bead", "test bead on scrap", (arrive,), hot=True, whole=True))
    taken = [(n, stations[n]) for n in (range(len(stations)) if order is None else order)]
    strips, lines = [], dict.fromkeys(one.line for _, one in taken)
    mounted = (taken[0][1].wire, taken[0][1].gas)
    for line in lines:
        here = [(number, one) for number, one in taken if one.line == line]
        strip, mounted = _line(found, line, here, arrive, bead, mounted)
        strips.append(strip)
    hot = [n for n, task in enumerate(found.tasks) if task.hot]
    found.add(Task("pack", "pack", tuple(strips)))
    found.add(Task("papers", "papers", tuple(strips)))
    found.add(Task("watch", "fire watch", (*hot,), hands=0))
    return tuple(found.tasks)


def _line(
    found: _List, line: str, here: Sequence[tuple[int, Station]], arrive: int, bead: int, mounted: tuple[str, str]
) -> tuple[int, tuple[str, str]]:
    """Add the tasks of one line; return the number of the one that strips it, and the wire and gas mounted then."""
    clamped = any(one.clamped for _, one in here)
    hot = frozenset().union(*(one.line_hot for _, one in here))
    prepared = {}
    for number, one in here:
        name = f"clean and measure {one.name}"
        prepared[number] = found.add(Task("prepare", name, (arrive,), number, line, hot="setup" in one.hot))
    number = here[0][1].bearings
    bearings = f"{number} bearing{'' if number == 1 else 's'}"
    mounts = f"clamp the mounts of {bearings}" if clamped else f"set the brackets of {bearings}"
    sound = tuple(prepared[number] for number, one in here if one.tested)
    rig = found.add(
        Task("rig", f"{mounts}, set and align the bar", (arrive, *sound), None, line, hot="setup" in hot, takes=line)
    )
    cuts = []
    for number, one in here:
        after = (prepared[number], rig)
        name = f"bore {one.name} clean"
        cuts.append(
            found.add(Task("clean-up", name, after, number, line, hot="precut" in one.hot, whole=True, bar=line))
        )
    torch = found.add(Task("to torch", "change the bar to the torch", tuple(cuts), None, line, bar=line))
    welds, mounted = _welds(found, here, (torch, bead), mounted)
    cools = {}
    for number, one in here:
        boss = tuple(welds[n] for n, other in here if other.boss == one.boss)
        cools[number] = found.add(Task("cool", f"{one.name} cools", boss, number, line, hands=0))
    bar = found.add(Task("to bar", "bar back in, indicate again", tuple(welds.values()), None, line, bar=line))
    checks = []
    for number, one in here:
        name = f"bore {one.name} to size"
        cut = found.add(
            Task("finish", name, (bar, cools[number]), number, line, hot="finish" in one.hot, whole=True, bar=line)
        )
        checks.append(found.add(Task("inspect", f"inspect {one.name}", (cut,), number, line)))
    off = "take the mounts off" if clamped else "take the brackets off, dress"
    strip = found.add(Task("strip", off, tuple(checks), None, line, hot="teardown" in hot, bar=line, frees=line))
    return strip, mounted


def _welds(
    found: _List, here: Sequence[tuple[int, Station]], ready: tuple[int, ...], mounted: tuple[str, str]
) -> tuple[dict[int, int], tuple[str, str]]:
    """Add the welds of a line, those of one wire and gas together; return them by bore, and what is mounted then.

    Between two wires or gases the torch is changed: when all welds of the one are done, before any of the other.
    """
    welds: dict[int, int] = {}
    groups = dict.fromkeys((one.wire, one.gas) for _, one in here)
    for wanted in sorted(groups, key=lambda group: group != mounted):
        line = here[0][1].line
        if wanted != mounted:
            ready = (found.add(Task("change", "change wire or gas", (*ready, *welds.values()), None, line, bar=line)),)
        mounted = wanted
        for number, one in here:
            if (one.wire, one.gas) == wanted:
                name = f"build up {one.name}"
                welds[number] = found.add(Task("weld", name, ready, number, line, hot=True, whole=True, bar=line))
    return welds, mounted
