"""The piece of a page behind a keystroke against the engine's own answer to the same change."""

import statistics
import time
from collections.abc import Callable

from api.pages.desk.priced import form_text, live_price
from api.pages.desk.typed import typed
from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from tests.benchmarks.ratio import Ratio

__all__ = ["keystroke_ratio"]

KEYS = 60
FORM = {
    "reference": "C-1", "site.distance": "85", "bores.0.nominal_diameter": "90", "bores.0.length": "70",
    "bores.1.nominal_diameter": "90", "bores.1.worn_diameter": "92,8", "bores.1.length": "70",
}  # fmt: skip


def _median(make: Callable[[dict[str, str]], object], first: float) -> float:
    """Return the median of the processor's time for a worn diameter that is another one each time. [s]"""
    taken = list[float]()
    for number in range(KEYS):
        form = FORM | {"bores.0.worn_diameter": f"{first + number / 100:.2f}"}
        begun = time.process_time()
        make(form)
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def keystroke_ratio() -> Ratio:
    """Return the time of the piece of a page over that of the engine's price, one bore of two being another."""
    book = read_pricebook()
    live_price(form_text(FORM, None, "metric"), None)  # templates and tables are read once
    ours = _median(lambda form: live_price(form_text(form, None, "metric"), None), 93.0)
    bare = _median(lambda form: estimate(typed(form, None, "metric").document, book, "price"), 94.0)
    return Ratio(
        "price behind a keystroke against the engine", ours / bare, 1.5, f"{1e3 * ours:.0f} against {1e3 * bare:.0f} ms"
    )
