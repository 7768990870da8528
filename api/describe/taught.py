"""What the service's description says of what is learnt from records, and of what they come to in money."""

from typing import Any, Literal

from api.describe.answers import Answer
from api.describe.bills import InvoiceLine
from estimator.learn import Calibrated

__all__ = ["Calibration", "CalibrationList", "CalibrationRow", "KeptCalibration", "Question", "Variance"]


class Question(Answer):
    """What is asked about a record; until it is answered it teaches nothing."""

    bore: str
    key: str
    question: str


class VarianceLine(Answer):
    """One difference: above nought more than planned, at its planned price; a rate at the hours that were worked."""

    code: Literal["hours", "rig", "wire", "gas", "rate"]
    bore: str | None
    quantity: float
    unit: str
    unit_cost: str
    amount: str


class Variance(Answer):
    """What an accepted quote's work cost more than planned, what was charged beside the quote, and what that leaves."""

    quote: str
    currency: str
    lines: list[VarianceLine]
    cost_more: str
    scope: str
    result: str
    left_out: list[InvoiceLine]
    asked_about: list[Question]


class Calibration(Calibrated):
    """What recorded jobs teach, its hash, and which version of those accepted is in force."""

    sha256: str
    accepted: int | None


class CalibrationRow(Answer):
    """A calibration that was accepted."""

    version: int
    sha256: str
    accepted_at: str
    accepted_by: str
    jobs: int


class KeptCalibration(CalibrationRow):
    """The same with what it says."""

    calibration: dict[str, Any]


class CalibrationList(Answer):
    """A page of accepted calibrations."""

    items: list[CalibrationRow]
    next: str | None
