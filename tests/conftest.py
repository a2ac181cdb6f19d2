"""What every test may use: the folder of real files, and skips that must not hide in CI."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

import tally

# One process has one Django set-up: the desk's own, on a home that ends with the run.
_HOME = tempfile.TemporaryDirectory(prefix="balewright-tests-")
for _name in [name for name in os.environ if name.startswith("BALEWRIGHT_")]:
    del os.environ[_name]
os.environ["BALEWRIGHT_HOME"] = _HOME.name
os.environ["DJANGO_SETTINGS_MODULE"] = "balewright.desk.django_settings"


# No test is timed: a busy machine may take its time over one example.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--data FOLDER` names the real files; with it a skipped test is a failure."""
    parser.addoption("--data", default=None, help="folder of real files; a skip then fails")


@pytest.fixture(scope="session")
def data_dir(request: pytest.FixtureRequest) -> Path:
    """The folder of real files; tests that use it are marked `real_data`."""
    given = request.config.getoption("--data")
    if given is None:
        pytest.skip("no folder of real files given (--data)")
    return Path(given).resolve()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]):  # type: ignore[no-untyped-def]
    """Where the real data is given, nothing may be missing: a skip is turned into a failure."""
    report = yield
    strict = item.config.getoption("--data") is not None
    if strict and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped although --data was given: {report.longrepr}"
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """How many models are held against how many sources stands at the end of every run."""
    terminalreporter.section("checked against the outside")
    for line in tally.lines():
        terminalreporter.write_line(line)
