"""The intake sheet on paper: every question of the workbook, and what a job says in the boxes."""

import datetime
import json
from pathlib import Path
from typing import Any

import pytest

from exports.intake.fields import BORES, DONE, JOB, RECORD, fields_of
from exports.papers.intake import intake_content, intake_paper
from tests.exports.papers.printed import pages_of, said

DAY = datetime.date(2027, 2, 1)
CRUSHER: Any = json.loads((Path(__file__).parents[3] / "sample_jobs/crusher_boom.json").read_text("utf-8"))


@pytest.mark.office
def test_a_blank_sheet_asks_what_the_workbook_asks_for_three_lines_of_six_bores() -> None:
    paper = intake_paper(None, DAY)
    text = said(paper)
    labels = [one.label for groups in (JOB, BORES, RECORD, DONE) for one in fields_of(groups)]
    assert [label for label in labels if label not in text] == []
    pages = [page for page in pages_of(paper) if "Nominal diameter" in page]
    assert len(pages) == 3 and paper == intake_paper(None, DAY)
    assert "Nominal diameter in" in said(intake_paper(None, DAY, us=True))


def test_what_a_job_says_stands_in_the_boxes() -> None:
    content = intake_content(CRUSHER)
    ((page,),) = (content["bores"],)
    cells = {row["label"]: row["cells"] for group in page for row in group["rows"]}
    assert cells["Bore"][:4] == [bore["name"] for bore in CRUSHER["bores"]] and cells["Bore"][4:] == ["", ""]
    assert [grid["bore"] for grid in content["grids"]] == cells["Bore"][:4]
    read = CRUSHER["bores"][0]["readings"]
    assert content["grids"][0]["clock"] == [f"{one:g}" for one in read["clock"]]
    assert len(content["grids"][0]["rows"]) == len(read["depth"])


def test_more_bores_than_stand_side_by_side_take_more_pages() -> None:
    bores = [{"name": str(number), "line": f"line {number // 7}"} for number in range(15)]
    pages = intake_content({"reference": "R", "bores": bores})["bores"]
    assert [sum(bool(cell) for cell in page[0]["rows"][0]["cells"]) for page in pages] == [6, 1, 6, 2]
