"""The commands quote, compare, order and diff, run as a user runs them."""

import io
import json
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner

from api.commands import app

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
FOOT, POST = str(SAMPLES / "boom_foot.json"), str(SAMPLES / "slew_post.json")
RUN = CliRunner()


def _wrong(tmp_path: Path) -> str:
    document = json.loads(Path(FOOT).read_text("utf-8"))
    document["bores"][0]["length"] = 70
    path = tmp_path / "wrong.json"
    path.write_text(json.dumps(document), "utf-8")
    return str(path)


def _refused(tmp_path: Path) -> str:
    document = json.loads(Path(FOOT).read_text("utf-8"))
    document["bores"][0]["condition"]["cracks"] = "yes"
    path = tmp_path / "cracked.json"
    path.write_text(json.dumps(document), "utf-8")
    return str(path)


def test_a_quote_is_a_workbook(tmp_path: Path) -> None:
    out = tmp_path / "q.xlsx"
    done = RUN.invoke(app, ["quote", FOOT, "--out", str(out), "--json"])
    assert done.exit_code == 0
    said = json.loads(done.stdout)
    assert set(said) == {"file", "sheets", "estimate"}
    assert said["file"] == str(out)
    assert openpyxl.load_workbook(io.BytesIO(out.read_bytes())).sheetnames == said["sheets"]


def test_a_refused_quote_leaves_no_file(tmp_path: Path) -> None:
    out = tmp_path / "q.xlsx"
    assert RUN.invoke(app, ["quote", _refused(tmp_path), "--out", str(out)]).exit_code == 1
    assert RUN.invoke(app, ["quote", _wrong(tmp_path), "--out", str(out)]).exit_code == 2
    assert not out.exists()


def test_a_comparison_is_told_and_typed() -> None:
    assert "Cheapest over the years: repair on site" in RUN.invoke(app, ["compare", FOOT]).stdout
    assert json.loads(RUN.invoke(app, ["compare", FOOT, "--json"]).stdout)["best"] == "repair"


def test_a_refused_repair_still_compares(tmp_path: Path) -> None:
    done = RUN.invoke(app, ["compare", _refused(tmp_path), "--json"])
    assert done.exit_code == 0
    assert json.loads(done.stdout)["choices"][0]["feasible"] is False


def test_an_order_of_two_jobs_with_stock(tmp_path: Path) -> None:
    stock, out = tmp_path / "stock.csv", tmp_path / "o.xlsx"
    stock.write_text("item,on_hand,pack_size\ntip,4,10\n", "utf-8")
    done = RUN.invoke(app, ["order", FOOT, POST, "--stock", str(stock), "--out", str(out), "--json"])
    assert done.exit_code == 0
    (tip,) = [line for line in json.loads(done.stdout)["lines"] if line["item"] == "tip"]
    assert (tip["on_hand"], tip["packs"]) == (4, 0)
    assert openpyxl.load_workbook(io.BytesIO(out.read_bytes())).sheetnames == ["Order", "Van"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("item,on_hand\ntip,4\n", "the first line must be"),
        ("item,on_hand,pack_size\ntipp,4,10\n", "stock.0.item"),
        ("item,on_hand,pack_size\ntip,four,10\n", "stock.0.on_hand"),
        ("item,on_hand,pack_size\ntip,4,0\n", "stock.0.pack_size"),
    ],
)
def test_a_wrong_stock_is_told_by_row(tmp_path: Path, text: str, said: str) -> None:
    stock = tmp_path / "stock.csv"
    stock.write_text(text, "utf-8")
    done = RUN.invoke(app, ["order", FOOT, "--stock", str(stock)])
    assert done.exit_code == 2
    assert done.stderr.startswith(f"{stock}: ")
    assert said in done.stderr


def test_a_wrong_job_among_several_is_told_by_its_file(tmp_path: Path) -> None:
    wrong, cracked = _wrong(tmp_path), _refused(tmp_path)
    done = RUN.invoke(app, ["order", FOOT, wrong])
    assert (done.exit_code, done.stderr.split(": ")[:2]) == (2, [wrong, "bore A, length"])
    done = RUN.invoke(app, ["order", cracked, FOOT])
    assert (done.exit_code, done.stderr.split(": ")[:2]) == (1, [cracked, "bore A, condition, cracks"])
    done = RUN.invoke(app, ["order", FOOT, "--service-level", "1"])
    assert done.exit_code == 2
    assert "service_level" in done.stderr


def test_a_difference_adds_up(tmp_path: Path) -> None:
    document = json.loads(Path(FOOT).read_text("utf-8"))
    document["site"]["distance"] = "120 km"
    other = tmp_path / "far.json"
    other.write_text(json.dumps(document), "utf-8")
    found = json.loads(RUN.invoke(app, ["diff", FOOT, str(other), "--json"]).stdout)
    assert [cause["keys"] for cause in found["causes"]] == [["site.distance"]]
    assert found["causes"][0]["moved"] == found["difference"]
    assert "site distance: 85 km" in RUN.invoke(app, ["diff", FOOT, str(other)]).stdout
    dear = tmp_path / "dear.json"
    dear.write_text('{"margin": 0.3}', "utf-8")
    found = json.loads(RUN.invoke(app, ["diff", FOOT, FOOT, "--other-pricebook", str(dear), "--json"]).stdout)
    assert found["causes"][0]["keys"] == ["pricebook: margin"]
    assert RUN.invoke(app, ["diff", FOOT, _wrong(tmp_path)]).exit_code == 2
