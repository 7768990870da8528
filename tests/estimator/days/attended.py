"""When somebody is on site, reckoned from the tasks of an estimate document alone."""

from typing import Any

__all__ = ["DAY", "WATCH", "attended"]

DAY, WATCH = 1440.0, 60.0  # minutes


def attended(document: dict[str, Any], opens: float, closes: float) -> tuple[float, float]:
    """Reckon from the first to the last work of each day, and the watch that lasts longer on all days but the last."""
    there, watches, tasks = 0.0, 0.0, document["schedule"]["tasks"]
    last = max(one["end_min"] for one in tasks if one["people"] or one["code"] == "watch")
    for begin in (day * DAY for day in range(len(document["schedule"]["days"]))):
        here, watched = [], [0.0]
        for one in tasks:
            hot = one["hot"] and one["people"]
            until = DAY if not one["people"] else max(closes - WATCH, (opens + closes) / 2) if hot else closes
            part = max(one["start_min"], begin + opens), min(one["end_min"], begin + until)
            if (one["people"] or one["code"] == "watch") and part[0] < part[1]:
                here.append(part)
                watched += [part[1] + WATCH] if hot else []
        if here:
            there += max(end for _, end in here) - min(start for start, _ in here)
            watches += max(0.0, max(watched) - max(end for _, end in here)) if last >= begin + DAY else 0.0
    return there, watches
