"""The way out from the page, in Debian's Chromium, against the bench itself: every window says that it has ended, and
the program is gone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.app.desk.running import GENEROUS, bench
from tests.app.desk.stand_ins import tray
from tests.outside.browser import AXE, NEEDED, needs_axe, opened

pytestmark = NEEDED


def test_a_maker_ends_the_bench_from_the_page_by_keys(browser: Any, tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path)) as there:
        room = browser.new_context(viewport={"width": 1000, "height": 800})
        first, second = room.new_page(), room.new_page()
        for page, place in ((first, "#/piece/tool-tray"), (second, "#/")):
            page.goto(there.address + place)
            page.wait_for_selector("main h1")
        second.get_by_role("button", name="End the bench").focus()
        second.keyboard.press("Enter")
        for page in (second, first):
            page.get_by_role("heading", name="The bench has ended").wait_for()
            assert "Every change is on disk" in page.locator("main").inner_text()
            assert page.locator("#end").count() == 0
            assert page.title() == "The bench has ended"
        assert second.evaluate("document.activeElement.tagName") == "H1"
        assert there.run.wait(GENEROUS) == 0
        first.wait_for_timeout(2500)
        assert first.locator("#lost").is_hidden(), "it does not complain that nobody answers"
        room.close()


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious_on_the_last_page(browser: Any, tmp_path: Path, scheme: str) -> None:
    with bench(str(tmp_path)) as there, opened(browser, there.address, 360, color_scheme=scheme) as page:
        page.get_by_role("button", name="End the bench").click()
        page.get_by_role("heading", name="The bench has ended").wait_for()
        page.evaluate(AXE.read_text("utf-8"))
        found = page.evaluate("() => axe.run()")
        assert [v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
