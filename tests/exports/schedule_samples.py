"""Jobs whose order of work differs: one bore, two lines with two crews, twelve bores, far away, a confined space."""

import functools
from pathlib import Path
from typing import Any

from estimator.book.pricebook import read_pricebook
from tests.jobs import bore, job, quick
from tests.raw import estimate

__all__ = ["NAMES", "sample"]

FAR = {"distance": "600 km", "ambient": "12 degC"}  # too far to drive home for a week-end
NAMES = ("one bore", "two crews", "twelve", "far", "near", "confined", "hard steel", "feller_lugs", "harvester_thin")


@functools.cache
def sample(name: str) -> Any:
    """Return the estimate document of a sample; it is shared, so copy it before a change."""
    if name == "two crews":
        book = read_pricebook({"crew": 2, "equipment": {"sets": 2}})
        lines = (("A", "upper"), ("B", "upper"), ("C", "lower"), ("D", "lower"))
        return dict(estimate(job(*(bore(name=one, line=line) for one, line in lines), start="2027-03-05"), book))
    jobs: Any = {
        "one bore": job(),
        "twelve": job(
            *(bore(name=f"P{n}", line=f"L{(n + 1) // 2}") for n in range(1, 13)), site=FAR, start="2027-03-08"
        ),
        "far": job(site={"distance": "390 km"}),
        "near": job(*(bore(name=f"P{n}", line=f"L{n}") for n in range(4)), site={"distance": "4 km"}),
        "confined": job(site={"distance": "85 km", "access": "confined"}),
        "hard steel": job(quick(90, 92, material="4140")),
    }
    document = jobs[name] if name in jobs else Path(f"sample_jobs/{name}.json").read_bytes()
    return dict(estimate(document, read_pricebook()))
