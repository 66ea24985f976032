"""A pytest plugin that has coverage note which test runs a line, and what each test costs."""

import json
import os
from collections.abc import Iterator
from pathlib import Path

import coverage
import pytest

COSTS = "CREWDESK_TEST_COSTS"
"""The environment's name of the file that the costs are written to."""
_costs: dict[str, float] = {}
_failed: set[str] = set()


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    running, before = coverage.Coverage.current(), sum(os.times()[:4])
    if running is not None:
        running.switch_context(item.nodeid)
    yield
    if running is not None:
        running.switch_context("")
    _costs[item.nodeid] = sum(os.times()[:4]) - before


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    if report.failed:
        _failed.add(report.nodeid)


def pytest_sessionfinish() -> None:
    costs = {name: cost for name, cost in _costs.items() if name not in _failed}
    written = json.dumps({"costs": costs, "failed": sorted(_failed)})
    Path(os.environ[COSTS]).write_text(written, "utf-8")
