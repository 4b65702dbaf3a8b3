"""How many tails there are, pulled by hand and by keys in Debian's Chromium against `halfpin bench` itself."""

from __future__ import annotations

import tomllib
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest

from solids.recipe import preset_text
from tests.app.desk.running import bench
from tests.app.desk.stand_ins import TRAY
from tests.outside.at_the_bench import pixels_per_mm, place_of, tails, until, until_saved
from tests.outside.browser import NEEDED, opened

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = NEEDED


@contextmanager
def at_piece(browser: Any, recipe: Path, text: str, **more: Any) -> Iterator[Any]:
    """The page of a recipe with this text."""
    recipe.write_text(text)
    with (
        bench(str(recipe.parent), "--no-open", proves=True) as there,
        opened(browser, there.address, 1280, 900, **more) as page,
    ):
        page.goto(f"{there.address}#/piece/{recipe.stem}")
        page.locator(".drawing").first.wait_for()
        yield page


def handle(page: Any, name: str = "tails") -> Any:
    return page.locator(f'[data-handle="{name}"]')


def told(page: Any, name: str = "tails") -> str:
    return str(handle(page, name).get_attribute("aria-valuetext"))


def test_tails_follow_the_hand_one_for_each_step_and_let_go_it_is_one_change(browser: Any, tmp_path: Path) -> None:
    recipe = tmp_path / "tray.toml"
    with at_piece(browser, recipe, TRAY) as page:
        handle(page).wait_for()
        assert (told(page), handle(page).get_attribute("role")) == ("4 tails", "slider")
        step = 96 / 4 * pixels_per_mm(page)
        x, y = place_of(page, "tails")
        page.mouse.move(x, y)
        page.mouse.down()
        for count in (1, 2, -1):
            page.mouse.move(x + count * step, y, steps=8)
            until(page, lambda count=count: tails(page) == 4 + count and told(page) == f"{4 + count} tails")
            assert place_of(page, "tails")[0] == pytest.approx(x + count * step, abs=2), "the grip is under the hand"
        page.mouse.move(x + step, y, steps=8)
        page.mouse.up()
        until(page, lambda: tails(page) == 5)
        until(page, lambda: abs(place_of(page, "tails")[0] - x) < 2)
        until_saved(page)
        assert tomllib.loads(recipe.read_text())["joint"]["tails"] == 5
        page.get_by_role("button", name="Undo").click()
        until(page, lambda: tails(page) == 4)
        assert recipe.read_text() == TRAY
        assert page.get_by_role("button", name="Undo").is_disabled()


def test_tails_by_keys_and_typed_and_no_fewer_than_one(browser: Any, tmp_path: Path) -> None:
    with at_piece(browser, tmp_path / "tray.toml", TRAY, quiet=False) as page:
        handle(page).wait_for()
        handle(page).focus()
        for pressed, count in (("ArrowRight", 5), ("ArrowUp", 6), ("Shift+ArrowLeft", 5)):
            page.keyboard.press(pressed)
            until(page, lambda count=count: tails(page) == count and told(page) == f"{count} tails")
        page.keyboard.press("Enter")
        page.keyboard.type("1")
        page.keyboard.press("Enter")
        until(page, lambda: told(page) == "1 tail")
        handle(page).focus()
        page.keyboard.press("ArrowLeft")
        until(page, lambda: "from 1 to" in page.locator(".reason").inner_text())
        assert tails(page) == 1
        page.locator("#in-hand").fill("many")
        page.keyboard.press("Enter")
        until(page, lambda: "no number of tails" in page.locator("#in-hand-wrong").inner_text())


@pytest.mark.parametrize("corner", ["front left", "back right"])
def test_every_corner_of_a_box_has_the_grip(browser: Any, tmp_path: Path, corner: str) -> None:
    with at_piece(browser, tmp_path / "box.toml", preset_text("keepsake-box")) as page:
        page.get_by_role("button", name=f"{corner} corner").click()
        name = f"{corner}: tails"
        handle(page, name).wait_for()
        before = tails(page)
        handle(page, name).focus()
        page.keyboard.press("ArrowRight")
        until(page, lambda: tails(page) == before + 1 and told(page, name) == f"{before + 1} tails")
