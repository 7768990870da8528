"""What a spread costs over the estimate it belongs to: two thousand days, as pages show them."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from estimator.steps import memo
from tests.benchmarks.ratio import Ratio, least, readings_job

__all__ = ["spread_ratios"]

DAYS, AIM, ROUNDS = 2000, 10.0, 3


def spread_ratios() -> Iterator[Ratio]:
    """Yield the time of an estimate with a spread over that of one alone, of a sample and of a four-bore job."""
    sample = json.loads(Path("sample_jobs/boom_foot.json").read_text("utf-8"))
    book = read_pricebook()
    for name, document in (("a sample", sample), ("four bores", readings_job(4))):

        def made(days: int, job: Any = document) -> None:
            estimate(job, book, "plan", days)

        alone = least(lambda: made(0), ROUNDS, memo.forget)
        whole = least(lambda: made(DAYS), ROUNDS, memo.forget)
        said = f"{1000 * whole:.0f} against {1000 * alone:.0f} ms"
        yield Ratio(f"a spread of {DAYS} days of {name} against one estimate", whole / alone, AIM, said)
