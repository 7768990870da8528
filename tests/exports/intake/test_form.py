"""What the sheet asks is what a job can hold, and what it offers is what a spreadsheet can show."""

import io
from typing import Any, get_args

import openpyxl
import pytest
from pydantic import BaseModel

from estimator.after.happened import DoneBore, Happened
from estimator.book.pricebook import read_pricebook
from estimator.job.bore import Bore
from estimator.job.job import Job
from exports.intake.fields import BORES, DONE, JOB, RECORD, Group, fields_of
from exports.intake.form import intake_sheets, intake_workbook
from tests.jobs import bore, job

LONGEST = 255  # characters of a hint, and of a list that stands in its cell, in a spreadsheet


def models_in(annotation: Any) -> list[type[BaseModel]]:
    """Return every model within an annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [found for part in get_args(annotation) for found in models_in(part)]


def holds(model: type[BaseModel], key: str) -> bool:
    """Say whether a model has a dotted key."""
    head, _, rest = key.partition(".")
    field = next((one for name, one in model.model_fields.items() if head in (name, one.alias)), None)
    return field is not None and (not rest or any(holds(one, rest) for one in models_in(field.annotation)))


@pytest.mark.parametrize(
    ("groups", "model"),
    [(JOB, Job), (BORES, Bore), (RECORD, Happened), (DONE, DoneBore)],
    ids=["job", "bore", "record", "done"],
)
def test_each_question_has_a_key_that_is_read(groups: tuple[Group, ...], model: type[BaseModel]) -> None:
    keys = [one.key for one in fields_of(groups) if " " not in one.key]  # "depth 1" is gathered into a list of stations
    assert len(keys) >= 6
    assert [key for key in keys if not holds(model, key)] == []
    assert not holds(model, "condition.cracked")


def test_words_to_choose_from_are_those_that_are_taken() -> None:
    for one in fields_of(BORES):
        for word in one.words if one.kind == "choice" else ():
            head, _, rest = one.key.partition(".")
            value = (
                {rest: word, **({"reach": "200 mm"} if word not in ("none",) else {})}
                if head == "plate"
                else {rest: word}
            )
            made = bore(**({head: value} if rest else {head: word}))
            Bore.model_validate(made)


def test_lists_and_hints_fit_into_a_cell() -> None:
    for sheet in intake_sheets(job()):
        for choice in sheet.choices:
            assert len(choice.hint) <= LONGEST
            assert len(",".join(choice.values)) <= LONGEST
            assert not any("," in word or '"' in word for word in choice.values)


def test_every_steel_that_is_known_is_offered_and_unknown_first() -> None:
    sheet = next(one for one in intake_sheets() if one.name == "Steels")
    names = [row.cells[0].value for row in sheet.rows[3:]]
    assert names[0] == "unknown"
    assert set(names) == set(read_pricebook().facts.rows("steels"))
    assert len(names) <= 100  # rows that the drop-down of the column Steel reaches


def test_drop_downs_stand_where_they_are_asked_for() -> None:
    book = openpyxl.load_workbook(io.BytesIO(intake_workbook()))
    offered = {str(one.sqref): one for one in book["Bores"].data_validations.dataValidation}
    assert offered["T5:T22"].formula1 == '"no,yes,unknown"'
    assert (offered["G5:G22"].formula1, offered["G5:G22"].showErrorMessage) == ("Steels!$A$4:$A$103", False)
    assert offered["D4"].formula1 == '"mm,in"'
    assert offered["T5:T22"].showErrorMessage
    assert book["Bores"].freeze_panes == "B5"


def test_units_of_a_job_in_inches_are_offered_first() -> None:
    sheets = {one.name: one for one in intake_sheets(None, us=True)}
    assert [cell.value for cell in sheets["Bores"].rows[3].cells if cell.look == "unit"] == ["in"] * 11
    inches = {
        one.name: one
        for one in intake_sheets(job(bore(nominal_diameter="3.5 in", readings=None, worn_diameter="3.6 in")))
    }
    assert "in" in [cell.value for cell in inches["Bores"].rows[3].cells]
