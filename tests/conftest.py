"""What holds for every test."""

from __future__ import annotations

import os
import signal

import pytest
from hypothesis import settings

from tests.forks import close_nursery
from tests.sampling import is_in_share, leave_most_to_whole_runs

settings.register_profile("fixed", derandomize=True, max_examples=50, database=None, deadline=None)
settings.register_profile("fresh", database=None, print_blob=True, deadline=None)
settings.load_profile("fixed")
"""The same examples each time, in any order of tests; `--hypothesis-profile=fresh --hypothesis-seed=N` tries others."""


if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # as a shell has it for what runs in the background
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_xdist_auto_num_workers() -> int:
    """One process more than there are cores, as many tests wait for another process."""
    return (os.cpu_count() or 1) + 1


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--share", type=int, default=1, help="run one in so many of the tests marked whole")
    parser.addoption("--outside-share", type=int, default=1, help="run one in so many of those marked outside alone")
    parser.addoption("--share-seed", type=int, default=0, help="which of them")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    leave_most_to_whole_runs(items)
    shares = [config.getoption(option) for option in ("--share", "--outside-share", "--share-seed")]
    left_out = [test for test in items if not is_in_share(test, *shares)]
    config.hook.pytest_deselected(items=left_out)
    items[:] = [test for test in items if test not in set(left_out)]


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish() -> None:
    close_nursery()
