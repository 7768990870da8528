"""A chain of lumps of metal, each tied to the next and losing heat: its own rates of cooling and their shapes.

A library's solver gives them to the last digits of the largest rate, which is a millionth of the slowest; and its last
digits hang on the processor. Here its rates are cut short and then sharpened by a recurrence that adds resistances in
series and losses side by side, as one would by hand: it keeps the slow rates to their own last digits.
"""

import numpy as np
import numpy.typing as npt

__all__ = ["decays_of"]

Array = npt.NDArray[np.float64]

BITS = 26  # to which the first rates are cut: more than they are good for differs by processor
ROUNDS = 2  # each squares what is wrong: 1e-8, then nothing
NOTHING = 1e-200


def _first(capacity: Array, lost: Array, between: Array) -> Array:
    """Return the rates as the library finds them, cut short. [1/s]"""
    count = capacity.shape[-1]
    out = lost.copy()
    out[..., 1:] += between
    out[..., :-1] += between
    matrix, at = np.zeros((*out.shape, count)), np.arange(count)
    matrix[..., at, at] = out / capacity
    matrix[..., at[1:], at[:-1]] = -between / np.sqrt(capacity[1:] * capacity[:-1])  # the lower half is read
    share, power = np.frexp(np.linalg.eigvalsh(matrix))
    found: Array = np.ldexp(np.rint(np.ldexp(share, BITS)), power - BITS)
    return found


def _seen(own: Array, resistance: Array) -> tuple[Array, Array]:
    """Return what each lump takes with all that lies before it [W/K], and what lies between it and the next [K/W]."""
    taken, before = np.empty_like(own), np.empty_like(own[1:])
    here = taken[0]
    here[...] = own[0]
    for row, alone, tie, path in zip(taken[1:], own[1:], resistance, before, strict=True):
        np.reciprocal(here, out=path)
        np.add(path, tie, out=path)
        np.add(path, NOTHING, out=path)  # where a shape crosses zero on the very lump
        np.reciprocal(path, out=row)
        here = np.add(row, alone, out=row)
    return taken, before


def _sharpened(decay: Array, heavy: Array, losing: Array, ties: Array) -> tuple[Array, Array]:
    """Return better rates, and the shapes that go with those given. [1/s, K]

    All but the rates by lump along the first axis, with axes for sets and rates behind it; `ties` from both ends along
    the second.
    """
    own = losing - heavy * decay
    taken, path = _seen(np.stack((own, own[::-1]), axis=1), ties)
    amiss = taken[:, 0] + taken[::-1, 1] - own
    middle = np.abs(amiss).argmin(axis=0)
    fall = taken[:-1] * path  # from a lump to the one before it, seen from either end
    fall[np.isnan(fall)] = 1.0  # one that takes nothing is as warm
    rise = 1 / fall
    outward = np.arange(len(rise)).reshape(-1, *(1 for _ in decay.shape)) < middle
    shape = np.ones_like(own)
    np.cumprod(np.where(outward, rise[:, 0], 1.0)[::-1], axis=0, out=shape[-2::-1])
    shape[1:] *= np.cumprod(np.where(outward, 1.0, rise[::-1, 1]), axis=0)
    weight = (heavy * shape * shape).sum(axis=0)
    return decay + np.take_along_axis(amiss, middle[None], axis=0)[0] / weight, shape / np.sqrt(weight)


def decays_of(capacity: Array, lost: Array, between: Array) -> tuple[Array, Array]:
    """Return rates of cooling, the slowest first, and shapes, scaled so that heat brought in excites each by its rise.

    Parameters
    ----------
    capacity
        Of each lump. [J/K]
    lost
        Loss of each to the air; sets of them, where there are several, before the last axis. [W/K]
    between
        Conductance from each to the next. [W/K]
    """
    decay = shape = _first(capacity, lost, between)
    behind = (-1, *(1 for _ in decay.shape))
    heavy, losing = capacity.reshape(behind), np.moveaxis(lost, -1, 0)[..., None]
    ties = np.stack((1 / between, 1 / between[::-1]), axis=1).reshape(len(between), 2, *behind[1:])
    with np.errstate(divide="ignore", invalid="ignore"):  # a lump may take nothing
        for _ in range(ROUNDS):
            decay, shape = _sharpened(decay, heavy, losing, ties)
    return decay, np.moveaxis(shape, 0, -2)
