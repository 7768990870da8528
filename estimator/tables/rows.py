"""The models of the tables' rows: which fields a fact has and what each is."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from estimator.fields import (
    AnyQuantity,
    Current,
    Density,
    Flow,
    Fraction,
    Length,
    LinearDensity,
    Mass,
    Number,
    Pressure,
    Speed,
    Temperature,
    Voltage,
    quantity_field,
)
from estimator.tables.row import Row
from estimator.tables.words import CardRow, Caution, DayRow, Demanded, Practice, Procedure, Scope, Shade
from estimator.tables.work_rows import (
    Access,
    Doubt,
    Event,
    FinishGrade,
    Learning,
    RoadPart,
    TimeStandard,
    Weather,
    YesNo,
)

__all__ = [
    "ROWS", "Access", "CardRow", "Caution", "Change", "Constant", "Cutting", "DayRow", "Demanded", "Doubt", "Event",
    "FinishGrade", "Fluid", "Gas", "Gauge", "HardnessCut", "Learning", "Limit", "PlateEnds", "Practice", "Procedure",
    "RoadPart", "Row", "Scope", "Shade", "Steel", "TablePreheat", "TimeStandard", "Transfer", "Usual", "Weather",
    "Wire",
]  # fmt: skip

Percent = Annotated[float, Field(strict=True, ge=0, le=60, allow_inf_nan=False)]
Kind = Literal["solid", "metal-cored", "flux-cored"]

Delivery = Literal["rolled", "normalized", "quenched and tempered", "case hardening", "cast"]


class Wire(Row):
    """A welding wire: sizes (nominal and actual apart), mass, burn-off law, voltage line, chemistry of the deposit.

    `charts`: the wires of the table of charts that stand behind its burn-off law; `bead_aspect`: of a test bead.
    """

    name: str
    kind: Kind
    nominal_diameter: Length
    diameter: Length
    linear_density: LinearDensity | None = None
    deposit_density: Density
    efficiency: Annotated[float, Field(gt=0, le=1)]
    feed_linear: quantity_field("feed per ampere")  # pyrefly: ignore[invalid-annotation] # an annotation made by a function
    feed_squared: quantity_field("feed per ampere squared", positive=False)  # pyrefly: ignore[invalid-annotation] # the same
    feed_scatter: Fraction
    bead_aspect: Annotated[float, Field(ge=1, le=10)] | None = None
    voltage_base: Voltage
    voltage_slope: quantity_field("resistance")  # pyrefly: ignore[invalid-annotation] # the same
    voltage_scatter: Voltage
    current_low: Current
    current_high: Current
    hydrogen: Annotated[float, Field(ge=1, le=20)]
    C: Percent
    Si: Percent
    Mn: Percent
    wear_factor: Annotated[float, Field(ge=1)]
    slag: YesNo
    charts: str = ""


class Gas(Row):
    """A shielding gas: class, what it holds, the wires it suits and the axis it is the first choice on."""

    name: str
    symbol: str
    co2: Number
    o2: Number
    wires: str
    first_on: str = ""
    flow: Flow
    caution: str = ""
    why: str


class Fluid(Row):
    """A pure gas: its critical point, acentric factor and the mass of a mole."""

    name: str
    critical_temperature: Temperature
    critical_pressure: Pressure
    acentric: Number
    molar_mass: Mass


class Change(Row):
    """Parts that are changed by a rule of the house and not when they are worn: how many, and per what."""

    key_field: ClassVar[str] = "code"
    code: str
    part: Literal["tip", "nozzle", "insert", "liner"]
    basis: Literal["job", "line", "bore", "layer"]
    count: Annotated[float, Field(strict=True, ge=0, le=100, allow_inf_nan=False)]
    meaning: str


class Steel(Row):
    """A steel: typical and limiting composition in percent by mass, how it is delivered, what may be done with it."""

    name: str
    family: Literal["structural", "carbon", "alloy", "casting", "iron", "manganese", "stainless"]
    C: Percent
    Si: Percent = 0.0
    Mn: Percent = 0.0
    Cr: Percent = 0.0
    Mo: Percent = 0.0
    Ni: Percent = 0.0
    Cu: Percent = 0.0
    V: Percent = 0.0
    C_max: Number | None = None
    Si_max: Number | None = None
    Mn_max: Number | None = None
    Cr_max: Number | None = None
    Mo_max: Number | None = None
    Ni_max: Number | None = None
    Cu_max: Number | None = None
    V_max: Number | None = None
    delivery: Delivery
    verdict: Literal["plan", "approval", "refuse", "analysis", "range"]
    why: str
    hardness: Number | None = None
    tempered_at: Temperature | None = None
    table_category: str = ""
    table_note: str = ""


class TablePreheat(Row):
    """Least preheat of a published table for a category of steels, over a range of thickness (upper end included)."""

    name: str
    table: str
    category: str
    above: AnyQuantity
    up_to: AnyQuantity
    preheat: Temperature


class Limit(Row):
    """A limit of technique: what it bounds, for which wire, axis and wall, its ends and its reason."""

    name: str
    quantity: str
    kind: Literal["any", "solid", "metal-cored", "flux-cored"]
    axis: Literal["any", "horizontal", "vertical"]
    wall: Literal["any", "thick", "thin", "hardenable"]
    scope: Literal["must", "comfort", "first bead"]
    low: AnyQuantity | None = None
    high: AnyQuantity | None = None
    reason: str


class Transfer(Row):
    """How metal goes over in the arc: for a kind and size of wire, CO2 in the gas [%] and current."""

    name: str
    kind: Kind
    nominal_low: Length
    nominal_high: Length
    co2_low: Number
    co2_high: Number
    low: quantity_field("current", positive=False)  # pyrefly: ignore[invalid-annotation] # an annotation made by a function
    high: Current
    mode: Literal["short arc", "pulse", "large drops", "spray", "spray under slag"]
    reason: str

    def meets(self, wire: Wire, gas: Gas, current: float) -> bool:
        """Return whether this is the row of a wire with a gas at a current [A]."""
        sized = self.nominal_low <= wire.nominal_diameter <= self.nominal_high
        mixed = self.co2_low <= gas.co2 <= self.co2_high
        return self.kind == wire.kind and sized and mixed and bool(self.low <= current <= self.high)


class Constant(Row):
    """A number of physics, of a standard or of practice."""

    name: str
    value: AnyQuantity
    meaning: str


class Usual(Row):
    """Between which ends a figure of a job usually lies: the slip of a unit or of the decimal point lies outside."""

    name: str
    of: Literal["site", "equipment", "bore"]
    words: str
    unit: str
    low: AnyQuantity
    high: AnyQuantity
    hint: str = ""


class PlateEnds(Row):
    """Where a plate ends: in words, on which sides, and what heat meets on its way round the bore."""

    name: Literal["none", "side", "corner", "strip", "lug", "round"]
    plainly: str
    sides: str
    bend: Number


class Gauge(Row):
    """A way to measure: standard uncertainty of a reading, the share of it that one side bears, what it cannot see."""

    name: str
    uncertainty: Length
    one_sided: Annotated[float, Field(gt=0, le=2)]
    even: Annotated[float, Field(gt=0, le=2)]
    blind: str


class Cutting(Row):
    """How a metal cuts: Kienzle's constant and exponent, turning speed with coated carbide at a hardness [HB]."""

    name: str
    kc: Pressure
    rise: Fraction
    speed: Speed
    hardness: Annotated[float, Field(ge=50, le=700)]


class HardnessCut(Row):
    """How much slower a steel is cut at a hardness [HB] than a soft one."""

    name: str
    hardness: Annotated[float, Field(ge=50, le=700)]
    speed: Annotated[float, Field(gt=0, le=1)]


ROWS: dict[str, type[Row]] = {
    "wires": Wire,
    "gases": Gas,
    "fluids": Fluid,
    "changes": Change,
    "steels": Steel,
    "limits": Limit,
    "transfer": Transfer,
    "constants": Constant,
    "usual": Usual,
    "plate_ends": PlateEnds,
    "times": TimeStandard,
    "finish_grades": FinishGrade,
    "roads": RoadPart,
    "access": Access,
    "weather": Weather,
    "gauges": Gauge,
    "cutting": Cutting,
    "hardness_cut": HardnessCut,
    "shades": Shade,
    "cautions": Caution,
    "scope": Scope,
    "practice": Practice,
    "preheat_table": TablePreheat,
    "card": CardRow,
    "day_card": DayRow,
    "demanded": Demanded,
    "procedures": Procedure,
    "doubts": Doubt,
    "events": Event,
    "learning": Learning,
}
