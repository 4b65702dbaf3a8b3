"""The page that follows a recipe, in Debian's Chromium: what changes, what stays as the maker has set it, and what is
said when something is wrong. The server runs here; the command itself is tested in `tests/test_cli_watch.py`."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from solids.app.watching import Bulletin, served
from solids.write.page.page import page_bytes
from tests.boxes import job_of_box
from tests.corners import job_of
from tests.outside.browser import AXE, NEEDED, TWO_FRAMES, differs, needs_axe, opened, pixels

pytestmark = NEEDED

PATIENCE = 30.0


@pytest.fixture
def bulletin() -> Bulletin:
    return Bulletin()


@pytest.fixture
def address(bulletin: Bulletin) -> Iterator[str]:
    with served(bulletin, 0) as found:
        yield found


def show(bulletin: Bulletin, *joint: str) -> None:
    """Puts a joint on the page, as the command does."""
    job = job_of(*(joint or ("tool-tray",)))
    bulletin.show(page_bytes(job.job.proof, job.job.scene, (), live=bulletin.next_version))


def show_box(bulletin: Bulletin, *box: str) -> None:
    job = job_of_box(*(box or ("keepsake-box",)))
    bulletin.show(page_bytes(job.proof, job.scene, (), live=bulletin.next_version))


def until(page: Any, what: Callable[[Any], bool], patience: float = PATIENCE) -> None:
    """Waits until something holds of the page."""
    end = time.monotonic() + patience
    while time.monotonic() < end:
        if what(page):
            return
        page.wait_for_timeout(10)
    raise AssertionError(page.locator("body").inner_text()[:500])


def headline(page: Any) -> str:
    found = page.locator("#headline")
    return str(found.text_content()) if found.count() else ""


def live(page: Any) -> str:
    return str(page.evaluate("document.documentElement.dataset.live || ''"))


SIX = ("tool-tray", "joint.tails=6")


def test_a_page_that_waits_says_what_is_wrong_and_becomes_the_joint(
    browser: Any, bulletin: Bulletin, address: str
) -> None:
    bulletin.tell("Error: no <b>width</b>\nand no depth")
    with opened(browser, address) as page:
        until(page, lambda page: "width" in page.locator("#trouble").inner_text())
        assert page.locator("#trouble").inner_text() == "Error: no <b>width</b>\nand no depth"
        assert page.locator("canvas").count() == 0
        bulletin.tell("Error: another")
        until(page, lambda page: page.locator("#trouble").inner_text() == "Error: another")
        show(bulletin)
        until(page, lambda page: "4 tails" in headline(page))
        assert live(page) == "1"
        assert page.locator("#trouble").is_hidden()


def test_a_change_is_drawn_and_what_the_maker_has_set_stays(browser: Any, bulletin: Bulletin, address: str) -> None:
    """The camera, the slider, the section, the colours of gaps and the focus."""
    show(bulletin)
    with opened(browser, address) as page:
        page.focus("#view")
        for key in ("ArrowLeft", "ArrowLeft", "ArrowUp", "+"):
            page.keyboard.press(key)
        turned = pixels(page)
        page.locator("#apart").fill("60")
        page.check("#gaps")
        page.check("input[name=section][value='1']")
        page.locator("#depth").fill("950")
        page.focus("#apart")
        before = pixels(page)
        show(bulletin, *SIX)
        until(page, lambda page: "6 tails" in headline(page))
        after = pixels(page)
        assert 0.001 < differs(before, after) < 0.3
        assert page.locator("#apart").input_value() == "60"
        assert page.locator("#gaps").is_checked()
        assert page.locator("#legend").is_visible()
        assert page.locator("input[name=section][value='1']").is_checked()
        assert page.locator("#depth").input_value() == "950"
        assert page.evaluate("document.activeElement.id") == "apart"
        show(bulletin)
        until(page, lambda page: "4 tails" in headline(page))
        assert differs(before, pixels(page)) == 0, "the same joint from the same side is the same picture"
        page.check("input[name=section][value='']")
        page.uncheck("#gaps")
        page.locator("#apart").fill("0")
        assert differs(turned, pixels(page)) == 0
        page.click("#home")
        assert differs(turned, pixels(page)) > 0.02


def test_everything_on_the_page_is_the_new_joints(browser: Any, bulletin: Bulletin, address: str) -> None:
    show(bulletin)
    with opened(browser, address) as page:
        bulletin_rows = page.locator("tbody tr").count()
        show(bulletin, "drawer-front", "title=another title", "fit.flank_gap=-0.15", "joint.tails=2")
        until(page, lambda page: live(page) == "2")
        assert page.title() == "another title - the corner"
        assert page.locator("h1").inner_text() == "another title"
        assert "half-blind" in headline(page)
        assert "fails its proof" in page.locator("#verdict").inner_text()
        assert "bad" in str(page.locator("#verdict").get_attribute("class"))
        assert "poplar" in page.locator("#woods").inner_text()
        assert page.locator("#proof .fail").count() >= 1
        assert page.locator("tbody tr").count() < bulletin_rows
        assert page.locator("svg text:not([class])").count() == 2
        assert page.locator("#scene").count() == 1
        page.reload()
        assert page.locator("h1").inner_text() == "another title"


def test_trouble_is_told_above_the_last_good_joint_as_text_and_goes_again(
    browser: Any, bulletin: Bulletin, address: str
) -> None:
    show(bulletin)
    with opened(browser, address) as page:
        before = pixels(page)
        trouble = page.locator("#trouble")
        assert trouble.is_hidden()
        bulletin.tell("Error: <img src=x onerror=alert(1)>\nBelow is the last version that could be read.")
        until(page, lambda _: bool(trouble.is_visible()))
        assert trouble.inner_text().startswith("Error: <img src=x")
        assert trouble.inner_text().count("\n") == 1
        assert trouble.get_attribute("role") == "alert"
        assert page.locator("img:not(#on-paper)").count() == 0
        assert "4 tails" in headline(page)
        assert differs(before, pixels(page)) == 0
        show(bulletin, *SIX)
        until(page, lambda page: "6 tails" in headline(page))
        assert trouble.is_hidden()


@needs_axe
@pytest.mark.parametrize("waiting", [False, True], ids=["with a joint", "waiting"])
def test_axe_finds_nothing_serious_in_a_page_with_trouble_by_day_and_night(
    browser: Any, bulletin: Bulletin, address: str, waiting: bool
) -> None:
    if not waiting:
        show(bulletin)
    bulletin.tell("Error: joint.width: is missing")
    with opened(browser, address) as page:
        until(page, lambda page: "missing" in page.locator("#trouble").inner_text())
        page.evaluate(AXE.read_text("utf-8"))
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            found = page.evaluate("() => axe.run()")
            assert [v["id"] for v in found["violations"] if v["impact"] in ("serious", "critical")] == []


def test_several_tabs_follow(browser: Any, bulletin: Bulletin, address: str) -> None:
    show(bulletin)
    with opened(browser, address) as first, opened(browser, address) as second:
        show(bulletin, *SIX)
        for page in (first, second):
            until(page, lambda page: "6 tails" in headline(page))


def test_many_saves_in_a_row_end_at_the_last(browser: Any, bulletin: Bulletin, address: str) -> None:
    show(bulletin)
    with opened(browser, address) as page:
        for tails in (3, 5, 4, 3, 5, 6):
            show(bulletin, "tool-tray", f"joint.tails={tails}")
        until(page, lambda page: live(page) == "7")
        page.wait_for_timeout(200)
        assert "6 tails" in headline(page)
        assert live(page) == "7"
        assert page.locator("#model").count() == 1


def test_a_page_follows_for_a_long_time_without_growing(browser: Any, bulletin: Bulletin, address: str) -> None:
    """Each change lets go of what was drawn before."""
    show(bulletin)
    with opened(browser, address) as page:
        nodes = page.evaluate("document.querySelectorAll('*').length")
        triangles = page.locator("#view").get_attribute("data-triangles")
        for _ in range(6):
            show(bulletin, *SIX)
            show(bulletin)
            until(page, lambda page: live(page) == str(bulletin.next_version - 1))
            page.evaluate(TWO_FRAMES)
        assert page.evaluate("document.querySelectorAll('*').length") == nodes
        assert page.locator("#view").get_attribute("data-triangles") == triangles


def test_nothing_is_drawn_while_nothing_is_saved(browser: Any, bulletin: Bulletin, address: str) -> None:
    show(bulletin)
    with opened(browser, address) as page:
        page.evaluate(TWO_FRAMES)
        before = page.locator("#view").get_attribute("data-drawn")
        bulletin.tell("Error: x")
        until(page, lambda page: bool(page.locator("#trouble").is_visible()))
        page.wait_for_timeout(300)
        # The page above it is longer now; the canvas is as large as before.
        assert page.locator("#view").get_attribute("data-drawn") == before


# --- boxes ---------------------------------------------------------------------------------------


def test_a_box_that_changes_is_drawn_and_what_the_maker_has_set_stays(
    browser: Any, bulletin: Bulletin, address: str
) -> None:
    show_box(bulletin)
    with opened(browser, address) as page:
        page.focus("#view")
        for key in ("ArrowLeft", "ArrowUp", "+"):
            page.keyboard.press(key)
        page.locator("#apart").fill("40")
        page.check("input[name=section][value='2']")
        before = pixels(page)
        show_box(bulletin, "keepsake-box", "box.length=300", "tail_board.wood=cherry", "box.groove.width=0")
        until(page, lambda page: "300 mm" in headline(page))
        assert differs(before, pixels(page)) > 0.01
        assert "cherry" in page.locator("#woods").inner_text()
        assert page.locator("#apart").input_value() == "40"
        assert page.locator("input[name=section][value='2']").is_checked()
        show_box(bulletin)
        until(page, lambda page: "240 mm" in headline(page))
        assert differs(before, pixels(page)) == 0, "the same box from the same side is the same picture"


def test_a_corner_that_becomes_a_box_and_back_is_shown_as_if_opened_anew(
    browser: Any, bulletin: Bulletin, address: str
) -> None:
    """Other controls, other sections, another front: nothing of the one is left on the other."""
    show(bulletin)
    with opened(browser, address) as page:
        corner = pixels(page)
        page.check("#gaps")
        page.check("input[name=section][value='1']")
        page.locator("#apart").fill("60")
        for show_next, words, title in (
            (show_box, "Outside 240 mm", "keepsake box - the box"),
            (show, "4 tails", "tool tray - the corner"),
        ):
            show_next(bulletin)
            until(page, lambda page, words=words: words in headline(page))  # type: ignore[misc]
            page.wait_for_load_state()
            assert page.title() == title
            assert page.locator("#gaps").count() == (show_next is show)
            with opened(browser, address) as fresh:
                assert page.locator("#model").inner_text() == fresh.locator("#model").inner_text()
                assert differs(pixels(page), pixels(fresh)) == 0
        assert differs(corner, pixels(page)) == 0


def test_trouble_with_a_box_that_was_a_corner_stands_above_the_corner(
    browser: Any, bulletin: Bulletin, address: str
) -> None:
    show(bulletin)
    with opened(browser, address) as page:
        bulletin.tell("Error: box.length: is missing")
        until(page, lambda page: bool(page.locator("#trouble").is_visible()))
        assert "4 tails" in headline(page)
        show_box(bulletin)
        until(page, lambda page: "Outside 240 mm" in headline(page))
        assert page.locator("#trouble").is_hidden()
        bulletin.tell("Error: box.length: 5 mm is too short")
        until(page, lambda page: bool(page.locator("#trouble").is_visible()))
        assert "Outside 240 mm" in headline(page)


# --- a server that goes away and comes back ------------------------------------------------------


RECONNECTED = 12.0
"""A browser asks again for a stream that broke off after three seconds (measured; the standard leaves it open)."""


def port_in(address: str) -> int:
    return int(address.rstrip("/").rpartition(":")[2])


def again(browser: Any, before: int, after: int) -> None:
    """A page of one run sees another run on the same port, that starts to count anew."""
    first, second = Bulletin(), Bulletin()
    for _ in range(before):
        show(first)
    with served(first, 0) as address:
        room = browser.new_context(viewport={"width": 1000, "height": 800})
        page = room.new_page()
        page.goto(address)
        assert live(page) == str(before)
        port = port_in(address)
    for _ in range(after):
        show(second, *SIX)
    with served(second, port):
        try:
            until(page, lambda page: "6 tails" in headline(page), RECONNECTED)
        finally:
            room.close()


def test_a_page_that_is_still_open_takes_up_a_new_run_on_the_same_port(browser: Any) -> None:
    again(browser, before=2, after=1)


def test_a_new_run_is_told_from_the_old_one_where_both_are_at_the_same_number(browser: Any) -> None:
    """`watch --port 8000`, stopped, the recipe changed, and begun again: both pages are the first of their run."""
    again(browser, before=1, after=1)


def test_an_answer_that_comes_late_does_not_undo_a_later_one(browser: Any, bulletin: Bulletin, address: str) -> None:
    """The answer to the first of two changes is held back until the second has been drawn."""
    show(bulletin)
    with opened(browser, address, quiet=False) as page:
        held: list[Any] = []

        def answer(route: Any) -> None:
            if not held:
                held.append((route, bulletin.page))
            else:
                route.continue_()

        page.route(address, answer)
        show(bulletin, "tool-tray", "joint.tails=3")
        until(page, lambda _: bool(held))
        show(bulletin, *SIX)
        page.wait_for_timeout(500)
        route, old = held[0]
        route.fulfill(body=old, content_type="text/html; charset=utf-8")
        page.wait_for_timeout(500)
        assert "6 tails" in headline(page)
