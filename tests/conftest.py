"""A skipped test fails the run; what is held for --thorough is counted; what shares a program runs in one process."""

import os
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import settings
from hypothesis.internal.conjecture import providers

from estimator.steps import memo
from tests import raw
from tests.depth import THOROUGH, deep

# At a push the same samples every time, so that it tells of the change; --thorough looks elsewhere each time, and among
# the numbers that stand in whatever of our modules is loaded, which at a push would hang on what ran before.
INSIDE = vars(providers)  # not promised by the library: where it is gone, samples hang on what ran before, no more
if not THOROUGH and {"Constants", "_get_local_constants"} <= INSIDE.keys():
    INSIDE["_get_local_constants"] = INSIDE["Constants"]
settings.register_profile("local", deadline=None, derandomize=not THOROUGH, max_examples=deep(100))
settings.register_profile("ci", settings.get_profile("local"), print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "local")

HELD = pytest.StashKey[int]()


@pytest.fixture(autouse=True)
def nothing_is_remembered(request: pytest.FixtureRequest) -> Iterator[None]:
    """Let nothing outlast a test that may have worked with other tables or other code: it says so by `monkeypatch`."""
    changes = "monkeypatch" in request.fixturenames
    if changes:
        memo.forget()
    raw.KEPT.on = not changes
    yield
    raw.KEPT.on = False
    if changes:
        memo.forget()


# The files that take longest, longest first: they begin first, so that the processes end together.
LONG = (
    "tests/exports/sheets/test_quote.py",
    "tests/api/store/test_faults.py",
    "tests/golden/test_golden.py",
    "tests/api/pages/test_in_a_browser.py",
    "tests/estimator/buying/test_order_month.py",
    "tests/runner/test_runner.py",
    "tests/api/commands/test_serve.py",
    "tests/estimator/test_kernels.py",
    "tests/api/commands/test_read.py",
    "tests/api/store/test_quotes.py",
    "tests/test_recipes.py",
    "tests/api/describe/test_openapi.py",
    "tests/estimator/bore/test_axis_laws.py",
    "tests/estimator/weld/test_planner.py",
    "tests/api/store/test_backups.py",
    "tests/api/store/test_hostile_backups.py",
    "tests/estimator/test_laws.py",
    "tests/estimator/test_keystone.py",
    "tests/estimator/document/test_redact.py",
)


# ---------------------------------------------------------------- which tests, in which order


def rank(item: pytest.Item) -> int:
    """Return how early a test begins."""
    file = item.nodeid.partition("::")[0]
    return LONG.index(file) if file in LONG else len(LONG)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Hold back what only a thorough run does; where there are several processes, long files come first."""
    held = [] if THOROUGH else [item for item in items if item.get_closest_marker("thorough")]
    config.stash[HELD] = len(held)
    if held:
        config.hook.pytest_deselected(items=held)
        items[:] = [item for item in items if not item.get_closest_marker("thorough")]
    if hasattr(config, "workerinput"):
        items.sort(key=rank)


# ---------------------------------------------------------------- what the run says


def skipped_reports(config: pytest.Config) -> list[pytest.TestReport]:
    """Return the reports of all that was skipped, doctests and whole modules too."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    return list(reporter.stats.get("skipped", [])) if reporter else []


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Turn a passed run with skipped tests into a failed one; a process of several tells how many it held back."""
    told = getattr(session.config, "workeroutput", None)
    if told is not None:
        told["held"] = session.config.stash.get(HELD, 0)
    if session.exitstatus == pytest.ExitCode.OK and skipped_reports(session.config):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.hookimpl(optionalhook=True)  # asked by pytest-xdist alone
def pytest_testnodedown(node: Any) -> None:
    """Take over how many tests were held back: every process has them all before it."""
    node.config.stash[HELD] = getattr(node, "workeroutput", {}).get("held", 0)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Name what was skipped, and why the run fails; say how many tests wait for a thorough run."""
    for report in skipped_reports(config):
        reason = report.longrepr[-1] if isinstance(report.longrepr, tuple) else ""
        terminalreporter.write_line(f"SKIPPED counts as failed: {report.nodeid} ({reason})")
    if held := config.stash.get(HELD, 0):
        terminalreporter.write_line(f"held for --thorough: {held}; every law was tried on fewer samples")
