"""What every test may use: a store of its own; and no skip goes unseen where none is allowed."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from tests.conftest_postgres import postgres_server, postgres_url

from roomwright.job.store import Store

__all__ = ["postgres_server", "postgres_url"]

OPEN_DATA = "open data:"
"""Begins the reason of a skip for files that we may read but not ship; only these are let be."""

NO_SKIPS = os.environ.get("ROOMWRIGHT_NO_SKIPS") == "1"

# where a change is held to the tests, the same examples each time; no example is timed, as the
# tests share the cores. At a desk hypothesis goes on looking for new ones.
settings.register_profile("same examples", derandomize=True, deadline=None)
settings.register_profile("new examples", deadline=None)
settings.load_profile("same examples" if NO_SKIPS else "new examples")


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo) -> Iterator[None]:
    """Turn a skip into a failure under ROOMWRIGHT_NO_SKIPS=1."""
    outcome = yield
    report = outcome.get_result()
    if not NO_SKIPS or not report.skipped or hasattr(report, "wasxfail"):
        return
    if OPEN_DATA not in str(report.longrepr[-1]):
        report.outcome = "failed"
        report.longrepr = f"skipped under ROOMWRIGHT_NO_SKIPS=1: {report.longrepr[-1]}"


@pytest.hookimpl(hookwrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    """The same for a module that skips itself while it is read."""
    outcome = yield
    report = outcome.get_result()
    if NO_SKIPS and report.skipped:
        report.outcome = "failed"
        report.longrepr = f"skipped under ROOMWRIGHT_NO_SKIPS=1: {report.longrepr[-1]}"


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """The URL of a new SQLite store."""
    return f"sqlite:///{tmp_path / 'houses.db'}"


@pytest.fixture
def sqlite_store(sqlite_url: str) -> Iterator[Store]:
    """An empty store on SQLite."""
    with Store(sqlite_url) as opened:
        yield opened


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def store_url(request: pytest.FixtureRequest) -> str:
    """The URL of a new store, once on each database."""
    return request.getfixturevalue(f"{request.param}_url")


@pytest.fixture
def store(store_url: str) -> Iterator[Store]:
    """An empty store, once on each database."""
    with Store(store_url) as opened:
        yield opened
