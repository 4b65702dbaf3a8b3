"""What holds for every test."""

from __future__ import annotations

import pytest

from tests.forks import close_nursery


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish() -> None:
    close_nursery()
