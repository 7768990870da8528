"""Which doubt moves a figure by how much: shares of its variance, by its own and with all that it takes part in."""

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from estimator.spread.sobol import points

__all__ = ["shares_of"]

Array = npt.NDArray[np.float64]
LEAST = 1e-12  # of the mean, squared: a figure that moves no more does not move


def shares_of(
    figure: Callable[[Array], Array], sides: int, groups: Sequence[Sequence[int]], count: int, seed: int
) -> tuple[list[float], list[float]]:
    """Return the share of a figure's variance that each group of chances has by itself, and in all.

    Parameters
    ----------
    figure
        What is reckoned from chances of shape (count, sides), a number a row.
    sides
        How many chances there are. [-]
    groups
        Which of them move together as one doubt.
    count
        Points of the base sample; it asks for `count` times (groups and two) figures. [-]
    seed
        The same seed gives the same shares. [-]

    References
    ----------
    Saltelli et al., Computer Physics Communications 181 (2010) 259, table 2: row (b), and row (f) after Jansen.
    """
    both = points(count, 2 * sides, seed)
    first, second = both[:, :sides], both[:, sides:]
    mixed = [first.copy() for _ in groups]
    for one, group in zip(mixed, groups, strict=True):
        one[:, list(group)] = second[:, list(group)]
    found, other, *changed = np.split(figure(np.concatenate([first, second, *mixed])), 2 + len(groups))
    variance, middle = float(np.var(np.concatenate((found, other)))), float(np.mean(other))
    if variance <= LEAST * middle**2:
        return [0.0] * len(groups), [0.0] * len(groups)
    own = [float(np.mean((other - middle) * (one - found))) / variance for one in changed]
    whole = [float(np.mean((found - one) ** 2)) / (2 * variance) for one in changed]
    return [min(1.0, max(0.0, one)) for one in own], [min(1.0, max(0.0, one)) for one in whole]
