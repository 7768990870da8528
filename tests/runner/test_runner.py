"""The one command that runs every check must not pass when something did not run."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests import __main__ as whole
from tests.conftest import LONG
from tests.runner import tools
from tests.runner.steps import EXTRAS, NOTHING_COLLECTED, ROOT, VARIABLE, Outcome, pip_line, summary_line, variables

PASSED = Outcome("pytest", "ok", summary="3 passed in 0.10s")


def test_options_are_split_from_pytests_own() -> None:
    choice = whole.read_choice(["-x", "--without", "browser,office", "-k", "arc", "-m", "not big", "tests/cut"])
    assert choice.without == {"browser", "office"}
    assert choice.marks == "not big"
    assert choice.pytest_args == ("-x", "-k", "arc", "tests/cut")


def test_an_unknown_tool_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        whole.read_choice(["--without", "printer"])
    assert "'printer': known are browser and office" in capsys.readouterr().err


def test_what_is_left_out_joins_the_callers_markers() -> None:
    choice = whole.read_choice(["-m", "a or b", "-x"])
    assert whole.pytest_args(choice, {"office": 2}) == ["-x", "-m", "(a or b) and not office"]
    assert whole.pytest_args(whole.read_choice([]), {}) == []


@pytest.mark.parametrize(
    ("argv", "absent", "code"),
    [
        ([], {}, 0),
        ([], {"browser": 2}, 1),
        (["--without", "office"], {"browser": 2, "office": 1}, 1),
        (["--without", "browser"], {"browser": 2}, 0),
        (["--without", "browser,office"], {"browser": 2, "office": 1}, 0),
    ],
)
def test_tests_that_did_not_run_fail_the_run_unless_left_out_on_purpose(
    argv: list[str], absent: dict[str, int], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert whole.report([PASSED], whole.read_choice(argv), absent) == code
    printed = capsys.readouterr().out.splitlines()
    line = f"NOT RUN: {absent.get('browser', 0)} browser, {absent.get('office', 0)} office"
    assert (line in printed) is bool(absent)
    assert printed[-1] == "3 passed in 0.10s"


@pytest.mark.parametrize("word", ["FAILED", "missing"])
def test_any_check_that_did_not_pass_fails_the_run(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert whole.report([Outcome("pyrefly", word), PASSED], whole.read_choice([]), {}) == 1
    assert ("install -q -e '.[postgres,test]'" in capsys.readouterr().out) is (word == "missing")


def test_the_line_to_install_is_the_readmes() -> None:
    line = ".venv/bin/pip install -q -e " + EXTRAS
    assert line in (ROOT / "README.md").read_text("utf-8")
    assert pip_line().endswith(f"pip install -q -e {EXTRAS}")


def test_what_a_check_found_is_said_before_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert whole.report([Outcome("pyrefly", "FAILED", said="a.py:1: wrong\n"), PASSED], whole.read_choice([]), {}) == 1
    assert capsys.readouterr().out.lstrip().startswith("a.py:1: wrong\n\npyrefly ")


def test_a_tool_is_found_only_with_all_its_programs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    for name, found in [("libreoffice", None), ("pdftoppm", str(tmp_path / "libreoffice"))]:
        (tmp_path / name).touch(mode=0o755)
        assert tools.OFFICE.find() == found


def test_who_may_not_install_is_told_the_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(tools, "is_root", lambda: False)
    assert not tools.make_ready(tools.BROWSER)
    line = "sudo apt-get update && sudo apt-get install -y --no-install-recommends chromium"
    assert line in capsys.readouterr().out


def test_the_summary_is_plain() -> None:
    assert summary_line("a\n==== 2 passed, 1 warning in 61.20s (0:01:01) ====\n\n", 0) == (
        "2 passed, 1 warning in 61.20s (0:01:01)"
    )
    assert summary_line("killed", -9) == "pytest ended with exit code -9"


PLUGINS = ("-m", "pytest", "-p", "tests.conftest", "-p", "no:cacheprovider")
SEVERAL = ("-p", "xdist.plugin", "-n2", "--dist=loadfile")


def pytest_in(folder: Path, *args: str, **told: str) -> subprocess.CompletedProcess[str]:
    """Run pytest on a folder of its own, with our conftest as a plugin and no other that is not asked for."""
    (folder / "pytest.ini").write_text("[pytest]\nmarkers =\n    browser: x\n    office: x\n    thorough: x\n", "utf-8")
    return subprocess.run(
        [sys.executable, *args],
        cwd=folder,
        check=False,
        capture_output=True,
        text=True,
        env={**variables(thorough=False), "PYTHONPATH": str(ROOT), "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", **told},
    )


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("def test_one(): pass", 0),
        ("def test_one(): pass\ndef test_two(): pytest.skip('no reason')", 1),
        ("@pytest.mark.skipif(True, reason='no reason')\ndef test_one(): pass\ndef test_two(): pass", 1),
    ],
)
@pytest.mark.parametrize("processes", [(), SEVERAL], ids=["one process", "several"])
def test_a_skipped_test_fails_the_run(text: str, code: int, processes: tuple[str, ...], tmp_path: Path) -> None:
    (tmp_path / "test_it.py").write_text(f"import pytest\n{text}\n", "utf-8")
    done = pytest_in(tmp_path, *PLUGINS, *processes)
    assert done.returncode == code, done.stdout + done.stderr
    assert ("SKIPPED counts as failed" in done.stdout) is bool(code)


@pytest.mark.parametrize("processes", [(), SEVERAL], ids=["one process", "several"])
def test_a_module_that_skips_itself_fails_the_run(processes: tuple[str, ...], tmp_path: Path) -> None:
    (tmp_path / "test_it.py").write_text("def test_one(): pass\n", "utf-8")
    (tmp_path / "test_more.py").write_text("import pytest\npytest.importorskip('no_such_module')\n", "utf-8")
    done = pytest_in(tmp_path, *PLUGINS, *processes)
    assert done.returncode == 1, done.stdout + done.stderr
    assert "SKIPPED counts as failed" in done.stdout


@pytest.mark.parametrize("processes", [(), SEVERAL], ids=["one process", "several"])
@pytest.mark.parametrize(("told", "ran", "held"), [({}, 2, "held for --thorough: 3"), ({VARIABLE: "1"}, 5, "")])
def test_what_is_held_is_counted_and_runs_when_asked(
    processes: tuple[str, ...], told: dict[str, str], ran: int, held: str, tmp_path: Path
) -> None:
    head = "import pytest\nfrom tests.depth import seeds\n"
    text = f"{head}@pytest.mark.parametrize('seed', seeds(5, 2))\ndef test_one(seed): pass\n"
    (tmp_path / "test_it.py").write_text(text, "utf-8")
    done = pytest_in(tmp_path, *PLUGINS, *processes, **told)
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"{ran} passed" in summary_line(done.stdout, 0)
    assert ("held for --thorough" in done.stdout) is bool(held)
    assert held in done.stdout


def test_the_tests_of_a_file_run_in_one_process(tmp_path: Path) -> None:
    """They share servers and what was reckoned; said by name of process, for a grouping that fails is silent."""
    text = "import os, pathlib, pytest\n@pytest.mark.parametrize('n', range(8))\ndef test_one(n):\n"
    text += "    pathlib.Path(f'{__name__}-{n}.said').write_text(os.environ['PYTEST_XDIST_WORKER'])\n"
    for name in ("test_a", "test_b"):
        (tmp_path / f"{name}.py").write_text(text, "utf-8")
    done = pytest_in(tmp_path, *PLUGINS, *SEVERAL)
    assert done.returncode == 0, done.stdout + done.stderr
    said = [[file.read_text("utf-8") for file in tmp_path.glob(f"{name}-*.said")] for name in ("test_a", "test_b")]
    assert [len(one) for one in said] == [8, 8]
    assert [len({*one}) for one in said] == [1, 1]
    assert said[0][0] != said[1][0]


LAW = """
from hypothesis import given, strategies as st

@given(st.lists(st.integers(), min_size=50))
def test_one(numbers):
    open("said", "a").write(f"{numbers}")
"""


def test_a_law_is_tried_on_the_same_samples_whatever_is_loaded(tmp_path: Path) -> None:
    said = []
    for loaded in ("", "import more\n"):
        (tmp_path / "test_it.py").write_text(f"{loaded}{LAW}", "utf-8")
        (tmp_path / "more.py").write_text(f"NUMBERS = {list(range(987_000, 987_500))}\n", "utf-8")
        (tmp_path / "said").unlink(missing_ok=True)
        done = pytest_in(tmp_path, *PLUGINS, "-p", "_hypothesis_pytestplugin")
        assert done.returncode == 0, done.stdout + done.stderr
        said.append((tmp_path / "said").read_text("utf-8"))
    assert len(said[0]) > 1000
    assert said[0] == said[1]


def test_the_files_that_begin_first_are_there() -> None:
    assert [name for name in LONG if not (ROOT / name).is_file()] == []


def test_thorough_is_told_to_the_processes_and_nobody_else(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "1")
    assert VARIABLE not in variables(thorough=False)
    assert variables(thorough=True)[VARIABLE] == "1"
    assert whole.read_choice(["--thorough", "-x"]) == whole.Choice(frozenset(), "", ("-x",), thorough=True)


def test_where_every_test_is_left_out_several_processes_end_as_one_does(tmp_path: Path) -> None:
    (tmp_path / "test_it.py").write_text("def test_one(): pass\n", "utf-8")
    ends = [pytest_in(tmp_path, *PLUGINS, *more, "-k", "no_such").returncode for more in ((), SEVERAL)]
    assert ends == [NOTHING_COLLECTED] * 2


def test_marked_tests_are_counted_after_the_selection(tmp_path: Path) -> None:
    marked = "@pytest.mark.browser\n@pytest.mark.parametrize('n', [1, 2, 3])\ndef test_page(n): pass\n"
    (tmp_path / "test_it.py").write_text(f"import pytest\n{marked}\ndef test_other(): pass\n", "utf-8")
    done = pytest_in(tmp_path, "-m", "tests.runner.counting", "-q", "-k", "not 2")
    assert done.stdout == '{"browser": 2, "office": 0}\n'
