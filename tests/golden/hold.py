"""What golden holds of a document: its hash, and a handful of figures to tell a change by."""

import hashlib
import json
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

from estimator.book.pricebook import read_pricebook
from estimator.errors import EstimatorError
from estimator.estimate import estimate
from tests.golden.jobs import COUNT, golden_case

__all__ = ["HELD", "changes", "computed", "document_of", "held", "names"]

HELD = Path(__file__).parent / "held.json"
SAMPLES = Path(__file__).parents[2] / "sample_jobs"
FIGURES = ("on_site_min", "labour_h", "elapsed_h", "arc_time_min", "wire_kg", "gas_L")
Held = dict[str, Any]


def names() -> list[str]:
    """Return the names of all that is held."""
    return [*sorted(path.stem for path in SAMPLES.glob("*.json")), *(f"random {n}" for n in range(COUNT))]


def document_of(name: str) -> Any:
    """Return the estimate document of a job by name, in full, or the words of its refusal."""
    if name.startswith("random "):
        document, patch = golden_case(int(name.removeprefix("random ")))
    else:
        document, patch = json.loads((SAMPLES / f"{name}.json").read_text("utf-8")), {}
    try:
        return estimate(document, read_pricebook(patch), "full")
    except EstimatorError as error:
        return {"refused": type(error).__name__, "because": str(error)}


def held(document: Any) -> Held:
    """Return what is held of a document."""
    text = json.dumps(document, ensure_ascii=False)
    found: Held = {"sha256": hashlib.sha256(text.encode()).hexdigest()}
    if "refused" in document:
        return {**found, "refused": document["refused"]}
    found |= {"before_tax": document["price"]["before_tax"], "cost": document["cost"]["total"]}
    return found | {key: document["totals"][key] for key in FIGURES}


def _one(name: str) -> tuple[str, Held]:
    return name, held(document_of(name))


def computed(processes: int, wanted: list[str]) -> dict[str, Held]:
    """Return what holds now of some jobs, by name."""
    if processes == 1:
        return dict(map(_one, wanted))
    with ProcessPoolExecutor(processes) as pool:
        return dict(pool.map(_one, wanted, chunksize=8))


def changes(before: dict[str, Held], after: dict[str, Held]) -> Iterator[str]:
    """Yield what changed, a line a job."""
    for name in [*before, *(set(after) - set(before))]:
        was, now = before.get(name, {}), after.get(name, {})
        if was != now:
            keys = [key for key in {**was, **now} if key != "sha256" and was.get(key) != now.get(key)]
            told = "; ".join(f"{key} {was.get(key)} -> {now.get(key)}" for key in keys)
            yield f"{name}: {told or 'other parts of the document'}"
