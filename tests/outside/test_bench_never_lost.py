"""What goes wrong under a page of the bench that is open, with the real command behind it: told in words, and nothing
lost. In Debian's Chromium."""

from __future__ import annotations

import hashlib
import json
import os
import re
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

from solids.recipe import preset_text
from solids.recipe.text.toml import parse_toml
from tests.app.desk.running import Bench, bench, rights_cannot_bind
from tests.app.desk.stand_ins import TRAY, tray
from tests.outside.browser import NEEDED, opened

pytestmark = NEEDED

PATIENCE = 90.0
PIECE = "#/piece/tool-tray"
FIVE = TRAY.replace("tails = 4", "tails = 5")

needs_rights = pytest.mark.skipif(rights_cannot_bind, reason="no program here for which the rights of files hold")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "recipes"
    place.mkdir()
    tray(place)
    return place


@contextmanager
def page_at(browser: Any, there: Bench, place: str = PIECE, **more: Any) -> Iterator[Any]:
    with opened(browser, there.address + place, 1280, 900, quiet=False, **more) as page:
        page.locator("h1").first.wait_for()
        yield page


def another(page: Any, there: Bench, place: str = PIECE) -> Any:
    """A second window of the same browser."""
    found = page.context.new_page()
    found.goto(there.address + place)
    found.locator("h1").first.wait_for()
    return found


def until(page: Any, what: Callable[[], Any]) -> None:
    end = time.monotonic() + PATIENCE
    while not what():
        assert time.monotonic() < end, page.locator("body").inner_text()[:2000]
        page.wait_for_timeout(20)


def key(page: Any, name: str) -> Any:
    return page.locator(f'[data-key="{name}"]')


def give(page: Any, name: str, value: str) -> None:
    key(page, name).fill(value)
    page.keyboard.press("Enter")


def notices(page: Any) -> str:
    return str(page.locator("#notices").inner_text())


def saved(page: Any) -> str:
    return str(page.locator("#saved").inner_text())


def verdict(page: Any) -> str:
    return str(page.locator(".verdict [role=status]").inner_text())


def place_of(page: Any, handle: str) -> tuple[float, float]:
    box = page.locator(f'[data-handle="{handle}"] .knob').bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def is_at_rest(page: Any, there: Bench, file: Path) -> bool:
    """Whether all that was done on the page has come to the bench, and lies on disk."""
    said = json.loads(there.ask("api/piece/tool-tray")[1])["text"]
    return saved(page) == "Saved" and file.read_text() == said != TRAY


# --- the server goes -----------------------------------------------------------------------------------


def test_a_server_that_is_killed_in_a_drag_and_started_anew(browser: Any, folder: Path) -> None:
    """What had rested is on disk; the page says where to go on, and what did not get through."""
    file = folder / "tool-tray.toml"
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        x, y = place_of(page, "baseline")
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x, y - 8, steps=6)
        until(page, lambda: is_at_rest(page, there, file))
        rested = file.read_text()
        there.run.send_signal(signal.SIGKILL)
        there.run.wait()
        page.mouse.move(x, y - 16, steps=6)
        page.mouse.up()
        until(page, lambda: page.locator("#lost").is_visible())
        assert "start it anew" in page.locator("#lost").inner_text()
        until(page, lambda: saved(page) == "Waiting for the bench")
        give(page, "joint.tails", "5")
        assert file.read_text() == rested
        assert parse_toml(rested, "")["joint"]["width"] == 96
        assert [path.name for path in folder.iterdir()] == [file.name], "nothing half written stays"
        with bench(str(folder), "--port", str(there.port), proves=True) as again:
            until(page, lambda: "started anew" in page.locator("#lost").inner_text())
            until(page, lambda: "Not on disk: " in notices(page))
            assert "Tails 5" in notices(page)
            assert file.read_text() == rested, "a page without the key changes nothing"
            page.goto(again.address + PIECE)
            page.locator("h1", has_text=re.compile("tool tray")).wait_for()
            assert page.locator("#lost").is_hidden()


def test_without_the_net_changes_wait_and_go_through_when_it_is_back(browser: Any, folder: Path) -> None:
    file = folder / "tool-tray.toml"
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        page.context.set_offline(True)
        give(page, "joint.tails", "5")
        until(page, lambda: page.locator("#lost").is_visible())
        give(page, "joint.pin", "4")
        assert file.read_text() == TRAY
        page.context.set_offline(False)
        until(page, lambda: page.locator("#lost").is_hidden())
        until(page, lambda: saved(page) == "Saved")
        assert "tails = 5" in file.read_text()
        assert "pin = 4" in file.read_text()
        # News comes again too.
        file.write_text(file.read_text().replace("tails = 5", "tails = 6"))
        until(page, lambda: key(page, "joint.tails").input_value() == "6")


# --- the disk refuses ------------------------------------------------------------------------------------


@needs_rights
def test_a_disk_that_refuses_and_then_takes_is_told_both_times(browser: Any, folder: Path) -> None:
    file = folder / "tool-tray.toml"
    with bench(str(folder), proves=True, bound=True) as there, page_at(browser, there) as page:
        two = another(page, there)
        folder.chmod(0o500)
        try:
            give(page, "joint.tails", "5")
            for window in (page, two):
                until(window, lambda window=window: "cannot be written" in saved(window))
                assert "cannot be written" in notices(window)
                assert key(window, "joint.tails").input_value() == "5"
            assert file.read_text() == TRAY
        finally:
            folder.chmod(0o700)
        for window in (page, two):
            until(window, lambda window=window: "Every change is on disk now" in notices(window))
            assert saved(window) == "Saved"
            assert "cannot be written" not in notices(window)
        assert file.read_text() == FIVE


@pytest.mark.parametrize(
    ("harm", "words"),
    [
        (Path.unlink, "gone from its folder"),
        (lambda file: (file.unlink(), file.mkdir()), "is a folder"),
        (lambda file: (file.unlink(), os.mkfifo(file)), "not an ordinary file"),
        (lambda file: (file.unlink(), file.symlink_to("/etc/hostname")), "link to another place"),
        (lambda file: file.write_bytes(TRAY.encode("utf-16")), "not UTF-8"),
        (lambda file: os.truncate(file, 200_000_000), "far more than a recipe"),
    ],
    ids=["gone", "folder", "pipe", "link", "utf-16", "200 MB"],
)
def test_what_becomes_of_the_file_is_told_and_the_page_keeps_its_recipe(
    browser: Any, folder: Path, harm: Callable[[Path], object], words: str
) -> None:
    file = folder / "tool-tray.toml"
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        harm(file)
        until(page, lambda: words in saved(page))
        assert words in notices(page)
        give(page, "joint.tails", "5")
        if words == "gone from its folder":
            until(page, lambda: file.is_file() and file.read_text() == FIVE)
        else:
            until(page, lambda: page.locator('[data-drawing="face"] .count').count() == 5)
            assert words in saved(page)
            assert not file.is_file() or file.stat().st_size != len(FIVE), "what stands there is not harmed"
            file.rmdir() if file.is_dir() else file.unlink()
            with suppress(FileExistsError), file.open("x") as new:  # the bench may be faster, and put its own there
                new.write(TRAY)
            until(page, lambda: file.read_text() == FIVE)
        until(page, lambda: saved(page) == "Saved")
        assert "Traceback" not in page.locator("body").inner_text()


def is_whole(place: Path) -> bool:
    """Whether a folder holds every file that its report lists, as it was made, and nothing of a run cut off."""
    listed = {one["name"]: one["sha256"] for one in json.loads((place / "report.json").read_bytes())["files"]}
    found = {path.relative_to(place).as_posix(): path.read_bytes() for path in place.rglob("*") if path.is_file()}
    del found["report.json"]
    return {name: hashlib.sha256(data).hexdigest() for name, data in found.items()} == listed


# --- several windows ---------------------------------------------------------------------------------------


def test_twelve_windows_work_and_follow_each_other(browser: Any, folder: Path) -> None:
    """A browser opens six connections to a server at a time (Chromium's kDefaultMaxSocketsPerGroup, from memory): a
    stream of news for each window would leave none for the work."""
    file = folder / "tool-tray.toml"
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        windows = [page, *(another(page, there) for _ in range(11))]
        give(windows[7], "joint.tails", "5")
        for window in windows:
            until(window, lambda window=window: key(window, "joint.tails").input_value() == "5")
        # The one that listens for all is closed.
        windows.pop(0).close()
        give(windows[3], "joint.tails", "6")
        for window in windows:
            until(window, lambda window=window: key(window, "joint.tails").input_value() == "6")
        file.write_text(FIVE)
        for window in windows:
            until(window, lambda window=window: key(window, "joint.tails").input_value() == "5")


def test_a_piece_that_is_renamed_or_put_away_in_another_window(browser: Any, folder: Path) -> None:
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        shelf = another(page, there, "")
        shelf.get_by_role("button", name="Rename tool tray").click()
        shelf.get_by_label("Title").fill("Plane till")
        shelf.get_by_role("dialog").get_by_role("button", name="Rename").click()
        until(page, lambda: page.url.endswith("#/piece/plane-till"))
        page.locator("h1", has_text="Plane till").wait_for()
        give(page, "joint.tails", "5")
        until(page, lambda: "tails = 5" in (folder / "plane-till.toml").read_text())
        shelf.get_by_role("button", name="Put away Plane till").click()
        until(page, lambda: "put away in another window" in notices(page))
        page.locator("h1", has_text="The shelf").wait_for()


# --- a handle that cannot go on -----------------------------------------------------------------------------


def test_a_handle_that_is_pulled_too_far_stops_and_the_page_stays_true(browser: Any, folder: Path) -> None:
    file = folder / "tool-tray.toml"
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        before = place_of(page, "flank 2")
        page.mouse.move(*before)
        page.mouse.down()
        page.mouse.move(before[0] + 30, before[1], steps=4)
        page.mouse.move(before[0] + 900, before[1], steps=4)
        until(page, lambda: page.locator(".reason").is_visible())
        page.mouse.up()
        until(page, lambda: saved(page) == "Saved")
        until(page, lambda: page.locator(".handle.held").count() == 0)
        until(page, lambda: not page.locator(".reason").is_visible())
        shown = page.evaluate("fetch('api/piece/tool-tray').then((one) => one.json())")
        assert shown["good"]
        assert shown["text"] == file.read_text()
        page.reload()
        page.locator("h1", has_text="tool tray").wait_for()
        after = place_of(page, "flank 2")
        undo = page.get_by_role("button", name="Undo")
        while undo.is_enabled():  # a movement that rests for long is more than one step
            undo.click()
            until(page, lambda: saved(page) == "Saved")
        assert file.read_text() == TRAY
        assert after != before


# --- the kernel, and files ------------------------------------------------------------------------------------


def test_a_kernel_that_is_killed_comes_back_and_a_make_is_stopped_and_seen_anywhere(browser: Any, folder: Path) -> None:
    with bench(str(folder), proves=True) as there, page_at(browser, there) as page:
        until(page, lambda: verdict(page).startswith("Proved."))
        for number in there.below():
            os.kill(number, signal.SIGKILL)
        give(page, "joint.tails", "5")
        until(page, lambda: page.locator('[data-drawing="face"] .count').count() == 5)
        until(page, lambda: "has ended. It is started again" in notices(page))
        until(page, lambda: verdict(page).startswith("Proved."))

        page.goto(f"{there.address}#/make/tool-tray")
        page.get_by_role("button", name="Make", exact=True).click()
        until(page, lambda: page.locator(".made > li .file").count() > 5)
        assert page.locator(".old").count() == 0
        two = another(page, there)
        give(two, "joint.tails", "6")
        until(page, lambda: page.locator(".old").count() > 5)
        assert "made from the recipe as it was before" in page.locator(".old").first.inner_text()

        kept = {path: path.read_bytes() for path in (folder / "exports").rglob("*") if path.is_file()}
        for wanted in page.locator("input[name=wanted]").all():
            wanted.check()  # so much that it is not done before it is stopped
        page.get_by_role("button", name="Make", exact=True).click()
        until(page, lambda: re.search(r"of \d", page.locator(".making").inner_text()))
        page.reload()
        until(page, lambda: page.get_by_role("button", name="Stop").is_visible())
        page.get_by_role("button", name="Stop").click()
        until(page, lambda: "Stopped." in page.locator(".making").inner_text())
        # All of the old files, or, where the stop came between the two sets of a make, all of the new ones.
        now = {path: path.read_bytes() for path in (folder / "exports").rglob("*") if path.is_file()}
        assert now == kept or is_whole(folder / "exports" / "tool-tray")
        until(page, lambda: page.get_by_role("button", name="Make", exact=True).is_enabled())


# --- a full shelf ---------------------------------------------------------------------------------------------


def test_a_shelf_of_200_is_there_at_once_and_draws_what_is_seen(browser: Any, tmp_path: Path) -> None:
    for number in range(200):
        name = ("tool-tray", "keepsake-box")[number % 2]
        text = preset_text(name).replace('title = "', f'title = "{number} ', 1)
        (tmp_path / f"piece-{number:03}.toml").write_text(text)
    asked: list[str] = []
    with bench(str(tmp_path)) as there, page_at(browser, there, "") as page:
        until(page, lambda: page.locator(".shelf > li").count() == 200)
        page.on("request", lambda request: asked.append(request.url))
        begun = time.monotonic()
        page.reload()
        until(page, lambda: page.locator(".shelf > li").count() == 200)
        assert time.monotonic() - begun < 20.0, "at once, even on a machine that does other things too"
        pictures = lambda: {url for url in asked if "/api/picture/" in url}  # noqa: E731
        until(page, pictures)
        page.wait_for_load_state("networkidle")
        assert len(pictures()) < 200, "those far below the window are not drawn yet"
        page.locator(".shelf > li").last.scroll_into_view_if_needed()
        until(page, lambda: any("piece-199" in url for url in asked))
