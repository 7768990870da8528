"""The boring passes, before and after welding."""

from estimator.estimate import Estimate
from exports.cells import Cell, Row, Sheet, blank, head, heading, note, title
from exports.cut_words import bored_with
from exports.format import by_key, has
from exports.in_units import units_of

__all__ = ["sheet"]

HEAD = (
    "Pass",
    "From [mm]",
    "To [mm]",
    "Depth a side [mm]",
    "Speed [m/min]",
    "Rotation [rpm]",
    "Feed [mm/turn]",
    "Power [kW]",
    "Bar deflection [mm]",
    "Ra [µm]",
    "Edges",
    "Cut [min]",
    "Depth limited by",
    "Speed limited by",
)
KEYS = (
    "purpose",
    "from_mm",
    "to_mm",
    "depth_mm",
    "speed_m_min",
    "rpm",
    "feed_mm_rev",
    "power_kW",
    "deflection_mm",
    "ra_um",
    "edges",
    "time_min",
    "limit",
    "speed_limit",
)
FORMS = (None, "0.00", "0.00", "0.00", "0", "0", "0.00", "0.00", "0.000", "0.0", "0.00", "0.0", None, None)
WIDTHS = (20.0, *(10.0,) * 11, 26.0, 20.0)
COLUMNS = len(WIDTHS)


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the cutting passes."""
    rows = [title(f"Boring passes of {estimate['reference']}", COLUMNS)]
    rows.append(note("Times are cutting times; setting the insert and measuring are extra.", COLUMNS, sum(WIDTHS)))
    frozen = len(rows)
    for bore in estimate["bores"]:
        cut = bore["machining"]
        rows += [blank(), heading(f"Bore {bore['name']}", COLUMNS)]
        rows += [note(bored_with(cut, units_of(estimate)), COLUMNS, sum(WIDTHS))] if has(cut, "bar") else []
        rows.append(head(*HEAD))
        for one in cut["passes"]:
            rows.append(
                Row(tuple(Cell(by_key(one).get(key), form=form) for key, form in zip(KEYS, FORMS, strict=True)))
            )
        volumes = f"{cut['precut_volume_mm3']:,.0f} mm³ cut before welding, {cut['finish_volume_mm3']:,.0f} mm³ after"
        rows.append(note(volumes, COLUMNS, sum(WIDTHS)))
    return Sheet("Cutting", WIDTHS, tuple(rows), frozen, wide=True)
