"""Evenly spread points in a cube of many sides: Sobol's sequence, scrambled with a seed, the same on any machine."""

import functools

import numpy as np
import numpy.typing as npt

from estimator.tables import raw

__all__ = ["MOST_SIDES", "points"]

BITS = 32
MOST_SIDES = 200  # as many as the table of directions has rows, and the first, which needs none
Words = npt.NDArray[np.uint64]
Array = npt.NDArray[np.float64]


@functools.cache
def _directions() -> Words:
    """Return the direction numbers, a row a side, by the recurrence of their polynomial (Bratley and Fox 1988)."""
    found = np.zeros((MOST_SIDES, BITS), dtype=np.uint64)
    found[0] = [1 << (BITS - 1 - bit) for bit in range(BITS)]
    for side, row in enumerate(raw("directions"), 1):
        degree, inner = int(row["degree"]), int(row["coefficients"])
        numbers = [int(word) for word in row["numbers"].split()]
        for bit in range(degree, BITS):
            number = numbers[bit - degree] ^ (numbers[bit - degree] << degree)
            for k in range(1, degree):
                number ^= (inner >> (degree - 1 - k) & 1) * (numbers[bit - k] << k)
            numbers.append(number)
        found[side] = [number << (BITS - 1 - bit) for bit, number in enumerate(numbers[:BITS])]
    return found


def _scrambled(directions: Words, rng: np.random.Generator) -> tuple[Words, Words]:
    """Return the directions through a random lower triangle of bits, and a random shift (Matousek 1998)."""
    sides = len(directions)
    out = np.zeros_like(directions)
    for bit in range(BITS):
        own = np.uint64(1 << (BITS - 1 - bit))
        above = np.uint64(((1 << BITS) - 1) ^ ((1 << (BITS - bit)) - 1))
        masks = (rng.integers(0, 1 << BITS, sides, dtype=np.uint64) & above) | own
        picked = directions & masks[:, None]
        out |= (np.bitwise_count(picked) & np.uint8(1)).astype(np.uint64) << np.uint64(BITS - 1 - bit)
    return out, rng.integers(0, 1 << BITS, sides, dtype=np.uint64)


def points(count: int, sides: int, seed: int, start: int = 0) -> Array:
    """Return points of a scrambled Sobol sequence, each coordinate above 0 and below 1.

    Parameters
    ----------
    count
        How many; a power of two is spread most evenly. [-]
    sides
        Coordinates of each, up to 200. [-]
    seed
        The same seed gives the same points. [-]
    start
        Which of the sequence is the first. [-]

    Returns
    -------
    numpy.ndarray
        Of shape (count, sides). [-]

    References
    ----------
    Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635; Matousek, J. Complexity 14 (1998) 527.
    """
    if not 0 < sides <= MOST_SIDES:
        raise ValueError(f"sides: {sides}; 1 to {MOST_SIDES}")
    directions, shift = _scrambled(_directions()[:sides], np.random.default_rng(seed))
    numbers = np.arange(start, start + count, dtype=np.uint64)
    gray = numbers ^ (numbers >> np.uint64(1))
    found = np.broadcast_to(shift, (count, sides)).copy()
    for bit in range(max(1, int(start + count - 1).bit_length())):
        found ^= (gray >> np.uint64(bit) & np.uint64(1))[:, None] * directions[:, bit]
    return np.asarray((found + 0.5) / 2.0**BITS, dtype=np.float64)
