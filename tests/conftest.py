"""What holds for every test."""

from __future__ import annotations

import pytest
from hypothesis import settings

from tests.forks import close_nursery
from tests.sampling import leave_most_to_whole_runs

settings.register_profile("fixed", derandomize=True, database=None, deadline=None)
settings.register_profile("fresh", database=None, print_blob=True, deadline=None)
settings.load_profile("fixed")
"""The same examples each time, in any order of tests; `--hypothesis-profile=fresh --hypothesis-seed=N` tries others."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    leave_most_to_whole_runs(items)


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish() -> None:
    close_nursery()
