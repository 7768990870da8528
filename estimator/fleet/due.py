"""When a bore is due: its wear by hours from two readings, and what is to be done with it."""

from typing import Literal

from estimator.fleet.row import Bore

__all__ = ["Action", "action_of", "due_at", "loss_of", "rate_of", "wear_rate", "worn_by"]

Action = Literal["leave", "watch", "repair", "sleeve", "replace", "stop", "measure"]
STALE = 2.0  # years of use after which a reading alone tells nothing of today; common practice, no source
AHEAD = 1.0  # years of use ahead in which what comes due is planned
NOISE = 0.05  # [mm] by which two readings of an unworn bore may differ; common practice, no source
DAYS = 365.0  # of a year


def wear_rate(growth: float, hours: float) -> float:
    """Return the growth of a bore's diameter with the hours of its machine, a straight line. [mm/h]"""
    return growth / hours


def rate_of(bore: Bore) -> float | None:
    """Return the wear seen, None without an earlier reading or where the bore did not grow. [mm/h]"""
    if bore.earlier is None:
        return None
    size, at = bore.earlier
    rate = wear_rate(bore.worn - size, bore.read_at - at)
    return rate if rate > 0 else None


def worn_by(bore: Bore, hours: float) -> float:
    """Return the diameter at an hour of the machine, as far as the wear seen tells. [mm]"""
    return bore.worn + (rate_of(bore) or 0.0) * (hours - bore.read_at)


def due_at(bore: Bore) -> float | None:
    """Return the machine's hours at the wear limit, never before now; None without a rate, or past its end. [h]"""
    rate = rate_of(bore)
    if rate is None:
        return None
    at = max(bore.now, bore.read_at + (bore.limit - bore.worn) / rate)
    return None if at > bore.now + bore.left else float(f"{at:.12g}")


def _shrank(bore: Bore) -> bool:
    return bore.earlier is not None and bore.worn < bore.earlier[0] - NOISE


def action_of(bore: Bore, best: str | None) -> Action:
    """Return what is to be done; `best`: the way that costs least a year, None where none can be costed."""
    if not bore.can_run:
        return "stop"
    if best == "leave":
        return "leave"
    old = rate_of(bore) is None and bore.now - bore.read_at > STALE * bore.hours_per_year
    if _shrank(bore) or (old and bore.worn < bore.limit):
        return "measure"
    if worn_by(bore, bore.now + min(bore.left, AHEAD * bore.hours_per_year)) < bore.limit:
        ends_first = rate_of(bore) is not None and due_at(bore) is None
        return "leave" if ends_first else "watch"
    ways: dict[str | None, Action] = {"repair": "repair", "sleeve": "sleeve", "replace": "replace"}
    return ways.get(best, "stop")


def loss_of(bore: Bore, action: Action, hourly: float) -> float:
    """Return what the work saves in the year ahead: the machine standing until a part is there. [currency]

    A machine that stands already loses the lead time of its part, by its hours of use in it; one that comes due within
    the year the same, for the share of the year that is left then.
    """
    waiting = bore.lead_days / DAYS * bore.hours_per_year * hourly
    if not bore.can_run:
        return waiting
    if action not in ("repair", "sleeve", "replace", "stop"):
        return 0.0
    at = due_at(bore)
    after = 1.0 if at is None else 1.0 - (at - bore.now) / (AHEAD * bore.hours_per_year)
    return max(0.0, min(1.0, after)) * waiting
