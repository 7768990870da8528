"""What is said: figures and their limits told apart, every code with its row, and nothing that hangs on a word."""

import ast
import json
import re
import string
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from estimator.book.pricebook import read_pricebook
from estimator.compare import compare
from estimator.document.redact import redact
from estimator.errors import JobRefusedError
from estimator.estimate import estimate
from estimator.steps import memo
from estimator.tables import messages
from estimator.tables.messages import Said, about, grade_of, say, text_of
from exports.format import by_grade, to_settle
from exports.page.choice import _even
from exports.sheets import card
from tests.golden.jobs import golden_case
from tests.jobs import SOUND, bore, job

ROOT = Path(__file__).parents[3]
SOURCES = sorted((ROOT / "estimator").rglob("*.py"))
BUILT_IN = {"who"}  # a place that the row itself fills

# ---------------------------------------------------------------- figures


@pytest.mark.parametrize(
    ("travel", "said"),
    [
        (8.00009e-3, "just over 8 mm/s, limit 8 mm/s"),
        (8.2e-3, "8.2 mm/s, limit 8 mm/s"),
        (7.99999e-3, "just under 8 mm/s, limit 8 mm/s"),
        (8e-3, "8 mm/s, limit 8 mm/s"),
    ],
)
def test_a_figure_never_reads_as_the_limit_that_it_passes(travel: float, said: str) -> None:
    what = say("travel_speed")
    told = text_of(say("over_limit", what=what, value=travel, limit=8e-3, unit="mm/s", rows=("comfort",)))
    assert told == f"travel speed {said} (comfort)"


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        ({"wear": 0.0043e-3, "clock": 90.0}, "0.0043 mm of wear at 90\u00b0"),
        ({"wear": 1.525e-3, "clock": 22.5}, "1.53 mm of wear at 23\u00b0"),
        ({"wear": 0.0, "clock": 0.0}, "0 mm of wear at 0\u00b0"),
        ({"wear": 120e-3, "clock": 5.5}, "120 mm of wear at 5.5\u00b0"),
    ],
)
def test_a_figure_has_the_digits_of_its_unit(figures: Mapping[str, float], said: str) -> None:
    assert text_of(say("sector_missed", **figures)).startswith(said)


def test_units_are_told_as_they_are_written_on_paper() -> None:
    assert "65 \u00b0C or below" in text_of(say("finish_cut", finish=338.15, growth=4.7e-5))
    assert "chance 0.04 %" in text_of(say("chance", odds=0.0004))
    assert "good to -30 % to +50 %" in text_of(say("repair_budget", low=-0.3, high=0.5))
    assert "Ra 1.6 \u00b5m" in text_of(say("rough", asked=1.6e-6, found=3.2e-6))


def test_a_message_is_a_value() -> None:
    one = say("impossible", wire="W", why=say("no_outside"))
    assert one == say("impossible", wire="W", why=say("no_outside")) and len({one, one}) == 1
    assert about("bores.0", about("wear", one)).path == "bores.0.wear"
    assert grade_of(one) == "know"
    with pytest.raises(AttributeError):
        one.code = "other"  # pyrefly: ignore[read-only] # what cannot be done


# ---------------------------------------------------------------- the table


def _places(template: str) -> set[str]:
    """Return the places of a template, those in its formats too."""
    found = set()
    for _, name, spec, _ in string.Formatter().parse(template):
        if name is not None:
            found |= {name} | _places(spec or "")
            found |= set(re.findall(r" vs (\w+)$", spec or ""))
    return found


def _strings(node: ast.expr | None, scope: ast.AST) -> list[str]:
    """Return what texts an expression may be: written out, one of two, or a name assigned one of these."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        return [*_strings(node.body, scope), *_strings(node.orelse, scope)]
    return [text for value in _assigned(node, scope) for text in _strings(value, scope)]


def _assigned(node: ast.expr | None, scope: ast.AST) -> list[ast.expr]:
    """Return what is assigned to a name in a function."""
    return [
        one.value
        for one in ast.walk(scope)
        if isinstance(one, ast.Assign) and isinstance(node, ast.Name) and ast.unparse(one.targets[0]) == node.id
    ]


def _keys(call: ast.Call, scope: ast.AST) -> set[str]:
    """Return the names of the figures that a call gives."""
    found = {one.arg for one in call.keywords if one.arg is not None}
    for one in call.keywords:
        for value in _assigned(one.value, scope) if one.arg is None else ():
            assert isinstance(value, ast.Dict), ast.unparse(call)
            found |= {ast.literal_eval(key) for key in value.keys if key is not None}
    return found


def _said() -> Iterator[tuple[str, str, set[str]]]:
    """Yield every code that the program says, where, and the names of the figures that it gives."""
    for path in SOURCES:
        tree = ast.parse(path.read_text("utf-8"))
        scopes = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
        for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            if ast.unparse(call.func) != "say":
                continue
            scope = next((one for one in reversed(scopes) if call in set(ast.walk(one))), tree)
            where = f"{path.relative_to(ROOT)}:{call.lineno}"
            codes = _strings(call.args[0], scope) or _looked_up(call.args[0], tree)
            assert codes, where
            yield from ((code, where, _keys(call, scope)) for code in codes)


def _looked_up(node: ast.expr, tree: ast.AST) -> list[str]:
    """Return the texts of a module's table from which a code is looked up."""
    tables = _assigned(node.value, tree) if isinstance(node, ast.Subscript) else []
    return [ast.literal_eval(value) for one in tables if isinstance(one, ast.Dict) for value in one.values]


SAID = list(_said())


def test_every_code_has_a_row_with_exactly_the_figures_that_it_is_given() -> None:
    for code, where, figures in SAID:
        row = messages.words().get((code, "en"))
        assert row is not None, f"{where}: {code} has no row"
        assert _places(row.text) - BUILT_IN == figures - BUILT_IN, f"{where}: {code}"
        assert row.who or "who" not in _places(row.text) - figures, f"{where}: {code} says who, and the row does not"


def test_no_row_is_dead_and_each_is_said_in_english() -> None:
    codes = {code for code, _, _ in SAID}
    assert {code for code, _ in messages.words()} == codes
    assert {code for code, language in messages.words() if language == "en"} == codes


def test_what_must_be_settled_names_who_decides_and_why() -> None:
    given = {code for code, _, figures in SAID if "who" in figures}
    for (code, _), row in messages.words().items():
        if row.grade in ("stop", "approve"):
            assert row.why, code
            assert row.who or code in given, code


def test_who_may_not_see_a_message_is_told_by_its_row(monkeypatch: pytest.MonkeyPatch) -> None:
    found = estimate(job(site={}), read_pricebook())
    codes = {one["code"] for one in found["warnings"]}
    assert "no_distance" in codes == {one["code"] for one in redact(found, "field")["warnings"]}
    row = messages.words()["no_distance", "en"].model_copy(update={"seen_by": "office"})
    monkeypatch.setattr(messages, "words", lambda: {("no_distance", "en"): row})
    memo.forget()  # what was written before has the words of before
    messages.of_the_office.cache_clear()
    try:
        assert {one["code"] for one in redact(found, "field")["warnings"]} == codes - {"no_distance"}
    finally:
        messages.of_the_office.cache_clear()


def test_a_language_without_a_row_falls_back_to_english(monkeypatch: pytest.MonkeyPatch) -> None:
    own = messages.words()["nothing", "en"].model_copy(update={"language": "de", "text": "nichts"})
    table = {**messages.words(), ("nothing", "de"): own}
    monkeypatch.setattr(messages, "words", lambda: table)
    memo.forget()  # what was written before has the words of before
    assert text_of(say("nothing"), "de") == "nichts"
    assert text_of(say("no_outside"), "de") == text_of(say("no_outside"))


# ---------------------------------------------------------------- nothing hangs on a word

TEXTS = {  # where a text of the table may stand in a document
    "text", "texts", "limits", "advice", "assumptions", "notes", "remark", "why_not", "reasons", "temper", "haz_said",
    "preheat_table", "included", "limit", "supports", "measure", "why", "reason", "other_refused", "refused",
    "cautions_where", "speed_limit",
}  # fmt: skip
JOBS = [
    *(json.loads(path.read_text("utf-8")) for path in sorted((ROOT / "sample_jobs").glob("*.json"))),
    job(
        bore(condition={**SOUND, "cracks": "unknown", "coated": "yes", "bush": "yes", "duty": "lifting"}),
        bore(name="B"),
    ),
    job(bore(condition={}, material="42CrMo4", mounts="clamped"), site={"access": "confined", "wind": "9 m/s"}),
]
LOSS = {"margin": 0.0, "rounding": "400 EUR", "minimum_charge": "0 EUR"}
CASES = [*((document, {}) for document in JOBS), *((golden_case(number)[0], LOSS) for number in range(0, 300, 50))]


def _nonsense(row: Said) -> Said:
    """Return a row with every letter outside its places turned round."""
    parts = []
    for plain, name, spec, _ in string.Formatter().parse(row.text):
        parts.append(plain[::-1].swapcase().replace("{", "{{").replace("}", "}}"))
        parts.append("" if name is None else "{" + name + (f":{spec}" if spec else "") + "}")
    return row.model_copy(update={"text": "".join(parts)})


def _outcome(document: dict[str, Any], patch: dict[str, Any]) -> Any:
    """Return all that is made of a job: its estimate as each role sees it, what is settled, cards, the comparison."""
    book = read_pricebook(patch)
    try:
        found = estimate(document, book)
    except JobRefusedError as error:
        return [(fault.path, fault.code) for fault in error.faults]
    settle = len(to_settle(found)), len(by_grade(found, "check", "know"))
    cards = [sum(cell.look == "alarm" for row in one.rows for cell in row.cells) for one in card.sheets(found)]
    both = compare(document, book) if "economics" in document else None
    even = [line.partition(":")[0] for line in _even(both)] if both else []
    return found, redact(found, "fleet"), settle, cards, both, even


def _same(one: Any, other: Any, key: str = "") -> None:
    """Hold two documents to be the same but for their texts, and those to be there in the same number."""
    assert type(one) is type(other), key
    if isinstance(one, dict):
        assert one.keys() == other.keys()
        for name in one:
            _same(one[name], other[name], name)
    elif isinstance(one, (list, tuple)):
        assert len(one) == len(other), key
        for left, right in zip(one, other, strict=True):
            _same(left, right, key)
    elif not (isinstance(one, str) and key in TEXTS):
        assert one == other, key


@pytest.mark.parametrize("number", range(len(CASES)))
def test_another_wording_changes_no_decision(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    before = _outcome(*CASES[number])
    table = {key: _nonsense(row) for key, row in messages.words().items()}
    monkeypatch.setattr(messages, "words", lambda: table)
    memo.forget()  # what was written before has the words of before
    after = _outcome(*CASES[number])
    _same(before, after)
    assert before != after or isinstance(before, list)
