"""The page of a box in a real browser: Debian's Chromium, driven by Playwright."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from solids.write.page.page import page_bytes
from tests.boxes import box_case
from tests.outside.browser import NEEDED, differs, move, pixels, shown, text

pytestmark = NEEDED


@pytest.mark.parametrize("name", ["keepsake", "drawer"])
def test_the_page_of_a_box_turns_comes_apart_and_complains_of_nothing(browser: Any, tmp_path: Path, name: str) -> None:
    job = box_case(name)
    path = tmp_path / "box.html"
    path.write_bytes(page_bytes(job.proof, job.scene, [("box.step", "every board")]))
    with shown(browser, path.as_uri(), 360) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        seated = pixels(page)
        assert seated.std() > 10
        move(page, "apart", 100)
        assert differs(seated, pixels(page)) > 0.02
        assert text(page, "apart-out").endswith("mm apart")
        page.click("input[name=section][value='1']")
        assert text(page, "depth-out").endswith("from the front")
        assert page.locator("table").count() == 1 + 3 * len(job.proof.joints)
