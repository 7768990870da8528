"""What a letter says of the repair: each bore as found, finished and how; the stay on site; what was assumed."""

import datetime
import re
from typing import Any

from exports.format import Units, field
from exports.in_units import text_in
from exports.papers.words import KEPT, Words

__all__ = ["assumptions", "bores", "named", "stay", "told_in"]

MINUTES = 60
STEP = re.compile(r"step ([1-9][0-9]?) of (.+)")  # as `estimator.job.bore` names it
TENTH, HUNDREDTH, THOUSANDTH = 1, 2, 3  # places of a diameter: as told, as read on a gauge, as a limit


def told_in(text: str, units: Units) -> str:
    """Return a text of a paper in units; blanks that part no figure from its unit are plain ones then."""
    return text if units == "metric" else text_in(text.replace(KEPT, " "), units)


def named(name: str, words: Words) -> str:
    """Return the name of a bore; that of a worn step, which is the engine's own, in the paper's language."""
    step = STEP.fullmatch(name)
    return words("step_of", number=step[1], bore=step[2]) if step else name


def bores(found: Any, words: Words, units: Units) -> dict[str, Any]:  # noqa: ANN401  # a document
    """Return the table of bores."""
    head = [words(code) for code in ("bore", "found", "finished", "method")]
    rows = [
        [name, *([told_in(line, units) for line in cell] for cell in cells)]
        for name, *cells in (_row(bore, words, units) for bore in found["bores"])
    ]
    return {"title": words("bores"), "head": head, "rows": rows}


def _row(bore: Any, words: Words, units: Units) -> list[list[str]]:  # noqa: ANN401  # a part of a document
    """Return a bore's cells, each as its lines."""
    sizes, given = bore["sizes"], bore["given"]
    least, most = (words.number(sizes[f"finish_{end}_mm"], THOUSANDTH) for end in ("min", "max"))
    nominal = {
        "nominal": words.number(given["nominal_diameter_mm"], THOUSANDTH, 0),
        "length": words.number(given["length_mm"], HUNDREDTH, 0),
    }
    fit = given["tolerance"]
    if units == "us" and " " not in fit:
        nominal["nominal"] += " mm"  # told with its unit, and turned with the rest
    fitted = words("fit_of", fit=fit, **nominal) if " " not in fit else words("limits_of", **nominal)
    finished = [words("size_of", least=least, most=most), fitted]
    if (asked := given.get("roughness_um")) is not None:
        finished.append(words("roughness_of", roughness=words.number(asked, HUNDREDTH, 0)))
    return [[named(bore["name"], words)], [_found(bore, words)], finished, [_method(bore, words)]]


def _found(bore: Any, words: Words) -> str:  # noqa: ANN401  # a part of a document
    diameter = words.number(bore["wear"]["largest_diameter_mm"], HUNDREDTH)
    if bore["given"].get("readings") is None:
        return words("worn_about", diameter=diameter)
    return words("worn_to", diameter=diameter, wear=words.number(bore["wear"]["max_radial_wear_mm"], HUNDREDTH))


def _method(bore: Any, words: Words) -> str:  # noqa: ANN401  # a part of a document
    given, count = bore["given"], len(bore["buildup"]["layers"])
    layers = words("layer") if count == 1 else words("layers", count=words.number(count))
    code = "method_cut" if given.get("cut_already") else "method_whole"
    code = "method_sector" if given.get("clock_sector") else code
    said = words(code, cleanup=words.number(bore["sizes"]["cleanup_mm"], TENTH), layers=layers)
    preheat = bore["heat"]["preheat_C"]
    return said + (words("preheated", preheat=words.number(preheat)) if preheat else "")


def stay(found: Any, words: Words, *, budget: bool = False) -> list[str]:  # noqa: ANN401  # a document
    """Return how long the crew is on site, and when it can come at the earliest."""
    totals, days = found["totals"], found["schedule"]["days"]
    people = words("person") if totals["people"] == 1 else words("persons", count=words.number(totals["people"]))
    hours = words.number(totals["on_site_min"] / MINUTES)
    said = words("on_site_one", hours=hours, people=people)
    if len(days) > 1:
        said = words("on_site", days=words.number(len(days)), hours=hours, people=people)
    start = days[0].get("date") if days else None
    if start:
        return [said, words("start", date=words.date(datetime.date.fromisoformat(start)))]
    return [said] if budget else [said, words("start_open")]


def assumptions(found: Any, words: Words) -> list[str]:  # noqa: ANN401  # a document
    """Return what a quote rests on, as far as the customer knows better."""
    typed = [bore["given"] for bore in found["bores"] if bore["given"].get("readings") is None]
    wear = dict.fromkeys("assume_even" if given.get("wear") == "even" else "assume_one_side" for given in typed)
    steels = dict.fromkeys(str(bore["given"]["material"]) for bore in found["bores"])
    thick = [bore["name"] for bore in found["bores"] if bore["given"].get("outside_given") is False]
    said = [words("promised"), *map(words, wear or ("assume_wear",))]
    said.append(words(f"assume_{field(found, 'job', 'site', 'access') or 'open'}"))
    said.append(words("assume_steel", steels=", ".join(steels)))
    return said + ([words("assume_wall", bores=", ".join(thick))] if thick else [])
