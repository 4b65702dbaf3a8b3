"""My shop in Debian's Chromium, against `halfpin bench` itself with the kernel behind it: what is set there holds for
the pieces, and what another program writes comes in. Accessibility by axe-core (Deque Systems)."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.app.desk.running import GENEROUS, Bench, bench
from tests.app.desk.stand_ins import tray
from tests.outside.browser import AXE, NEEDED, needs_axe, opened

pytestmark = NEEDED

MINE = "# what I have\n[kit]\nchisels = [3, 6]  # the good ones\n"
WIDE = (1280, 900)
CHISEL = "Chisel, tail board, between tails"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    folder = tmp_path / "settings"
    folder.mkdir()
    return folder / "shop.toml"


@pytest.fixture
def recipes(tmp_path: Path) -> Path:
    folder = tmp_path / "recipes"
    folder.mkdir()
    tray(folder)
    return folder


@pytest.fixture
def there(file: Path, recipes: Path) -> Iterator[Bench]:
    with bench(str(recipes), "--no-open", proves=True, HALFPIN_SETTINGS=str(file.parent)) as found:
        yield found


@pytest.fixture(scope="module")
def spoilt(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """One whose shop holds a wood, and something that is wrong."""
    recipes, settings = tmp_path_factory.mktemp("recipes"), tmp_path_factory.mktemp("settings")
    tray(recipes)
    plum = '[woods.plum]\nkind = "hardwood"\ndensity = 750\n'
    (settings / "shop.toml").write_text(f"{MINE}saw_kerf = 400\n{plum}")
    with bench(str(recipes), "--no-open", proves=True, HALFPIN_SETTINGS=str(settings)) as found:
        yield found


@contextmanager
def page_at(browser: Any, there: Bench, place: str, title: str, *sizes: int, **more: Any) -> Iterator[Any]:
    with opened(browser, there.address, *(sizes or WIDE), **more) as page:
        page.locator(".shelf > li").first.wait_for()
        go(page, there, place, title)
        yield page


def until(page: Any, what: Callable[[], object]) -> None:
    end = time.monotonic() + GENEROUS
    while not what():
        assert time.monotonic() < end, page.locator("body").inner_text()[:2000]
        page.wait_for_timeout(20)


def key(page: Any, name: str) -> Any:
    return page.locator(f'[data-key="{name}"]')


def row(page: Any, name: str) -> Any:
    return page.locator(f'[data-row="{name}"]')


def sizes(page: Any, name: str) -> list[str]:
    found: list[str] = row(page, name).locator(".sizes li").evaluate_all("all => all.map(one => one.firstChild.data)")
    return found


def typed(page: Any, name: str, text: str) -> None:
    key(page, name).fill(text)
    key(page, name).press("Enter")


def bands(page: Any) -> str:
    return str(page.locator("#broken").inner_text() + page.locator("#notices").inner_text())


def go(page: Any, bench_: Bench, place: str, title: str) -> None:
    page.goto(bench_.address + place)
    page.locator("h1", has_text=title).wait_for()


def figure(page: Any, words: str) -> str:
    return str(page.locator(".figures > div", has=page.locator("dt", has_text=words)).inner_text())


def test_a_chisel_that_is_typed_changes_the_chisels_of_a_piece_and_undo_takes_it_back(
    browser: Any, there: Bench, file: Path
) -> None:
    """The sockets of the tray narrow to 3 mm at the show face, so a 3 mm chisel clears them and a 6 mm one does not."""
    with opened(browser, there.address, *WIDE) as page:
        page.get_by_role("link", name="My shop").click()
        page.locator("h1", has_text="My shop").wait_for()
        assert "from your first change on" in page.locator(".my-shop").inner_text()
        assert not file.exists()
        typed(page, "kit.chisels", "6, 3 mm")
        until(page, lambda: sizes(page, "kit.chisels") == ["6 mm", "3 mm"])
        assert file.read_text() == '[kit]\nchisels = [6, "3 mm"]\n'
        go(page, there, "#/piece/tool-tray", "tool tray")
        before = figure(page, CHISEL)
        link = row(page, "kit.chisels").get_by_role("link", name="from your shop")
        page.locator("summary", has_text="Seldom needed").click()
        link.click()
        page.locator("h1", has_text="My shop").wait_for()
        assert page.evaluate("document.activeElement.dataset.key") == "kit.chisels"
        row(page, "kit.chisels").get_by_role("button", name="Take away 3 mm").click()
        until(page, lambda: sizes(page, "kit.chisels") == ["6 mm"])
        page.get_by_role("link", name="Back to tool-tray").click()
        page.locator("h1", has_text="tool tray").wait_for()
        assert page.evaluate("document.activeElement.dataset.key") == "kit.chisels"
        assert figure(page, CHISEL) != before
        until(page, lambda: "It goes together" in page.locator(".verdict").inner_text())
        go(page, there, "#/shop", "My shop")
        page.keyboard.press("Control+z")
        until(page, lambda: sizes(page, "kit.chisels") == ["6 mm", "3 mm"])
        go(page, there, "#/piece/tool-tray", "tool tray")
        assert figure(page, CHISEL) == before


def test_a_piece_that_is_open_elsewhere_follows_and_is_proved_again(browser: Any, there: Bench, file: Path) -> None:
    with page_at(browser, there, "#/piece/tool-tray", "tool tray") as page:
        until(page, lambda: "It goes together" in page.locator(".verdict").inner_text())
        before = figure(page, CHISEL)
        file.write_text(MINE)
        until(page, lambda: "My shop has changed" in bands(page))
        assert "Undo" not in bands(page)
        assert figure(page, CHISEL) != before
        assert sizes(page, "kit.chisels") == ["3 mm", "6 mm"]
        until(page, lambda: "It goes together" in page.locator(".verdict").inner_text())
        assert "changed" in row(page, "kit.chisels").get_attribute("class")


def test_an_edit_by_hand_comes_into_the_open_page_and_keeps_its_comments(
    browser: Any, there: Bench, file: Path
) -> None:
    with page_at(browser, there, "#/shop", "My shop") as page:
        file.write_text(MINE)
        until(page, lambda: sizes(page, "kit.chisels") == ["3 mm", "6 mm"])
        until(page, lambda: "changed in another window or program" in bands(page))
        typed(page, "kit.chisels", "3/4 in")
        until(page, lambda: "3/4 in" in sizes(page, "kit.chisels"))
        assert file.read_text() == MINE.replace("6]", '6, "3/4 in"]')


def test_what_cannot_be_is_told_at_its_control_and_a_broken_file_above_every_view(
    browser: Any, there: Bench, file: Path
) -> None:
    file.write_text(MINE)
    with page_at(browser, there, "#/shop", "My shop") as page:
        typed(page, "kit.saw_kerf", "400")
        until(page, lambda: "400 mm is over the most" in row(page, "kit.saw_kerf").inner_text())
        assert key(page, "kit.saw_kerf").get_attribute("aria-invalid") is not None
        assert "not saved" in page.locator("#saved").inner_text()
        assert file.read_text() == MINE
        typed(page, "kit.saw_kerf", "0.6")
        until(page, lambda: "saw_kerf = 0.6" in file.read_text())
        file.write_text("[kit\n")
        until(page, lambda: page.locator("#broken").is_visible())
        until(page, lambda: "is not TOML" in page.locator(".problems").inner_text())
        go(page, there, "#/piece/tool-tray", "tool tray")
        assert "go by it as it was last" in bands(page)
        assert sizes(page, "kit.chisels") == ["3 mm", "6 mm"]
        page.get_by_role("link", name="See what is wrong").click()
        page.locator("h1", has_text="My shop").wait_for()
        page.get_by_role("button", name="Undo").click()
        until(page, lambda: not page.locator("#broken").is_visible())
        assert "saw_kerf = 0.6" in file.read_text()


def test_a_broken_file_at_the_start_is_told_on_the_first_page(browser: Any, file: Path, recipes: Path) -> None:
    file.write_text("[kit]\nchisels = 'all'\n")
    with (
        bench(str(recipes), "--no-open", proves=True, HALFPIN_SETTINGS=str(file.parent)) as there,
        opened(browser, there.address, *WIDE) as page,
    ):
        until(page, lambda: "go without it" in bands(page))
        go(page, there, "#/shop", "My shop")
        assert "is not a list" in row(page, "kit.chisels").inner_text()


def test_a_wood_of_ones_own_can_be_named_by_a_piece(browser: Any, there: Bench, file: Path) -> None:
    with page_at(browser, there, "#/shop", "My shop") as page:
        page.get_by_label("Name of a new wood").fill("plum")
        page.get_by_label("Density, kg/m3").fill("750")
        page.get_by_role("button", name="Add this wood").click()
        page.get_by_role("button", name="Take plum away").wait_for()
        assert file.read_text() == '[woods]\nplum = {kind = "hardwood", density = 750}\n'
        go(page, there, "#/piece/tool-tray", "tool tray")
        assert "plum" in page.locator("datalist option").evaluate_all("all => all.map(one => one.value)")
        typed(page, "pin_board.wood", "plum")
        until(page, lambda: "changed" in str(row(page, "pin_board.wood").get_attribute("class")))
        until(page, lambda: "It goes together" in page.locator(".verdict").inner_text())


def test_a_bench_that_was_started_without_the_shop_says_so(browser: Any, file: Path, recipes: Path) -> None:
    file.write_text(MINE)
    arguments = (str(recipes), "--no-open", "--no-shop")
    with (
        bench(*arguments, proves=True, HALFPIN_SETTINGS=str(file.parent)) as there,
        page_at(browser, there, "#/shop", "My shop") as page,
    ):
        page.locator(".band", has_text="started without your shop").wait_for()
        go(page, there, "#/piece/tool-tray", "tool tray")
        assert sizes(page, "kit.chisels") == []


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280, 2560])
def test_nothing_serious_for_those_who_read_otherwise(browser: Any, spoilt: Bench, scheme: str, width: int) -> None:
    with page_at(
        browser, spoilt, "#/shop/kit.chisels/tool-tray", "My shop", width, 900, color_scheme=scheme, bypass_csp=True
    ) as page:
        page.locator(".sizes li").first.wait_for()
        for fold in page.locator("summary").all():
            fold.click()
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.add_script_tag(path=str(AXE))
        found = page.evaluate("axe.run()")
        serious = [one for one in found["violations"] if one["impact"] in ("serious", "critical")]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in serious] == []
