"""How the tests are run: hypothesis profiles, and an honest list of what this machine could not run."""

import os
import shutil

import pytest
from hypothesis import HealthCheck, settings

from tools.needs import NEEDS, apt_line

# No deadlines: seconds on a shared machine mean nothing. The two everyday profiles draw the same examples every time,
# so that a red run can be repeated; the long one draws new ones and prints how to repeat what it found.
settings.register_profile("quick", deadline=None, max_examples=25, derandomize=True)
settings.register_profile("test", deadline=None, max_examples=100, derandomize=True)
settings.register_profile(
    "long", deadline=None, max_examples=300, print_blob=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("test")

KNOWN = {need.program: need for need in NEEDS}


def on_ci() -> bool:
    """Whether everything has to run."""
    return os.environ.get("CI", "").lower() in {"1", "true", "yes"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what starts a program this machine does not have."""
    for item in items:
        for mark in item.iter_markers("needs"):
            unknown = [program for program in mark.args if program not in KNOWN]
            if unknown or not mark.args:
                raise pytest.UsageError(
                    f"{item.nodeid} needs {unknown or 'nothing'}: tools/needs.py does not list that."
                )
            lacking = [program for program in mark.args if shutil.which(program) is None]
            if lacking:
                item.add_marker(pytest.mark.skip(reason=f"not on this machine: {' '.join(lacking)}"))


def not_run(reporter: pytest.TerminalReporter) -> list[tuple[str, str]]:
    """Every test or file that was skipped, with the reason it gave."""
    listed = []
    for report in reporter.stats.get("skipped", []):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        listed.append((report.nodeid, reason.removeprefix("Skipped: ")))
    return sorted(set(listed))


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """With CI=true a test that was not run is a failure."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None and on_ci() and not_run(reporter) and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.hookimpl(trylast=True)
def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Name what was not run, and the one line that adds what it lacks."""
    listed = not_run(terminalreporter)
    if not listed:
        return
    terminalreporter.section("not run here")
    for name, reason in listed:
        terminalreporter.line(f"{name}  ({reason})")
    lacking = {
        word for _, reason in listed if "not on this machine: " in reason for word in reason.split(": ")[1].split()
    }
    if lacking:
        terminalreporter.line("")
        terminalreporter.line(f"Add what they need with:  {apt_line([KNOWN[program] for program in sorted(lacking)])}")
    if on_ci():
        terminalreporter.line("")
        terminalreporter.line("With CI=true nothing may be left out: this run counts as failed.", red=True)
