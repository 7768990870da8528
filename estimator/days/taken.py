"""In which order a crew takes the bores of a job."""

import re
from collections.abc import Sequence

from estimator.job.job import Bore

__all__ = ["taken_in_order"]


def taken_in_order(bores: Sequence[Bore]) -> list[int]:
    """Return the bores' numbers in the order in which a crew takes them: the largest first, then the longest, by name.

    Where they stand in the job document decides nothing.
    """
    return sorted(
        range(len(bores)), key=lambda n: (-bores[n].nominal_diameter, -bores[n].length, _natural(bores[n].name))
    )


def _natural(name: str) -> tuple[tuple[int, str], ...]:
    """Return what sorts a name as a person does: B2 before B10."""
    parts = re.findall(r"([0-9]{1,15})|([^0-9]+)", name)
    return (*((int(number or -1), text) for number, text in parts), (-2, name))
