"""A problem at a control that is folded away: its fold opens by itself, and what is in sight stays where it is. In
Debian's Chromium against `halfpin bench` itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.app.desk.running import bench
from tests.app.desk.stand_ins import TRAY
from tests.outside.at_the_bench import key, row, typed, until, until_saved
from tests.outside.browser import NEEDED, TWO_FRAMES, opened

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = NEEDED

KEY, BELOW = "tail_board.cup", "pin_board.thickness"
WRONG = TRAY.replace("thickness = 10", "thickness = 10\ncup = -1")


def top_of(page: Any, name: str) -> float:
    return float(key(page, name).evaluate("one => one.getBoundingClientRect().top"))


def test_a_fold_opens_where_a_problem_comes_and_nothing_jumps(browser: Any, tmp_path: Path) -> None:
    recipe = tmp_path / "tray.toml"
    recipe.write_text(TRAY)
    with (
        bench(str(tmp_path), "--no-open", proves=True) as there,
        opened(browser, there.address, 1280, 900, quiet=False) as page,
    ):
        page.goto(f"{there.address}#/piece/tray")
        page.locator(".drawing").first.wait_for()
        folded = row(page, KEY)
        assert not folded.is_visible()
        below = key(page, BELOW)
        below.scroll_into_view_if_needed()
        below.focus()
        before = top_of(page, BELOW)
        recipe.write_text(WRONG)  # in another editor
        until(page, folded.is_visible)
        assert folded.locator(".wrong").is_visible()
        page.evaluate(TWO_FRAMES)
        assert abs(top_of(page, BELOW) - before) < 2, "what the maker works at stays where it is"
        assert page.evaluate("document.activeElement.dataset.key") == BELOW
        folded.locator("xpath=ancestor::details[1]/summary").click()
        assert not folded.is_visible()
        typed(page, BELOW, "12.5")
        until(page, lambda: "12.5" in recipe.read_text())
        until_saved(page)
        page.evaluate(TWO_FRAMES)
        assert not folded.is_visible(), "what the maker has shut stays shut"
