"""The lines of a job in the estimate document: the axis chosen, the plain choices beside it, what it saves."""

from collections.abc import Sequence
from typing import Literal, NotRequired

from typing_extensions import TypedDict

from estimator.bore.axis import AxisChoice, Datum, Ring
from estimator.bore.line import LineAxis
from estimator.express import all_shown
from estimator.formula import difference, formula, leaf
from estimator.job.bore import Bore
from estimator.plans import Plan
from estimator.tables.messages import say, text_of

__all__ = ["Line", "lines_of"]


class PlacedBore(TypedDict):
    """A bore about an axis: where the axis lies at mid-length, its shift from the original centre, the clean-up."""

    name: str
    x_mm: float
    y_mm: float
    shift_mm: float
    cleanup_mm: float


class Axis(TypedDict):
    """One choice of axis: place at position 0, tilt, what it needs, whether it keeps every rule."""

    choice: str
    feasible: bool
    reasons: list[str]
    x_mm: float
    y_mm: float
    tilt_x_mm_m: float
    tilt_y_mm_m: float
    required_volume_mm3: float
    bores: list[PlacedBore]


class Saves(TypedDict):
    """What the chosen axis saves against a plain one."""

    against: str
    required_volume_mm3: float
    deposit_mass_kg: float


class Station(TypedDict):
    """A bore or datum on the line."""

    name: str
    kind: Literal["bore", "datum"]
    position_mm: float
    length_mm: float
    nominal_mm: NotRequired[float]
    original_x_mm: float
    original_y_mm: float
    worn_x_mm: NotRequired[float]
    worn_y_mm: NotRequired[float]
    position_tolerance_mm: NotRequired[float]


class Line(TypedDict):
    """The axis of one line."""

    name: str
    bores: list[str]
    chosen: str
    axes: list[Axis]
    saves: Saves | None
    stations: list[Station]


CHOSEN = "least deposit"


@formula("mass", "definition: density times volume", "computed", unit="kg")
def saved_mass(volume: float, density: float) -> float:
    """Mass of weld metal that an axis saves. [kg]"""
    return volume * density


@formula("place", "geometry of a line", "computed", unit="m")
def across(start: float, tilt: float, place: float) -> float:
    """Where an axis lies across the line at a place along it. [m]"""
    return start + tilt * place


def _known(value: float, name: str, text: str) -> float:
    return leaf(float(value), "given", name, text, unit="m")


def _axis(line: LineAxis, name: str, one: AxisChoice) -> Axis:
    return all_shown(
        Axis(
            choice=name,
            feasible=one.feasible,
            reasons=_reasons(name, one),
            x_mm=one.x0,
            y_mm=one.y0,
            tilt_x_mm_m=one.sx,
            tilt_y_mm_m=one.sy,
            required_volume_mm3=one.required_volume,
            bores=[_placed(one, *each) for each in zip(line.rings, one.radii, one.shifts, strict=True)],
        )
    )


def _placed(axis: AxisChoice, ring: Ring, radius: float, shift: float) -> PlacedBore:
    """Return where an axis lies in one bore, and what the bore is then cut to."""
    middle = _known(ring.start + ring.length / 2, "place", f"middle of bore {ring.name} along the line")
    twice = leaf(2.0, "given", "sides", "a diameter is twice a radius")
    return all_shown(
        PlacedBore(
            name=ring.name,
            x_mm=across(axis.x0, axis.sx, middle),
            y_mm=across(axis.y0, axis.sy, middle),
            shift_mm=shift,
            cleanup_mm=doubled(radius, twice),
        )
    )


@formula("diameter", "definition: twice the radius", "computed", unit="m")
def doubled(radius: float, sides: float) -> float:
    """Diameter of a circle. [m]"""
    return radius * sides


def _reasons(name: str, one: AxisChoice) -> list[str]:
    """Return what holds an axis where it is, or what it breaks."""
    if name == CHOSEN:
        held = [text_of(say("axis_limited", rule=rule)) for rule in one.binding]
        return held or [text_of(say("axis_free"))]
    return [text_of(say("axis_breaks", rule=rule, by=by)) for rule, by in one.breaches]


def _stations(line: LineAxis, plan: Plan) -> list[Station]:
    bores = zip(line.numbers, line.rings, line.worn, strict=True)
    return [
        *(_bore(plan.job.bores[number], ring, worn) for number, ring, worn in bores),
        *(_datum(datum) for datum in line.datums),
    ]


def _bore(bore: Bore, ring: Ring, worn: Sequence[float]) -> Station:
    """Return where a bore lies on the line, as it was and as it is worn."""
    found = Station(
        name=ring.name,
        kind="bore",
        position_mm=_known(ring.start, "position", "as typed in the job document"),
        length_mm=bore.length,
        nominal_mm=bore.nominal_diameter,
        original_x_mm=_known(ring.original[0], "original.x", "original centre from the wire"),
        original_y_mm=_known(ring.original[1], "original.y", "original centre from the wire"),
        worn_x_mm=_known(worn[0], "worn.x", "middle of the readings"),
        worn_y_mm=_known(worn[1], "worn.y", "middle of the readings"),
    )
    if bore.position_tolerance is not None:
        found["position_tolerance_mm"] = bore.position_tolerance
    return all_shown(found)


def _datum(datum: Datum) -> Station:
    """Return where a datum lies on the line."""
    return all_shown(
        Station(
            name=datum.name,
            kind="datum",
            position_mm=_known(datum.start, "position", "as typed"),
            length_mm=_known(datum.length, "length", "as typed"),
            original_x_mm=_known(datum.x, "offset.x", "as typed"),
            original_y_mm=_known(datum.y, "offset.y", "as typed"),
            position_tolerance_mm=_known(datum.tolerance, "tolerance", "as typed"),
        )
    )


def _saves(line: LineAxis, plan: Plan) -> Saves | None:
    """Return what the chosen axis saves against the better of the plain ones that may be taken."""
    able = {name: one for name, one in line.plain.items() if one.feasible}
    if not able:
        return None
    name = min(able, key=lambda key: able[key].required_volume)
    volume = difference(able[name].required_volume, line.chosen.required_volume)
    mass = saved_mass(volume, plan.bores[line.numbers[0]].weld.wire.deposit_density)
    return all_shown(Saves(against=name, required_volume_mm3=volume, deposit_mass_kg=mass))


def lines_of(plan: Plan) -> list[Line]:
    """Return every line whose axis was sought."""
    return [
        {
            "name": line.name,
            "bores": [ring.name for ring in line.rings],
            "chosen": CHOSEN,
            "axes": [_axis(line, CHOSEN, line.chosen), *(_axis(line, name, one) for name, one in line.plain.items())],
            "saves": _saves(line, plan),
            "stations": _stations(line, plan),
        }
        for line in plan.lines
    ]
