"""The quote: what is done, for how much, what the customer provides. The first sheet of the shop's own workbook."""

from typing import Any

from estimator.document.old import band_of
from estimator.estimate import Estimate
from exports.cells import Cell, Formula, Row, Sheet, blank, heading, money_form, note, text, title
from exports.format import Grade, amount, by_grade, by_key, counted, field, has, headed, is_demo, moved, to_tens
from exports.phrases import moved_said

__all__ = ["sheet"]

COLUMNS, WIDTHS = 3, (34.0, 22.0, 40.0)
GRADES: tuple[Grade, Grade] = ("stop", "approve")
SETTLED: tuple[tuple[str, Grade], ...] = (("Subject to", "stop"), ("Subject to approval", "approve"))
WIDTH = sum(WIDTHS)


def _pair(name: str, value: Any) -> list[Row]:  # noqa: ANN401  # text or number
    return [] if value in (None, "") else [Row((Cell(name, "label"), Cell(value, "value")))]


def _price(estimate: Estimate) -> list[Row]:
    price, form = estimate["price"], money_form(estimate)
    rows = []
    for name, key, look in (
        ("Price before tax", "before_tax", "amount"),
        ("Tax", "tax", "amount"),
        ("Price with tax", "total", "total"),
    ):
        plain = float(by_key(price)[key])
        value = Formula(f"price_{key}", plain) if has(estimate, "cost") else plain
        rows.append(Row((Cell(name, "label"), Cell(value, look, form), Cell(price["currency"], "value"))))
    return rows


def _budget(estimate: Estimate) -> list[Row]:
    budget, found = estimate.get("budget"), band_of(estimate)
    if not budget or found is None:
        return []
    currency, taxed = estimate["price"]["currency"], "with tax" if found.taxed else "before tax"
    low, high = (amount(to_tens(one), currency) for one in (found.low, found.high))
    rows = [
        heading("Budget price, not binding", COLUMNS),
        text(
            f"Bores with one worst diameter only: {', '.join(budget['bores'])}. Expect about {low} to {high} {taxed}.",
            COLUMNS,
            WIDTH,
        ),
    ]
    if (price := budget.get("other_price")) is not None:
        other = "; ".join(f"{one['name']} worn {one['wear']}" for one in budget.get("other_wear", []))
        rows.append(text(f"With {other}: about {amount(to_tens(price), currency)} with tax.", COLUMNS, WIDTH))
    rows += [text(f"Worn the other way: {why}", COLUMNS, WIDTH) for why in budget.get("other_refused", [])]
    rows.append(text("Measure before a quote may be issued:", COLUMNS, WIDTH))
    return rows + [text(f"  {what}", COLUMNS, WIDTH) for what in budget["measure"]]


def _variation(estimate: Estimate) -> list[Row]:
    """Return what the bores as really cut add, to be signed."""
    found = estimate.get("variation")
    if not found or found["price_more"] is None:
        return []
    rows = [heading("Variation, to be signed before work goes on", COLUMNS)]
    for bore in found["bores"]:
        sizes = f"bored to {bore['cut_cleanup_mm']:.2f} mm, {bore['planned_cleanup_mm']:.2f} mm as gauged"
        rows.append(
            text(f"Bore {bore['name']}: {sizes}; {bore['deposit_more_kg']:+.3f} kg of weld metal", COLUMNS, WIDTH)
        )
    price = moved(found["price_more"], estimate["price"]["currency"])
    more = f"{found['on_site_more_min']:+.0f} min on site, {price} with tax"
    return [*rows, text(f"In all {more}. Signed:", COLUMNS, WIDTH), blank()]


def _sizes(estimate: Estimate) -> list[Row]:
    rows = [
        Row((Cell("Bore", "head"), Cell("Finished diameter [mm]", "head"), Cell("Tolerance, length, steel", "head")))
    ]
    for bore in estimate["bores"]:
        given, sizes = bore["given"], bore["sizes"]
        limits = f"{sizes['finish_min_mm']:.3f} to {sizes['finish_max_mm']:.3f}"
        what = f"{given['tolerance']}, {given['length_mm']:g} mm long, {given['material']}"
        rows.append(Row((Cell(bore["name"]), Cell(limits), Cell(what))))
    return rows + [text(one, COLUMNS, WIDTH) for one in _axes(estimate)]


def _axes(estimate: Estimate) -> list[str]:
    """Return where the axis of a bore will lie, where that is not where its readings have their zero."""
    placed = ((bore["name"], field(bore, "sizes", "clock_axis")) for bore in estimate["bores"])
    return [
        f"Bore {name}: its axis will lie {moved_said(place)} of the zero of the readings, seen from the drive side"
        for name, place in placed
        if place is not None
    ]


def _heads(estimate: Estimate) -> list[Row]:
    """Return what keeps the paper from being a quote that binds: a stop, or an approval that is open."""
    stops, approvals = (by_grade(estimate, grade) for grade in GRADES)
    if not stops and not approvals:
        return []
    said = "DRAFT, NOT TO BE ISSUED: " if stops else "APPROVAL REQUIRED: "
    counts = ((stops, "stop", ""), (approvals, "approval", ""))
    still = " and ".join(counted(len(found), one, many) for found, one, many in counts if found)
    return [text(f"{said}{still} to be settled before work begins, see Subject to", COLUMNS, WIDTH, "alarm")]


def _list(name: str, items: list[str]) -> list[Row]:
    return [blank(), heading(name, COLUMNS), *(text(f"-  {item}", COLUMNS, WIDTH) for item in items)]


def sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of the quote."""
    job, book, scope = estimate["job"], estimate["pricebook"], estimate["scope"]
    draft = "Draft " if by_grade(estimate, "stop") else ""
    named = (
        draft + ("budget price" if draft else "Budget price") if "budget" in estimate else f"{draft}quote".capitalize()
    )
    rows = [title(f"{named} {estimate['reference']}: repair of worn bores", COLUMNS)]
    if is_demo(estimate):
        rows.append(note(f"DEMO PRICES, NOT FOR USE. {book['note']}", COLUMNS, WIDTH))
    else:
        rows.append(note(book["note"], COLUMNS, WIDTH))
    frozen = len(rows)
    rows += [*_heads(estimate), blank(), *_pair("Job", job["title"]), *_pair("Customer", job["customer"])]
    rows += [
        *_pair("Machine", field(job, "equipment", "description")),
        *_pair("Machine hours", field(job, "equipment", "machine_hours")),
    ]
    rows += [] if "budget" in estimate else _pair("Valid for [days]", book["validity_day"])
    rows += [blank(), *_price(estimate), blank(), *_budget(estimate), *_variation(estimate)]
    rows += [heading("Bores", COLUMNS), *_sizes(estimate)]
    rows += [row for name, said in headed(estimate, *SETTLED) for row in _list(name, said)]
    rows += _list("Included", scope["included"])
    rows += _list("Not included", scope["excluded"])
    rows += _list("Customer to provide", scope["customer"])
    return Sheet("Quote", WIDTHS, tuple(rows), frozen, footer=estimate["reference"])
