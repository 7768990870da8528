"""The page of a calibration: what the shop's own jobs teach, whether it would have helped, what is asked first."""

from estimator.learn.make import BackTest, Calibrated
from exports.format import counted, number
from exports.page.parts import columns, heading, joined, listed, wrapped

__all__ = ["page"]

LONGEST = 34  # signs of a name in a table


def page(found: Calibrated) -> str:
    """Return the page for people of a calibration."""
    lines = wrapped(f"{counted(found['jobs'], 'job')} on record. {_said(found)}", "")
    lines += _factors(found) + _drift(found) + _test(found["back_test"])
    asked = [f"{one['job']}, bore {one['bore']}: {one['question']}" for one in found["asked_about"]]
    if asked:
        lines += heading("ASK FIRST: these records count for nothing until somebody has answered")
        lines += listed(asked)
        lines += wrapped("Right as it stands? Name its key under sure in the record. Wrong? Send the record again.")
    return joined(lines)


def _said(found: Calibrated) -> str:
    """Return what may be claimed, and no more."""
    test = found["back_test"]
    if test["error_before"] is None or test["error_after"] is None:
        return "Too few jobs to say whether learning from them helps."
    before, after = (number(100 * error, 1) for error in (test["error_before"], test["error_after"]))
    if test["claim"] == "better":
        return f"Hours came out {before} % off by the book and {after} % with what was learnt: better."
    return f"Hours came out {before} % off by the book and {after} % with what was learnt: no better, within chance."


def _factors(found: Calibrated) -> list[str]:
    lines = heading("WHAT THIS SHOP TAKES, over what the book says")
    if not found["factors"]:
        return [*lines, *wrapped("Nothing stands out: estimates stay as the book has them.")]
    rows = [
        [
            f"{one['element']}, {one['group']}",
            f"{one['jobs']}",
            number(one["ratio"], 2),
            f"{number(one['low'], 2)} to {number(one['high'], 2)}",
        ]
        for one in found["factors"]
    ]
    return [*lines, *columns([["", "jobs", "times", "95 % sure"]], rows, LONGEST)]


def _drift(found: Calibrated) -> list[str]:
    said = [
        f"{one['element']}: since {one['since']} {number(one['ratio_since'], 2)} times the book, "
        f"{number(one['ratio_before'], 2)} before; noticed with {one['noticed']}, job {one['jobs']} since then"
        for one in found["drift"]
    ]
    return [*heading("WHAT HAS CHANGED: only jobs since then count"), *listed(said)] if said else []


def _test(test: BackTest) -> list[str]:
    """Return how each job would have come out with what the jobs before it had taught."""
    lines = heading("BACK-TEST: each job by what the jobs before it had taught")
    if test["error_before"] is None or test["coverage_80"] is None or test["sharpness"] is None:
        return [*lines, *wrapped("Too few jobs.")]
    inside, wide = (number(100 * one, 0) for one in (test["coverage_80"], test["sharpness"]))
    lines += wrapped(
        f"{counted(test['jobs'], 'job')}; of 8 in 10 that should lie inside the band {inside} % did; "
        f"it is {wide} % of the hours wide."
    )
    losses = (test["pinball_before"] or 0.0, test["pinball_after"] or 0.0)
    lines += wrapped(f"Loss of the foretold 10, 50 and 90 %: {losses[0]:.4f} by the book, {losses[1]:.4f} as learnt.")
    rows = [
        [one["group"], f"{one['jobs']}", *(number(value, 2) for value in (one["before"], one["after"]))]
        for one in test["bias"]
    ]
    return [*lines, *columns([["recorded over estimated", "jobs", "by the book", "as learnt"]], rows, LONGEST)]
