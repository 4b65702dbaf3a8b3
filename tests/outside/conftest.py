"""Fixtures of the tests in a browser. Playwright is loaded by those alone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.outside.browser import launched


@pytest.fixture(scope="module")
def driver() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="module")
def browser(driver: Any) -> Iterator[Any]:
    with launched(driver) as found:
        yield found
