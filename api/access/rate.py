"""How often somebody may ask: a bucket that fills evenly, for each caller.

The buckets lie in this process only: with several processes on one database each grants its own share, so that a caller
may get as many times the limit as there are processes. Nothing but the limit depends on them.
"""

import hashlib
import math
import time
from collections import OrderedDict
from collections.abc import Callable

__all__ = ["Buckets", "Tries"]

MOST_CALLERS = 10_000
WRONG = (60, 100)  # tokens that are none, from one address: a minute, at once
ONE = (20, 20)  # tries of one token that is none: a minute, at once


class Buckets:
    """Requests left to each caller; whoever asked least lately is forgotten first."""

    def __init__(self, per_minute: float, burst: float, clock: Callable[[], float] = time.monotonic) -> None:
        """Begin with full buckets.

        Parameters
        ----------
        per_minute
            How fast a bucket fills. [requests/min]
        burst
            What it holds. [requests]
        clock
            The time. [s]
        """
        self._rate, self._burst, self._clock = per_minute / 60, burst, clock
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, key: str) -> int:
        """Return the whole seconds until a caller may ask again; 0 where it may now."""
        return max(0, math.ceil((1 - self._level(key)) / self._rate))

    def take(self, key: str) -> int:
        """Take one request from a caller's bucket if there is one; return the seconds to wait, or 0."""
        level = self._level(key)
        if level < 1:
            return max(1, math.ceil((1 - level) / self._rate))
        self._left[key] = (level - 1, self._clock())
        self._left.move_to_end(key)
        if len(self._left) > MOST_CALLERS:
            self._left.popitem(last=False)
        return 0

    def _level(self, key: str) -> float:
        left, since = self._left.get(key, (self._burst, self._clock()))
        return min(self._burst, left + (self._clock() - since) * self._rate)


class Tries:
    """Tokens and sessions that are none, counted by what was tried and by where it came from.

    One that is in force is never counted, so that whoever tries wrong ones locks nobody out who comes by the same way.
    """

    def __init__(self) -> None:
        """Begin with none tried."""
        self._addresses, self._secrets = Buckets(*WRONG), Buckets(*ONE)

    def wrong(self, address: str, secret: str) -> int:
        """Count a try that was wrong; return the seconds to wait, or 0.

        What is tried again and again, as by a device whose token has expired, does not use up the address's share.
        """
        tried = hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
        return self._secrets.take(tried) or self._addresses.take(address)
