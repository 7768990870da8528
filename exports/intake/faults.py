"""What is wrong with a filled sheet, each at its cell; and where on the sheet a key of the job document stands."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeVar

from estimator.errors import Fault

__all__ = ["Places"]

T = TypeVar("T")


@dataclass
class Places:
    """The cell of each key of the document, and what was found wrong while it was read."""

    cells: dict[str, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def wrong(self, cell: str, message: str) -> None:
        """Note that something is wrong with a cell."""
        self.faults.append(Fault(cell, message))

    def taken(self, key: str, cell: str, read: Callable[[], T]) -> T | None:
        """Return what a cell says and note where it stands; None where it says nothing, which is noted."""
        self.cells[key] = cell
        try:
            return read()
        except ValueError as error:
            self.wrong(cell, str(error))
            return None

    def at(self, fault: Fault) -> Fault:
        """Return a fault of the document as one of the cell that its key, or what is next above it, stands in."""
        steps = fault.path.split(".")
        for end in range(len(steps), 0, -1):
            if cell := self.cells.get(".".join(steps[:end])):
                return replace(fault, path=cell)
        return fault
