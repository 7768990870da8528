"""How much covers the use at a service level: counted parts, bulk amounts; and which level pays."""

import math

from estimator.errors import require_range
from estimator.formula import formula

__all__ = [
    "bulk_cover",
    "bulk_service",
    "critical_ratio",
    "part_service",
    "poisson_cover",
    "spread_of_bound",
    "together",
]

LARGEST_MEAN = 1e7
EVEN_ODDS = 0.5
FARTHEST, HALVINGS, NOTHING = 40.0, 200, 1e-9


def _likelihoods(mean: float) -> tuple[int, list[float]]:
    """Return the lowest number and the likelihoods from there on, as parts of the highest, until they vanish."""
    middle = int(mean)
    below, above, number, likelihood = list[float](), [1.0], middle, 1.0
    while number > 0 and likelihood > 0:
        likelihood *= number / mean
        below.append(likelihood)
        number -= 1
    number, likelihood = middle, 1.0
    while likelihood > 0:
        number += 1
        likelihood *= mean / number
        above.append(likelihood)
    return middle - len(below), below[::-1] + above


@formula(
    "to_cover", "smallest n with P(Poisson(expected) <= n) >= service level (Hopp and Spearman, Factory Physics 2.4)"
)
def poisson_cover(expected: float, service_level: float) -> int:
    """Number of parts that covers the demand at a service level. [-]

    Likelihoods are taken against the highest one and summed from the small end, so that neither a large mean nor a
    level near one costs digits.

    Parameters
    ----------
    expected
        Zero or more, up to 10 000 000. [-]
    service_level
        Above 0, below 1. [-]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Examples
    --------
    >>> poisson_cover(3.0, 0.64), poisson_cover(3.0, 0.65)
    (3, 4)
    """
    require_range("service_level", service_level, math.nextafter(1.0, 0.0))
    if expected == 0:
        return 0
    require_range("expected", expected, LARGEST_MEAN)
    lowest, likelihoods = _likelihoods(expected)
    whole, total = math.fsum(likelihoods), 0.0
    if service_level < EVEN_ODDS:
        for number, likelihood in enumerate(likelihoods, lowest):
            total += likelihood
            if total >= service_level * whole:
                return number
    room, number = (1 - service_level) * whole, lowest + len(likelihoods) - 1
    for likelihood in reversed(likelihoods):
        total += likelihood
        if total > room:
            break
        number -= 1
    return number


@formula("service", "P(Poisson(expected) <= number), a sum of likelihoods", "published")
def part_service(expected: float, number: int) -> float:
    """Likelihood that a number of parts is enough. [-]

    Examples
    --------
    >>> part_service(3.0, 3)
    0.6472319
    """
    if expected == 0:
        return 1.0
    lowest, likelihoods = _likelihoods(expected)
    return math.fsum(likelihoods[: max(0, number - lowest + 1)]) / math.fsum(likelihoods)


@formula("deviation", "rectangular distribution of half-width a: a / sqrt(3) (JCGM 100:2008 (GUM) 4.3.7)")
def spread_of_bound(bound: float) -> float:
    """Standard deviation of what lies within a bound and of which nothing else is known. [as the bound]

    A scatter of published charts is such a bound: every chart lies within it, none says where yours lies. Taken as if
    it were a standard deviation it would ask for 1.7 times too much.
    """
    return bound / math.sqrt(3)


def _above(value: float) -> float:
    """Return the integral of the normal distribution up to a value."""
    return value * math.erfc(-value / math.sqrt(2)) / 2 + math.exp(-(value**2) / 2) / math.sqrt(2 * math.pi)


def _short(extra: float, half: float, spread: float) -> float:
    """Return the likelihood that a rectangular and a normal error together pass what is taken beyond the expected."""
    if spread <= NOTHING * half:
        return EVEN_ODDS if half == 0 else min(1.0, max(0.0, (half - extra) / (2 * half)))
    if half <= NOTHING * spread:
        return math.erfc(extra / spread / math.sqrt(2)) / 2
    return spread / (2 * half) * (_above((half - extra) / spread) - _above((-half - extra) / spread))


@formula(
    "to_cover",
    "quantile of a rectangular error that all jobs share and normal errors of their own; never below expected",
    "computed",
)
def bulk_cover(expected: float, bound: float, spread: float, service_level: float) -> float:
    """Amount of wire, gas and the like that covers the use at a service level. [as expected]

    The use is expected x (1 + u) + e. u lies within the bound of the chart, evenly (GUM 4.3.7), and is the same for all
    jobs: one wire, one machine. e is normal, the root of the sum of squares of what the jobs scatter.

    Parameters
    ----------
    expected
        Zero or more. [kg, L]
    bound
        Bound of the chart, as a share of what is expected. [-]
    spread
        Standard deviation of all other scatter. [as expected]
    service_level
        Above 0, below 1. [-]

    Examples
    --------
    >>> bulk_cover(100.0, 0.2, 0.0, 0.95), bulk_cover(100.0, 0.0, 20.0, 0.95)
    (118.0, 132.897)
    """
    require_range("service_level", service_level, math.nextafter(1.0, 0.0))
    half, room = expected * bound, 1 - service_level
    low, high = 0.0, half + FARTHEST * spread
    if service_level <= EVEN_ODDS or high == 0:
        return expected
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break  # no number lies between
        low, high = (middle, high) if _short(middle, half, spread) > room else (low, middle)
    return expected + high


@formula("service", "the distribution of which bulk_cover is the quantile", "computed")
def bulk_service(expected: float, bound: float, spread: float, amount: float) -> float:
    """Likelihood that an amount is enough. [-]"""
    return 1 - _short(amount - expected, expected * bound, spread)


@formula("service", "likelihood of independent events together: their product (definition)", "computed")
def together(services: tuple[float, ...]) -> float:
    """Likelihood that no item runs short, as if they ran short independently. [-]"""
    return math.prod(services)


@formula("for_all", "independent events together: the root of the level for as many items", "computed")
def level_for_all(service_level: float, items: int) -> float:
    """Service level of each item with which nothing at all runs short at a level, item by item independently. [-]"""
    return service_level ** (1 / items)


@formula("advised_service_level", "newsvendor critical ratio Cu / (Cu + Co) (Hopp and Spearman, Factory Physics 2.4)")
def critical_ratio(short: float, carry: float) -> float:
    """Service level that costs least: cost of one too few over that and the cost of one too many. [-]"""
    return short / (short + carry)
