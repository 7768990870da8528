"""A skipped test proves nothing, so it fails the run; and how Hypothesis searches."""

import os

import pytest
from hypothesis import settings

settings.register_profile("local", deadline=None, derandomize=False)
settings.register_profile("ci", deadline=None, derandomize=False, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "local")


def skipped_reports(config: pytest.Config) -> list[pytest.TestReport]:
    """Return the reports of all that was skipped, doctests and whole modules too."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    return list(reporter.stats.get("skipped", [])) if reporter else []


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Turn a passed run with skipped tests into a failed one."""
    if session.exitstatus == pytest.ExitCode.OK and skipped_reports(session.config):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Name what was skipped, and why the run fails."""
    for report in skipped_reports(config):
        reason = report.longrepr[-1] if isinstance(report.longrepr, tuple) else ""
        terminalreporter.write_line(f"SKIPPED counts as failed: {report.nodeid} ({reason})")
