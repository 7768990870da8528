"""The bill of a job: which quantity becomes which cost line."""

from dataclasses import dataclass

from estimator.book.pricebook import PriceBook
from estimator.days.schedule import Schedule
from estimator.formula import choice, formula, summed
from estimator.money.lines import Line, allowance_line, line, share_line
from estimator.money.price import Price, price_of
from estimator.road import BoreFigures, Figures
from estimator.shop.remedy import Remedy

__all__ = ["Bill", "bill_of"]


@dataclass(frozen=True)
class Bill:
    """Cost lines and the price made of them."""

    lines: tuple[Line, ...]
    price: Price


@formula("person_time", "definition: people times time", "computed", unit="s")
def person_time(time: float, people: int) -> float:
    """Person-time. [s]"""
    return time * people


@formula("distance", "definition: there and back", "computed", unit="m")
def there_and_back(distance: float, trips: int) -> float:
    """Distance driven. [m]"""
    return 2 * distance * trips


@formula("nights", "definition: nights times people", "computed")
def person_nights(nights: int, people: int) -> int:
    """Nights paid for. [-]"""
    return nights * people


def _bore_lines(one: BoreFigures, book: PriceBook) -> list[Line]:
    """Return the lines of one bore: its labour by kind of work, and what it uses up."""
    name, time, used = one.plan.survey.bore.name, one.time.plain, one.supplies
    wire, gas = one.plan.weld.wire.name, one.plan.weld.gas.name
    work = {
        "labour-setup": ("set-up, alignment, strip", (time["setup"], time["teardown"])),
        "labour-boring": (
            "boring before and after, trim, inspection",
            (time["precut"], time["finish"], time["inspection"]),
        ),
        "labour-welding": ("preheat and welding, layers cleaned", (time["preheat"], time["weld"])),
    }
    lines = [
        line(code, text, name, summed("work", "s", *parts), "h", ("rates", "labour_on_site"), book)
        for code, (text, parts) in work.items()
    ]
    lines += [
        line(
            f"labour-{extra.feature.code.replace(' ', '-')}",
            extra.feature.name,
            name,
            extra.total,
            "h",
            ("rates", "labour_on_site"),
            book,
        )
        for extra in one.features
    ]
    return [
        *lines,
        line("wire", f"wire {wire}", name, used.wire, "kg", ("consumables", "wires", wire, "price"), book),
        line("gas", f"gas {gas}", name, used.gas, "L", ("consumables", "gases", gas, "price"), book),
        line("tips", "contact tips", name, used.tips, "each", ("consumables", "tip", "price"), book),
        line("nozzles", "gas nozzles", name, used.nozzles, "each", ("consumables", "nozzle", "price"), book),
        line("inserts", "boring inserts", name, used.inserts, "each", ("consumables", "insert", "price"), book),
        *_power_line(name, used.energy, book),
    ]


def _power_line(bore: str, energy: float, book: PriceBook) -> list[Line]:
    """Return the line of a bore's electricity; none where a generator makes it, whose fuel is charged instead."""
    if book.equipment.generator is not None:
        return []
    return [line("energy", "electricity", bore, energy, "kWh", ("consumables", "energy"), book)]


SUNDRIES = (  # code, words, field, unit, SI unit, the item in the price book
    ("liners", "torch liners", "liners", "each", "", "liner"),
    ("discs", "grinding discs", "discs", "each", "", "disc"),
    ("brackets", "brackets of the bar, by the times they are used", "brackets", "each", "", "bracket"),
    ("anti-spatter", "anti-spatter", "anti_spatter", "L", "m3", "anti_spatter"),
    ("burner-gas", "burner gas for preheat", "burner_gas", "kg", "kg", "burner_gas"),
    ("fuel", "fuel of the generator", "fuel", "L", "m3", "fuel"),
)


def _sundry_lines(figures: Figures, book: PriceBook) -> list[Line]:
    """Return the lines of what is used up beside wire, gas and wear parts, for the whole job."""
    lines = []
    for code, words, field, unit, base, item in SUNDRIES:
        used = summed(field, base, *(getattr(one.supplies, field) for one in figures.bores))
        lines.append(line(code, words, None, used, unit, ("consumables", item, "price"), book, "0.001"))
    return [one for one in lines if one.quantity]


def _allowances(figures: Figures, book: PriceBook) -> list[Line]:
    """Return a line for each bore whose deposit may come out too hard: the odds times one more layer and tempering."""
    return [
        allowance_line(
            "hardness-allowance",
            "one more layer, or tempering, where the deposit comes out too hard to bore",
            one.plan.survey.bore.name,
            one.plan.heat.risk.odds,
            _remedy_lines(one, one.remedy, figures.schedule.people, book),
            book,
        )
        for one in figures.bores
        if one.remedy is not None
    ]


def _remedy_lines(one: BoreFigures, remedy: Remedy, people: int, book: PriceBook) -> list[Line]:
    """Return what saving one bore's deposit would cost, its burner gas included."""
    name, wire, gas = one.plan.survey.bore.name, one.plan.weld.wire.name, one.plan.weld.gas.name
    hours = person_time(remedy.time, people)
    return [
        line("labour-remedy", "labour", name, hours, "h", ("rates", "labour_on_site"), book),
        line("equipment-remedy", "equipment", name, remedy.time, "machine h", ("rates", "equipment"), book),
        line("wire-remedy", "wire", name, remedy.wire, "kg", ("consumables", "wires", wire, "price"), book),
        line("gas-remedy", "gas", name, remedy.gas, "L", ("consumables", "gases", gas, "price"), book),
        line("burner-remedy", "burner", name, remedy.burner_gas, "kg", ("consumables", "burner_gas", "price"), book),
    ]


def _job_lines(figures: Figures, distance: float, book: PriceBook) -> list[Line]:
    """Return the lines of what is done once a job."""
    whole = figures.schedule
    site, road, van = ("rates", "labour_on_site"), ("rates", "labour_travel"), ("travel", "distance")
    once = summed("work", "s", whole.once, whole.fire_watch)
    machines = choice(whole.arrangement.machines, "machines", "machines on site at once in the order of work")
    work = "arrival, permit, test bead, packing, papers, fire watch"
    hours, running = person_time(whole.travel, whole.people), person_time(whole.on_site, machines)
    kit, driven = "boring and welding equipment on site", there_and_back(distance, whole.trips)
    lines = [
        line("labour-job", work, None, once, "h", site, book),
        *_standing_lines(whole, book),
        line("labour-travel", "travel, there and back", None, hours, "h", road, book),
        line("equipment", kit, None, running, "machine h", ("rates", "equipment"), book),
        line("distance", "van, there and back", None, driven, "km", van, book),
    ]
    if whole.nights:
        nights = person_nights(whole.nights, whole.people)
        lines.append(line("nights", "nights away", None, nights, "night", ("travel", "night"), book))
    return lines


def _standing_lines(whole: Schedule, book: PriceBook) -> list[Line]:
    """Return the hours of the crew beside its work: with nothing to do, standing by for others, beyond the shift."""
    site, one = ("rates", "labour_on_site"), whole.arrangement
    said = "cooling that no other work fills"
    said += "; hours in which some of the crew have nothing to do" if one.technicians > 1 else ""
    lines = [line("labour-waiting", said, None, whole.standing, "h", site, book)]
    if one.people > one.technicians:
        extra = choice(one.people - one.technicians, "attendants", "who stand by while one works in a confined space")
        hours = person_time(whole.on_site, extra)
        lines.append(line("labour-attendant", "attendant of the confined space", None, hours, "h", site, book))
    if whole.overtime > 0:
        hours = person_time(whole.overtime, whole.people)
        late = ("rates", "labour_overtime")
        lines.append(line("overtime", "hours beyond the shift, on top", None, hours, "overtime h", late, book))
    return lines


def bill_of(figures: Figures, distance: float) -> Bill:
    """Return the bill of a job: cost lines, overhead and contingency, price."""
    book = figures.plan.book
    lines = [one for bore in figures.bores for one in _bore_lines(bore, book)]
    lines += _sundry_lines(figures, book)
    lines += _job_lines(figures, distance, book)
    lines.append(share_line("overhead", "overhead", book.number("overhead"), lines, book))
    lines.append(share_line("contingency", "contingency", book.number("contingency"), lines, book))
    lines += _allowances(figures, book)
    return Bill(tuple(lines), price_of(lines, book))
