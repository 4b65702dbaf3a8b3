"""Views of the bench that are left before they came: the one that is shown hears the news all the same, and names the
window. In Debian's Chromium."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.app.desk.running import Bench, bench
from tests.app.desk.stand_ins import TRAY, tray
from tests.outside.at_the_bench import until
from tests.outside.browser import NEEDED, opened

pytestmark = NEEDED

SLOW_MS = 600
"""How long the answer takes for which nobody waits."""


@pytest.fixture
def there(tmp_path: Path) -> Iterator[Bench]:
    tray(tmp_path, "first", TRAY.replace('title = "', 'title = "The first '))
    tray(tmp_path, "second", TRAY.replace('title = "', 'title = "The second '))
    with bench(str(tmp_path), "--no-open", proves=True) as found:
        yield found


def left_early(page: Any, slow: str, ways: tuple[str, ...], last: str) -> None:
    """Goes these ways, the last of which stays and has the heading `last`, while the first answer at an address is
    slow."""
    late: list[Any] = []

    def later(route: Any) -> None:
        if late:
            route.continue_()
            return
        late.append(route)

    page.route(slow, later)
    for way in ways:
        page.evaluate("way => { location.hash = way; }", way)
        until(page, lambda: late)
        page.wait_for_timeout(150)
    page.locator("h1", has_text=last).wait_for()
    page.wait_for_timeout(SLOW_MS)
    assert len(late) == 1
    late[0].continue_()
    page.wait_for_timeout(SLOW_MS)


@pytest.mark.parametrize(
    ("slow", "view"), [("**/api/piece/first", "piece"), ("**/api/bench/first", "bench"), ("**/api/piece/first", "make")]
)
def test_a_view_that_was_left_before_it_came_takes_nothing_from_the_next(
    browser: Any, there: Bench, slow: str, view: str
) -> None:
    with opened(browser, there.address, 1280, 900) as page:
        page.locator(".shelf .card").first.wait_for()
        left_early(page, slow, (f"#/{view}/first", f"#/{view}/second"), "The second")
        assert page.title().lower().startswith(("the second", "make files: the second"))
        if view == "make":
            there.ask("api/make/second", {"wanted": ["corner"]})
            page.get_by_role("button", name="Stop").wait_for()
            return
        there.ask("api/piece/second/set", {"changes": {"title": "Another name"}})
        page.locator("h1", has_text="Another name").wait_for()


def test_a_shelf_that_was_left_before_it_came_does_not_deafen_the_next(browser: Any, there: Bench) -> None:
    with opened(browser, there.address, 1280, 900) as page:
        page.evaluate("() => { location.hash = '#/piece/first'; }")
        page.locator("h1", has_text="The first").wait_for()
        left_early(page, "**/api/shelf", ("#/", "#/piece/second", "#/"), "The shelf")
        there.ask("api/shelf/copy", {"name": "first"})
        page.locator(".shelf .card", has_text=", copy").first.wait_for()
