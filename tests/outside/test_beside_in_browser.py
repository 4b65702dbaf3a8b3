"""Kept states on the page of the bench, in Debian's Chromium against the real bench with its kernel: kept, changed,
seen side by side, taken, undone. Accessibility by axe-core (Deque Systems)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from solids.recipe import preset_text
from tests.app.desk.running import Bench, bench
from tests.outside.at_the_bench import until
from tests.outside.browser import AXE, NEEDED, needs_axe, opened

pytestmark = NEEDED

PATIENCE_MS = 90_000.0
"""For a proof by the kernel, on a machine that does other things too."""

TRAY, DRAWER = "tool-tray", "desk-drawer"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("recipes")


@pytest.fixture(scope="module")
def running(folder: Path) -> Iterator[Bench]:
    with bench(str(folder), "--no-open", proves=True) as there:
        yield there


@pytest.fixture(autouse=True)
def fresh(folder: Path, running: Bench) -> None:
    """Both pieces as they come, with nothing kept."""
    for name in (TRAY, DRAWER):
        (folder / f"{name}.toml").write_text(preset_text(name))
        if not (folder / "kept" / name).exists():
            continue
        for path in (folder / "kept" / name).rglob("*.toml"):
            path.unlink()


@contextmanager
def view(browser: Any, running: Bench, name: str, what: str = "beside", *sizes: int, **more: Any) -> Iterator[Any]:
    width, height = sizes or (1280, 900)
    with opened(browser, running.address, width, height, quiet=what != "piece", **more) as page:
        page.goto(f"{running.address}#/{what}/{name}")
        page.set_default_timeout(PATIENCE_MS)
        page.locator("h1", has_text=re.compile(name.replace("-", " "))).wait_for()
        yield page


BOARDS = """() => [...document.querySelectorAll('.drawing .shapes .tail-board')]
  .map((board) => board.getBoundingClientRect().toJSON())"""
"""Where the tail boards are on the screen."""


def both_boards(page: Any) -> list[dict[str, float]]:
    """With each news the page draws anew, and then nothing is drawn for a frame."""
    found: list[dict[str, float]] = []

    def are_there() -> bool:
        found[:] = page.evaluate(BOARDS)
        return len(found) == 2

    until(page, are_there)
    return found


def button(page: Any, words: str) -> Any:
    return page.get_by_role("button", name=words, exact=True)


def keep(page: Any, words: str = "") -> None:
    button(page, "Keep this state").click()
    if words:
        page.get_by_label("What to call it").fill(words)
    button(page, "Keep").click()
    page.get_by_text(re.compile("Kept. It is called: ")).wait_for()


def verdicts(page: Any) -> Any:
    return page.locator(".pair [role=status]", has_text="Proved. It goes together")


def rows(page: Any, table: str) -> dict[str, list[str]]:
    """The rows of a table that differ, by their words."""
    found = page.get_by_role("table", name=table).locator("tbody tr.differs")
    cells = [[cell.inner_text() for cell in row.locator("th, td").all()] for row in found.all()]
    assert all(words.endswith(" differs") for words, *_ in cells), "told by a word, not by colour alone"
    return {words.removesuffix(" differs"): values for words, *values in cells}


def test_keep_change_compare_take_and_undo(browser: Any, running: Bench, folder: Path) -> None:
    file, before = folder / f"{TRAY}.toml", preset_text(TRAY)
    with view(browser, running, TRAY, "piece") as page:
        button(page, "Keep this state").click()
        assert page.get_by_label("What to call it").input_value() == "4 tails, 1:7"
        button(page, "Keep").click()
        page.get_by_text("Kept. It is called: 4 tails, 1:7").wait_for()
        button(page, "Keep this state").click()
        page.get_by_text("This state is kept already. It is called: 4 tails, 1:7").wait_for()
        button(page, "One tail more").click()
        page.locator("#count", has_text="5").wait_for()
        page.get_by_role("link", name="Side by side").click()
        page.locator("h1", has_text="Side by side: tool tray").wait_for()
        assert page.get_by_label("First", exact=True).locator("option:checked").inner_text() == "As it is now"
        assert page.get_by_label("Second", exact=True).locator("option:checked").inner_text() == "4 tails, 1:7"
        assert rows(page, "In the recipe")["Joint: Tails"] == ["5", "4"]
        assert rows(page, "Figures")["Tails"] == ["5", "4"]
        verdicts(page).nth(1).wait_for()
        five = file.read_text()
        button(page, "Take this one: 4 tails, 1:7").click()
        page.get_by_text(re.compile("What it was before is kept too; it is called: 5 tails, 1:7")).wait_for()
        page.get_by_role("table", name="In the recipe").get_by_role("columnheader", name="5 tails, 1:7").wait_for()
        assert file.read_text() == before, "letter by letter"
        assert rows(page, "Figures")["Tails"] == ["4", "5"]
        button(page, "Undo").click()
        page.get_by_text("Every value is the same.").wait_for()
        assert file.read_text() == five
    assert (folder / "kept" / TRAY / "2.toml").read_text().partition("\n")[2] == five


def test_both_drawings_are_in_one_scale_and_show_the_other(browser: Any, running: Bench) -> None:
    """One is half as wide again as the other, and so is its drawing."""
    with view(browser, running, TRAY) as page:
        running.ask(f"api/kept/{TRAY}/keep", {"words": "narrow"})
        running.ask(f"api/piece/{TRAY}/set", {"changes": {"joint.width": "144 mm"}})
        page.locator(".drawing .was").first.wait_for()
        page.locator(".measure", has_text="144 mm").wait_for()
        wide, narrow = both_boards(page)
        assert wide["width"] / narrow["width"] == pytest.approx(144 / 96, abs=0.03)
        assert wide["y"] == pytest.approx(narrow["y"], abs=1), "side by side"
        assert page.locator(".handle").count() == 0
        page.set_viewport_size({"width": 360, "height": 800})
        page.wait_for_function(f"() => (([one, other]) => other?.top > one.bottom)(({BOARDS})())")
        assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_a_box_is_compared_corner_by_corner(browser: Any, running: Bench) -> None:
    running.ask(f"api/kept/{DRAWER}/keep", {"words": "as drawn"})
    running.ask(f"api/piece/{DRAWER}/set", {"changes": {"joint.tails": "4"}})
    with view(browser, running, DRAWER) as page:
        page.get_by_role("table", name="Front left and front right").wait_for()
        for table in ("Front left and front right", "Back left and back right"):
            assert rows(page, table)["Tails"] == ["4", "3"]
        numbers = page.locator(".drawing .count")
        # The reference edge is on the right there.
        until(page, lambda: numbers.all_text_contents() == ["4", "3", "2", "1", "3", "2", "1"])
        front = page.locator(".drawing .shapes").first.inner_html()
        page.get_by_label("back left").check()
        page.wait_for_function("(before) => document.querySelector('.drawing .shapes').innerHTML !== before", arg=front)
        verdicts(page).nth(1).wait_for()


def test_another_tab_hears_of_it_and_the_shelf_tells_how_many(browser: Any, running: Bench) -> None:
    with view(browser, running, TRAY) as page, view(browser, running, TRAY, "piece") as other:
        page.get_by_text("Nothing is kept of this piece yet.").wait_for()
        keep(other, "before lunch")
        page.get_by_role("listitem").filter(has_text="before lunch").wait_for()
        button(other, "One tail more").click()
        page.locator("tr.differs", has_text="Tails").first.wait_for()
        other.goto(f"{running.address}#/")
        other.get_by_role("link", name="1 kept").wait_for()
        button(page, "Drop before lunch").click()
        other.get_by_role("link", name="1 kept").wait_for(state="detached")
        page.get_by_text("Dropped (1)").click()
        button(page, "Bring back before lunch").click()
        button(page, "Rename before lunch").click()
        page.get_by_label("What to call it").fill("after lunch")
        button(page, "Rename").click()
        page.locator("option", has_text="after lunch").first.wait_for(state="attached")


def test_what_cannot_be_laid_out_is_shown_with_its_reason(browser: Any, running: Bench) -> None:
    running.ask(f"api/piece/{TRAY}/set", {"changes": {"joint.half_pin": "0.5 mm"}})
    running.ask(f"api/kept/{TRAY}/keep", {"words": "too thin"})
    running.ask(f"api/piece/{TRAY}/undo", {})
    with view(browser, running, TRAY) as page:
        page.get_by_text("Joint: Half pin: 0.5 mm is under 5 mm").wait_for()
        assert (
            page.locator(".pair .verdict").nth(1).inner_text().endswith("Not proved: this cannot be cut as it stands.")
        )
        assert rows(page, "In the recipe") == {"Joint: Half pin": ["6", "0.5 mm"]}
        assert rows(page, "Figures") == {}, "where one side has no figures, nothing differs"


def test_by_keys_alone(browser: Any, running: Bench, folder: Path) -> None:
    with view(browser, running, TRAY) as page:

        def go_to(words: str) -> None:
            for _ in range(60):
                page.keyboard.press("Tab")
                told = "[document.activeElement.getAttribute('aria-label'), document.activeElement.textContent]"
                if words in page.evaluate(told):
                    return
            raise AssertionError(f"Tab does not lead to {words}")

        go_to("Keep this state")
        page.keyboard.press("Enter")
        page.get_by_label("What to call it").wait_for()
        page.keyboard.press("Control+a")
        page.keyboard.type("by keys")
        page.keyboard.press("Enter")
        page.get_by_text("Kept. It is called: by keys").wait_for()
        running.ask(f"api/piece/{TRAY}/set", {"changes": {"joint.tails": "3"}})
        page.locator("tr.differs").first.wait_for()
        go_to("Take this one: by keys")
        page.keyboard.press("Enter")
        page.get_by_text(re.compile("The piece is now as it was kept: by keys")).wait_for()
        go_to("Drop by keys")
        page.keyboard.press("Enter")
        page.get_by_text(re.compile("Dropped: by keys")).wait_for()
        assert (folder / f"{TRAY}.toml").read_text() == preset_text(TRAY)


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 360, 1280, 2560])
def test_nothing_serious_in_axe(browser: Any, running: Bench, scheme: str, width: int) -> None:
    running.ask(f"api/kept/{TRAY}/keep", {"words": "one"})
    running.ask(f"api/piece/{TRAY}/set", {"changes": {"joint.half_pin": "0.5 mm"}})
    running.ask(f"api/kept/{TRAY}/keep", {"words": "two"})
    running.ask(f"api/kept/{TRAY}/drop", {"number": "2"})
    running.ask(f"api/piece/{TRAY}/set", {"changes": {"joint.half_pin": "7 mm"}})
    with view(browser, running, TRAY, "beside", width, 900, color_scheme=scheme, bypass_csp=True) as page:
        page.locator("tr.differs").first.wait_for()
        page.get_by_text(re.compile(r"Dropped \(1\)")).click()
        page.evaluate(AXE.read_text("utf-8"))
        found = page.evaluate("async () => (await axe.run()).violations")
        told = [(one["id"], one["impact"], [node["html"][:150] for node in one["nodes"]]) for one in found]
        assert [one for one in told if one[1] in ("serious", "critical")] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_kill_in_between_and_all_is_there(browser: Any, tmp_path: Path) -> None:
    (tmp_path / f"{TRAY}.toml").write_text(preset_text(TRAY))
    with bench(str(tmp_path), "--no-open", proves=True) as there, view(browser, there, TRAY, "piece") as page:
        keep(page, "before the kill")
        there.run.kill()
    with bench(str(tmp_path), "--no-open", proves=True) as there, view(browser, there, TRAY) as page:
        page.get_by_role("listitem").filter(has_text="before the kill").wait_for()
