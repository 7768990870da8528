"""Rules of the house: what lies where, how long things get, who may import whom."""

import ast
import functools
import io
import re
import subprocess
import sys
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TOP = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml", ".ci", ".gitignore",
    "api", "estimator", "exports", "sample_jobs", "tests",
}  # fmt: skip
CODE = ("api", "estimator", "exports", "tests")
SOURCES = sorted(path for room in CODE for path in (ROOT / room).rglob("*.py"))

GROUND_FLOOR = {
    "__init__", "errors", "signs", "units", "nomenclature", "formula", "either", "fields", "strict", "express",
    "inputs", "plans", "road", "estimate",
}  # fmt: skip
MAX_FILE_LINES = 300
MAX_BODY_LINES = 40
HEAVY = {"pint", "fastapi", "sqlmodel", "scipy", "openpyxl"}

Function = ast.FunctionDef | ast.AsyncFunctionDef


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=ROOT, check=False, capture_output=True, text=True, encoding="utf-8")


@functools.cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def functions(path: Path) -> Iterator[Function]:
    return (node for node in ast.walk(parsed(path)) if isinstance(node, Function))


# ---------------------------------------------------------------- what lies where


def test_the_top_of_the_tree_holds_what_was_agreed() -> None:
    if not (ROOT / ".git").exists():  # an unpacked archive, with who knows what beside it
        assert {path.name for path in ROOT.iterdir()} >= TOP - {".ci", ".gitignore"}
        return
    listed = run("git", "-c", "safe.directory=*", "ls-files", "--cached", "--others", "--exclude-standard")
    assert listed.returncode == 0, listed.stderr
    assert {line.strip('"').partition("/")[0] for line in listed.stdout.splitlines()} == TOP


def test_the_ground_floor_of_the_estimator_is_what_was_agreed() -> None:
    assert {path.stem for path in (ROOT / "estimator").glob("*.py")} == GROUND_FLOOR


# ---------------------------------------------------------------- how long things get


def body_lines(function: Function, lines: list[str]) -> int:
    """Count the lines of a body that hold code."""
    body = function.body[1:] if ast.get_docstring(function, clean=False) is not None else function.body
    if not body:
        return 0
    texts = (line.strip() for line in lines[body[0].lineno - 1 : function.end_lineno])
    return sum(1 for text in texts if text and not text.startswith("#"))


def test_no_file_is_long() -> None:
    lengths = {short(path): len(path.read_text("utf-8").splitlines()) for path in SOURCES}
    assert {name: length for name, length in lengths.items() if length > MAX_FILE_LINES} == {}


def test_no_function_is_long() -> None:
    long = {}
    for path in SOURCES:
        lines = path.read_text("utf-8").splitlines()
        for function in functions(path):
            if (length := body_lines(function, lines)) > MAX_BODY_LINES:
                long[f"{short(path)}:{function.lineno} {function.name}"] = length
    assert long == {}


def test_a_body_is_counted_without_docstring_comments_and_blanks() -> None:
    text: str = 'def f(\n    a,\n):\n    """One.\n\n    Two.\n    """\n    # three\n\n    a += 1\n    return a\n'
    (function,) = ast.parse(text).body
    assert isinstance(function, ast.FunctionDef)
    assert body_lines(function, text.splitlines()) == 2


# ---------------------------------------------------------------- how a call reads

MOST_BY_PLACE = 6
OF_ONE_KIND = {  # these take any number of one kind: statuses that a route answers, columns of a table
    "declared", "kept", "table", "create_table",
}  # fmt: skip


def called(call: ast.Call) -> str:
    """Return the last name of what is called."""
    return call.func.attr if isinstance(call.func, ast.Attribute) else ast.unparse(call.func)


def long_calls(tree: ast.AST) -> Iterator[ast.Call]:
    """Yield the calls whose arguments nobody can tell apart by their place."""
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.Call) and len(node.args) > MOST_BY_PLACE)
    return (call for call in calls if called(call) not in OF_ONE_KIND)


def test_no_call_tells_more_than_six_arguments_by_their_place() -> None:
    found = [
        f"{short(path)}:{call.lineno} {called(call)}, {len(call.args)}"
        for path in SOURCES
        if path.relative_to(ROOT).parts[0] != "tests"
        for call in long_calls(parsed(path))
    ]
    assert found == []


def test_a_long_call_is_found_and_named() -> None:
    tree = ast.parse(
        "f(1, 2, 3, 4, 5, 6, 7)\ng(1, 2, 3, 4, 5, 6, last=7)\na.table(1, 2, 3, 4, 5, 6, 7)\nb.f(1, 2, 3, 4, 5, 6, *c)"
    )
    assert [called(call) for call in long_calls(tree)] == ["f", "f"]


# ---------------------------------------------------------------- what is said


def public_functions(tree: ast.Module) -> Iterator[Function]:
    """Yield the functions of a module and the methods of its classes whose names are public."""
    classes = [node for node in tree.body if isinstance(node, ast.ClassDef) and not node.name.startswith("_")]
    for body in (tree.body, *(node.body for node in classes)):
        for node in body:
            if isinstance(node, Function) and not node.name.startswith("_"):
                yield node


def test_every_public_function_of_the_estimator_says_what_it_does() -> None:
    silent = [
        f"{short(path)}:{function.lineno} {function.name}"
        for path in sorted((ROOT / "estimator").rglob("*.py"))
        for function in public_functions(parsed(path))
        if not ast.get_docstring(function)
        and not any("overload" in ast.unparse(decorator) for decorator in function.decorator_list)
    ]
    assert silent == []


DIRECTIVE = re.compile(r"(?:(?:type|pyrefly): ignore|noqa)\b(?P<codes>\[[\w, -]+\]|: ?[A-Z]+\d+(?:, ?[A-Z]+\d+)*)?")


def is_unreasoned(comment: str) -> bool:
    """Say whether a comment silences a checker without naming the rule, or without saying why."""
    found = list(DIRECTIVE.finditer(comment))
    reason = re.findall(r"[^\W\d_]+", DIRECTIVE.sub("", comment))
    return bool(found) and (len(reason) < 2 or not all(match["codes"] for match in found))


def test_each_silenced_check_says_why() -> None:
    unreasoned = [
        f"{short(path)}:{token.start[0]} {token.string}"
        for path in SOURCES
        for token in tokenize.generate_tokens(io.StringIO(path.read_text("utf-8")).readline)
        if token.type == tokenize.COMMENT and is_unreasoned(token.string)
    ]
    assert unreasoned == []


@pytest.mark.parametrize(
    ("comment", "unreasoned"),
    [
        ("# the usual words", False),
        ("# noqa: T201 - a command prints", False),
        ("# pyrefly: ignore[bad-argument-type]  # the stub is wrong", False),
        ("# pyrefly: ignore[bad-index]  # noqa: B009, E501  # why not", False),
        ("# noqa: T201", True),
        ("# noqa  # a reason but no rule", True),
        ("# type: ignore  # a reason but no rule", True),
        ("# pyrefly: ignore[bad-index]  # noqa: E501", True),
    ],
)
def test_a_reason_is_told_from_none(comment: str, unreasoned: bool) -> None:
    assert is_unreasoned(comment) is unreasoned


def readme_commands() -> list[str]:
    """Return the indented lines of the README that set up and check the project."""
    lines = (ROOT / "README.md").read_text("utf-8").splitlines()
    indented = [line.strip() for line in lines if line[:1] in {" ", "\t"}]
    return [line for line in indented if line.startswith(("python3 -m venv", ".venv/bin/pip install"))]


def test_the_readme_has_two_commands() -> None:
    commands = readme_commands()
    assert len(commands) == 2, commands
    first, second = commands
    assert first.startswith("python3 -m venv")
    assert second.startswith(".venv/bin/pip install")
    assert "boreworth quote" in first + second
    assert "-m tests" in first + second
    assert not first.endswith("\\")
    assert not second.endswith("\\")


def test_the_readme_names_real_samples() -> None:
    named = re.findall(r"sample_jobs/[\w.-]+\.json", (ROOT / "README.md").read_text("utf-8"))
    assert named
    assert [name for name in named if not (ROOT / name).is_file()] == []


# ---------------------------------------------------------------- who imports whom


def test_imports_point_one_way() -> None:
    lint = "from importlinter.cli import lint_imports_command as lint; lint()"
    done = run(sys.executable, "-c", lint, "--no-cache")
    assert done.returncode == 0, done.stdout + done.stderr


MODULES_LOADED = """
import sys
from api.commands import main

sys.argv = ["boreworth", "estimate", sys.argv[1]]
code = 0
try:
    main()
except SystemExit as end:
    code = end.code
print("", *sys.modules, file=sys.stderr)
sys.exit(code)
"""


def test_an_estimate_loads_nothing_heavy() -> None:
    sample = min((ROOT / "sample_jobs").glob("*.json"))
    done = run(sys.executable, "-c", MODULES_LOADED, str(sample))
    assert done.returncode == 0, done.stderr
    loaded = set(done.stderr.splitlines()[-1].split())
    assert "estimator" in loaded
    assert loaded & HEAVY == set()
