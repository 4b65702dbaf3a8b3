"""Whole stories at the bench, in Debian's Chromium against `halfpin bench` itself with the kernel behind it: from a
first start to files that another program reads. PDF files are read by qpdf (in pikepdf) and poppler's pdftotext."""

from __future__ import annotations

import shutil
import subprocess
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from tests.app.desk.running import Bench, bench
from tests.app.desk.stand_ins import TRAY, tray
from tests.commands import halfpin
from tests.outside.at_the_bench import (
    drag,
    in_focus,
    key,
    make,
    pixels_per_mm,
    proof,
    tab_to,
    tails,
    typed,
    until,
    until_proved,
    until_saved,
    value_of,
)
from tests.outside.browser import NEEDED, opened

pytestmark = NEEDED

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext is not on PATH (Debian package poppler-utils)"
)
TELLS = {"quiet": False}
"""A browser tells on its console that a server does not answer, or answers no."""


@contextmanager
def at_the_shelf(browser: Any, there: Bench, **more: Any) -> Iterator[Any]:
    with opened(browser, there.address, 1280, 900, **more) as page:
        page.locator(".shelf > li").first.wait_for()  # comes after the heading, together with the presets
        yield page


@contextmanager
def at(browser: Any, there: Bench, name: str, **more: Any) -> Iterator[Any]:
    with opened(browser, there.address, 1280, 900, **more) as page:
        page.goto(f"{there.address}#/piece/{name}")
        page.locator(".drawing").first.wait_for()
        yield page


def begin(page: Any, title: str, preset: str = "tool-tray") -> None:
    """A new piece from the shelf."""
    page.get_by_role("button", name="New piece").click()
    page.get_by_label("Title").fill(title)
    page.get_by_label("Begin with").select_option(preset)
    page.get_by_role("button", name="Begin", exact=True).click()
    page.locator("h1", has_text=title).wait_for()


def to_files(page: Any) -> None:
    page.get_by_role("link", name="Make files").click()
    page.get_by_role("heading", name="Make files").wait_for()


# --- a first start ---------------------------------------------------------------------------------


def homes(home: Path) -> dict[str, str]:
    """The environment of somebody who has never been here."""
    (home / ".config").mkdir(parents=True)
    return {"HOME": str(home), "XDG_CONFIG_HOME": str(home / ".config"), "XDG_DOCUMENTS_DIR": ""}


@needs_poppler
def test_a_first_piece_from_an_empty_folder_to_paper_over_a_server_that_is_killed(browser: Any, tmp_path: Path) -> None:
    environment = homes(tmp_path / "home")
    recipe = tmp_path / "home" / "Documents" / "Halfpin" / "pencil-tray.toml"
    with bench("--no-open", proves=True, **environment) as there, at_the_shelf(browser, there, **TELLS) as page:
        assert "Nothing lies here yet" in page.locator("main").inner_text()
        begin(page, "pencil tray")
        until_proved(page)
        _five_tails_by_hand_and_by_keys(page)
        assert tomllib.loads(recipe.read_text())["joint"]["flanks"][0] == 6.0
        _what_cannot_be(page)
        pdf = _paper(page, recipe.parent / "exports" / "pencil-tray")
        there.run.kill()
        there.run.wait()
        page.get_by_role("link", name="Back to the piece").click()
        until(page, lambda: "does not answer" in page.locator("#lost").inner_text())
        text = recipe.read_text()
        with bench("--no-open", "--port", str(there.port), proves=True, **environment) as again:
            until(page, lambda: "has ended" in page.locator("#lost").inner_text())
            page.goto(again.address)
            page.locator(".shelf h2").wait_for()
            assert page.locator("#lost").is_hidden()
            assert page.locator(".shelf h2").all_inner_texts() == ["pencil tray"]
            page.get_by_role("link", name="pencil tray").first.click()
            until_proved(page)
            until(page, lambda: tails(page) == 5)
            assert recipe.read_text() == text, "to look changes nothing"
            to_files(page)
            page.get_by_role("link", name="Open booklet.pdf").wait_for()
            assert (recipe.parent / "exports" / "pencil-tray" / "booklet.pdf").read_bytes() == pdf


def _five_tails_by_hand_and_by_keys(page: Any) -> None:
    """Flank 3 of five tails in 96 mm, with half pins of 6 mm and pins of 3 mm: each tail is (96 - 12 - 4 x 3) / 5 =
    14.4 mm, so it stands at 6 + 14.4 + 3 = 23.4 mm. The hand pulls the tails by 96 / 4 mm for
    one more. By hand a flank goes in steps of 0.5 mm."""
    drag(page, "tails", 96 / 4 * pixels_per_mm(page))
    until(page, lambda: tails(page) == 5)
    until(page, lambda: value_of(page, "flank 3") == pytest.approx(23.4))
    drag(page, "flank 3", 2.0 * pixels_per_mm(page))
    until(page, lambda: value_of(page, "flank 3") == pytest.approx(25.4))
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowLeft")
    until(page, lambda: value_of(page, "flank 3") == pytest.approx(24.8))
    until_saved(page)
    until_proved(page)


def _what_cannot_be(page: Any) -> None:
    """A board as wide as one half pin leaves no room for tails."""
    typed(page, "joint.width", "20")
    until(page, lambda: "Not proved" in proof(page))
    assert "Proved." not in page.locator("main").inner_text()
    page.locator(".problems").get_by_role("button").first.click()
    wrong = page.locator("[data-row]", has=page.locator(":focus")).locator(".wrong")
    assert wrong.is_visible(), "the reason stands at a control, and a button leads there"
    assert page.locator(".problems li p").first.inner_text() in wrong.inner_text()
    assert page.locator(".last-good").inner_text() == "The last good joint"
    assert tails(page) == 5, "which stays in view"
    assert key(page, "joint.width").input_value() == "20", "what was typed stays"
    page.get_by_role("button", name="Undo").click()
    until_proved(page)
    assert page.locator(".last-good").is_hidden()


def _paper(page: Any, folder: Path) -> bytes:
    """Makes paper alone, and reads the booklet as the browser gets it."""
    to_files(page)
    make(page, "Paper for the bench")
    with page.expect_download() as download:
        page.get_by_role("link", name="Download booklet.pdf").click()
    path = Path(download.value.path())
    shown = page.context.request.get(page.get_by_role("link", name="Open booklet.pdf").evaluate("one => one.href"))
    assert shown.headers["content-type"] == "application/pdf"
    assert path.read_bytes() == shown.body() == (folder / "booklet.pdf").read_bytes()
    said = subprocess.run(["pdftotext", str(path), "-"], check=True, capture_output=True, text=True).stdout
    with pikepdf.open(path) as pdf:
        assert len(pdf.pages) == said.count("\f"), "two readers count the same pages"
        assert len(pdf.pages) >= 2
        assert "pencil tray" in str(pdf.docinfo.get("/Title"))
    assert "pencil tray" in said
    assert "5 tails" in said
    return path.read_bytes()


# --- the page and the command line -----------------------------------------------------------------

EVERYTHING = ("Solids", "Paper", "Shop aids", "A picture", "A page to look at", "A model")
BUILD = ("--paper", "--picture", "--page", "--model")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("preset", ["tool-tray", "keepsake-box"])
def test_what_the_page_saved_gives_the_command_line_the_same_bytes(browser: Any, tmp_path: Path, preset: str) -> None:
    change, value = {"tool-tray": ("joint.tails", "5"), "keepsake-box": ("joint.slope", "1:6")}[preset]
    with bench(str(tmp_path), "--no-open", proves=True) as there, at_the_shelf(browser, there) as page:
        begin(page, "the same", preset)
        recipe = tmp_path / "the-same.toml"
        before = comments(recipe)
        until_proved(page)
        typed(page, change, value)
        until(page, lambda: page.locator("#saved").inner_text() == "Saved" and value in recipe.read_text())
        assert comments(recipe) == before
        until_proved(page)
        to_files(page)
        make(page, *EVERYTHING)
    by_hand = tmp_path / "by hand"
    halfpin("build", str(recipe), *BUILD, "--out", str(by_hand))
    halfpin("aids", str(recipe), "--out", str(by_hand))
    ours, theirs = contents(tmp_path / "exports" / "the-same"), contents(by_hand / "the-same")
    assert sorted(ours) == sorted(theirs)
    assert [name for name in ours if ours[name] != theirs[name]] == []
    assert any(name.endswith(".step") for name in ours)
    assert any("aids" in name for name in ours)


def comments(recipe: Path) -> list[str]:
    found = [line for line in recipe.read_text().splitlines() if line.startswith("# ") and " = " not in line]
    assert len(found) > 10
    return found


# --- inches ----------------------------------------------------------------------------------------


def test_a_length_is_typed_in_inches_as_a_maker_says_it(browser: Any, tmp_path: Path) -> None:
    """3/4 in is 19.05 mm. An arrow moves by 1/64 in, to a whole 128th."""
    with bench(str(tmp_path), "--no-open", proves=True) as there, at_the_shelf(browser, there) as page:
        begin(page, "tea caddy", "tea-box")
        recipe = tmp_path / "tea-caddy.toml"
        typed(page, "pin_board.thickness", "3/4 in")
        until(page, lambda: value_of(page, "baseline") == pytest.approx(19.05))
        until(page, lambda: tomllib.loads(recipe.read_text())["pin_board"]["thickness"] == "3/4 in")
        assert key(page, "pin_board.thickness").input_value() == "3/4 in"
        assert "3/4 in" in str(page.locator('[data-handle="baseline"]').get_attribute("aria-valuetext"))
        before = value_of(page, "flank 2")
        page.locator('[data-handle="flank 2"]').focus()
        page.keyboard.press("ArrowRight")
        until(page, lambda: value_of(page, "flank 2") == pytest.approx(before + 25.4 / 64, abs=25.4 / 256))
        until(
            page,
            lambda: value_of(page, "flank 2") * 128 / 25.4 == pytest.approx(round(before * 128 / 25.4) + 2, abs=0.01),
        )
        until_proved(page)
        page.reload()
        page.locator(".drawing").first.wait_for()
        assert key(page, "pin_board.thickness").input_value() == "3/4 in"


# --- two tabs --------------------------------------------------------------------------------------


def test_two_tabs_see_each_others_changes_and_lose_none(browser: Any, tmp_path: Path) -> None:
    recipe = tray(tmp_path)
    with bench(str(tmp_path), "--no-open", proves=True) as there, at(browser, there, "tool-tray") as one:
        other = one.context.new_page()
        other.goto(f"{there.address}#/piece/tool-tray")
        other.locator(".drawing").first.wait_for()
        typed(one, "joint.tails", "5")
        until(other, lambda: tails(other) == 5)
        until(other, lambda: "was changed in another window" in other.locator("#notices").inner_text())
        other.locator('[data-handle="baseline"]').focus()
        other.keyboard.press("ArrowDown")
        typed(one, "joint.width", "100")
        until(one, lambda: value_of(one, "baseline") == pytest.approx(12.5))
        for page in (one, other):
            until_proved(page)
            until(page, lambda page=page: key(page, "joint.width").input_value() == "100")
            until(page, lambda page=page: tails(page) == 5)
        until(one, lambda: sizes_in(recipe) == ({"width": 100, "tails": 5}, 12.5))
        assert "# as the drawer" in recipe.read_text()
        for left in (2, 1, 0):
            other.get_by_role("button", name="Undo").click()
            until(one, lambda left=left: one.get_by_role("button", name="Undo").is_disabled() == (left == 0))
        until(one, lambda: recipe.read_text() == TRAY)


def sizes_in(recipe: Path) -> tuple[dict[str, Any], float]:
    found = tomllib.loads(recipe.read_text())
    return found["joint"], found["pin_board"]["thickness"]


# --- by keys alone ---------------------------------------------------------------------------------


def test_by_keys_alone_from_the_shelf_to_files(browser: Any, tmp_path: Path) -> None:
    tray(tmp_path)
    with bench(str(tmp_path), "--no-open", proves=True) as there, at_the_shelf(browser, there) as page:
        press = page.keyboard.press
        tab_to(page, "tool tray")
        press("Enter")
        until_proved(page)
        tab_to(page, "left flank of tail 2")
        before = value_of(page, "flank 3")
        press("ArrowRight")
        until(page, lambda: value_of(page, "flank 3") == pytest.approx(before + 0.5, abs=0.06))  # to whole 0.1 mm
        press("Enter")
        page.keyboard.type("29")
        press("Enter")
        until(page, lambda: value_of(page, "flank 3") == pytest.approx(29.0))
        press("Control+z")
        press("Control+z")
        until(page, lambda: value_of(page, "flank 3") == pytest.approx(before))
        tab_to(page, "Width")
        press("Control+a")
        page.keyboard.type("98")
        press("Tab")
        until(page, lambda: "98" in page.locator('[data-drawing="face"] .measure').text_content())
        until_proved(page)
        page.keyboard.press("Shift+Tab")
        _back_to(page, "Make files")
        press("Enter")
        page.get_by_role("heading", name="Make files").wait_for()
        tab_to(page, "Solids and outlines")
        press("Space")
        tab_to(page, "Make")
        press("Enter")
        until(page, lambda: "made, and the report" in page.locator(".making").inner_text())
        tab_to(page, "Download booklet.pdf")
        with page.expect_download() as download:
            press("Enter")
        assert Path(download.value.path()).read_bytes().startswith(b"%PDF")


def _back_to(page: Any, name: str) -> None:
    for _ in range(100):
        if in_focus(page) == name:
            return
        page.keyboard.press("Shift+Tab")
    raise AssertionError(f"Shift+Tab does not come to {name}")


# --- other ways to a recipe ------------------------------------------------------------------------


def test_a_joint_that_is_there_is_taken_over_by_its_marks(browser: Any, tmp_path: Path) -> None:
    """The example that stands in the empty field is a table that can be taken."""
    with bench(str(tmp_path), "--no-open", proves=True) as there, at_the_shelf(browser, there, **TELLS) as page:
        page.get_by_role("button", name="From measured marks").click()
        page.get_by_label("Title").fill("old drawer")
        page.get_by_label("or paste it here").fill("width,96\nnonsense")
        page.get_by_role("button", name="Begin", exact=True).click()
        sheet, marks = page.get_by_role("dialog"), page.get_by_label("or paste it here")
        until(page, lambda: "outer,baseline" in sheet.get_by_role("alert").inner_text())
        assert marks.input_value() == "width,96\nnonsense", "what was typed is not lost"
        marks.fill(marks.get_attribute("placeholder"))
        page.get_by_role("button", name="Begin", exact=True).click()
        until(page, lambda: page.locator("h1", has_text="old drawer").count())
        until_proved(page)
        until(page, lambda: tails(page) == 3)
        assert [round(value_of(page, f"flank {n}"), 1) for n in (1, 2, 6)] == [6.0, 24.8, 90.0]
    assert tomllib.loads((tmp_path / "old-drawer.toml").read_text())["joint"]["flanks"][1] == [24.8, 23.0]


def test_recipes_come_and_go_on_the_shelf_and_none_is_lost(browser: Any, tmp_path: Path) -> None:
    with bench(str(tmp_path), "--no-open", proves=True) as there, at_the_shelf(browser, there) as page:
        names = lambda: page.locator(".shelf h2").all_inner_texts()  # noqa: E731
        page.get_by_role("button", name="Take in a recipe").click()
        file = {"name": "From a Friend.toml", "mimeType": "text/plain", "buffer": TRAY.encode()}
        page.get_by_label("A recipe (TOML)").set_input_files(file)
        page.get_by_role("dialog").get_by_role("button", name="Take in").click()
        page.locator("h1", has_text="tool tray").wait_for()
        until_proved(page)
        page.get_by_role("link", name="The shelf").click()
        until(page, lambda: names() == ["tool tray"])
        until(page, lambda: "proved" in page.locator(".shelf .state").inner_text())
        page.get_by_role("button", name="Copy tool tray").click()
        until(page, lambda: names() == ["tool tray", "tool tray, copy"])
        page.get_by_role("button", name="Rename tool tray, copy").click()
        page.get_by_label("Title").fill("letter tray")
        page.get_by_role("dialog").get_by_role("button", name="Rename").click()
        until(page, lambda: names() == ["letter tray", "tool tray"])
        with page.expect_download() as handed:
            page.get_by_role("link", name="Hand out letter tray").click()
        assert handed.value.suggested_filename == "letter-tray.toml"
        out = Path(handed.value.path()).read_text()
        assert out == TRAY.replace('"tool tray"', '"letter tray"') == (tmp_path / "letter-tray.toml").read_text()
        page.get_by_role("button", name="Put away letter tray").click()
        until(page, lambda: names() == ["tool tray"])
        assert [path.name for path in tmp_path.glob("*.toml")] == ["tool-tray.toml"]
        page.get_by_text("Put away (1)").click()
        page.get_by_role("button", name="Bring back").click()
        until(page, lambda: names() == ["letter tray", "tool tray"])
        assert (tmp_path / "letter-tray.toml").read_text() == out
