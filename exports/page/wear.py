"""On the page: limits of the measurement, what a bore has besides a cylinder, the ways where wear is one-sided."""

from estimator.beside.ways import Way
from estimator.document.bore import Bore
from estimator.estimate import Estimate
from exports.format import Units, amount, bare, by_key, counted, has, label, shown
from exports.page.parts import columns, heading, listed, named, wrapped

__all__ = ["features", "gauging", "lines", "ways"]

ZERO = "Measured from the wire through the line, seen from the drive side: across is towards 3 o'clock, up towards 12."
LONGEST_FEATURE = 28  # signs
ABOUT = "wear_about_axis_mm"
TAKEN = ("fill_mass_kg", "arc_time_min", "grinding_min", "time_min")


def gauging(estimate: Estimate, units: Units) -> list[str]:
    """Return how well the wear is known, and what the way of measuring cannot see."""
    known, said = dict[str, list[str]](), dict[str, list[str]]()
    for bore in estimate["bores"]:
        wear = bore["wear"]
        if not has(wear, "radial_wear_uncertainty_mm"):
            return []
        within = shown("radial_wear_uncertainty_mm", wear["radial_wear_uncertainty_mm"], units)
        known.setdefault(f"wear a side known to ±{within} (k = 2), gauge only", []).append(bore["name"])
        for risk in wear["risks"]:
            said.setdefault(risk, []).append(bore["name"])
    points = [f"{', '.join(names)}: {one}" for one, names in [*known.items(), *said.items()]]
    return [*heading("MEASUREMENT LIMITS"), *listed(points)]


def features(bore: Bore, units: Units) -> list[str]:
    """Return what a bore has besides a plain cylinder and what each takes, its price being a line of its own."""
    found = bore.get("features", [])
    if not found:
        return []
    head = [["", "laid", "arc", "grinding", "time"], ["", *(label(key, units) for key in TAKEN)]]
    rows = [[one["name"], *(bare(key, by_key(one)[key], units) for key in TAKEN)] for one in found]
    return [*listed([f"{one['name']}: {one['text']}" for one in found]), "", *columns(head, rows, LONGEST_FEATURE)]


def ways(estimate: Estimate, units: Units) -> list[str]:
    """Return the ways of building up a bore that is worn on one side only, beside each other."""
    lines: list[str] = []
    currency = estimate["price"]["currency"] if has(estimate, "price") else ""
    for one in estimate.get("ways", []):
        part = f"worn from {bare('clock_from', one['clock_from'], units)} to {bare('clock_to', one['clock_to'], units)}"
        lines += [*heading(f"BORE {one['bore']}: BUILD UP ONLY WHERE WORN?"), *wrapped(f"{part} degrees on the clock.")]
        for way in one["options"]:
            lines += named(way["way"], _taken(way, currency, units) if way["feasible"] else "not possible")
            lines += listed(way["reasons"], "                - ")
        lines += wrapped(f"Advised: {one['advised']}; {one['why']}.")
    return lines


def _taken(way: Way, currency: str, units: Units) -> str:
    """Return what one way takes, against the full circle."""
    said = [f"clean up to {shown('cleanup_mm', way['cleanup_mm'], units)}"]
    said.append(f"lay {shown('deposit_mass_kg', way['deposit_mass_kg'], units)}, {counted(way['starts'], 'start')}")
    more = way["on_site_more_min"]
    if way["way"] != "full circle":
        said.append(f"{shown('on_site_more_min', abs(more), units)} {'more' if more >= 0 else 'less'} on site")
        price = way.get("price_more")
        said += (
            [f"{amount(price.removeprefix('-'), currency)} {'less' if price.startswith('-') else 'more'}"]
            if price
            else []
        )
    return ", ".join(said)


def _about(wear: float | None, units: Units) -> str:
    return "-" if wear is None else bare(ABOUT, wear, units)


def lines(estimate: Estimate, units: Units) -> list[str]:
    """Return where the axis of each line goes, what it saves, and what the plain choices would need."""
    said: list[str] = []
    for line in estimate.get("lines", []):
        said += heading(f"LINE {line['name']}: BORE AXIS")
        chosen = line["axes"][0]
        said += wrapped(ZERO)
        about = {bore["name"]: bore["wear"].get("wear_about_axis_mm") for bore in estimate["bores"]}
        keys = ("x_mm", "y_mm", "shift_mm", "cleanup_mm")
        head = [
            ["", "across", "up", "from original", "bore to", "wear a side"],
            ["", *(label(key, units) for key in keys)],
        ]
        head[1].append(label(ABOUT, units))
        rows = [[one["name"], *(bare(key, by_key(one)[key], units) for key in keys)] for one in chosen["bores"]]
        said += ["", *columns(head, [[*row, _about(about.get(row[0]), units)] for row in rows]), ""]
        said += wrapped("Wear a side is counted from this axis here; under SIZES from the zero of the readings.")
        said += listed(chosen["reasons"])
        for axis in line["axes"]:
            volume = shown("required_volume_mm3", axis["required_volume_mm3"], units)
            able = "" if axis["feasible"] else f"; not allowed: {'; '.join(axis['reasons'])}"
            said += named(axis["choice"], f"{volume} of weld metal{able}", 18)
        if line["saves"] is not None:
            saves = line["saves"]
            mass = shown("deposit_mass_kg", saves["deposit_mass_kg"], units)
            said += wrapped(f"Saves {mass} of weld metal against: {saves['against']}.")
    return said
