"""The page of the bench in Debian's Chromium, played by hand and by keys against a stand-in for its server: what it
sends, what it shows, and what it says when something is wrong."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from tests.app.desk.fake import LEFT_OUT, Fake, controls, scene_of, served
from tests.outside.at_the_bench import key, place_of, proof, row, until, until_saved
from tests.outside.browser import NEEDED, TWO_FRAMES, opened

pytestmark = NEEDED

TRAY = "#/piece/tool-tray"


@pytest.fixture(scope="module")
def scene() -> str:
    return scene_of()


@pytest.fixture
def fake(scene: str) -> Fake:
    return Fake(scene)


@pytest.fixture
def address(fake: Fake) -> Iterator[str]:
    with served(fake) as found:
        yield found


@contextmanager
def page_at(browser: Any, address: str, place: str = TRAY, *sizes: int, **more: Any) -> Iterator[Any]:
    with opened(browser, address, *(sizes or (1280, 900)), **more) as page:
        page.locator(".shelf > li").first.wait_for()
        if place:
            page.goto(address + place)
            page.locator("h1", has_text=re.compile("tool tray")).wait_for()
        page.evaluate(TWO_FRAMES)
        yield page


def moves(fake: Fake) -> list[dict[str, Any]]:
    return [said for path, said in fake.asked if path.endswith("/move")]


def asked_to_set(fake: Fake) -> list[dict[str, Any]]:
    return [said for path, said in fake.asked if path.endswith("/set")]


def flank(fake: Fake, number: int) -> float:
    layout = fake.pieces["tool-tray"].good
    assert layout is not None
    return float(layout.flanks[number - 1].face)


def scale(page: Any) -> float:
    """Pixels for a mm: flanks 1 and 8 of the tray are at 6 and 90 mm."""
    return (place_of(page, "flank 8")[0] - place_of(page, "flank 1")[0]) / 84


# --- a handle in hand ------------------------------------------------------------------------------


def drag(page: Any, handle: str, by_mm: float, steps: int = 12) -> None:
    x, y = place_of(page, handle)
    by = by_mm * scale(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + by, y, steps=steps)
    page.mouse.up()


def test_a_flank_is_dragged_to_a_new_place(browser: Any, fake: Fake, address: str) -> None:
    """Flank 3, the left one of tail 2, is at 6 + 18.75 + 3 = 27.75 mm; 2 mm further it is at 29.75 mm."""
    with page_at(browser, address) as page:
        assert flank(fake, 3) == pytest.approx(27.75)
        drag(page, "flank 3", 2.0)
        until(page, lambda: flank(fake, 3) == pytest.approx(29.75) and moves(fake)[-1]["live"] is False)
        assert sum(one["by_mm"] for one in moves(fake)) == pytest.approx(2.0)
        assert all(one["live"] for one in moves(fake)[:-1])
        until(page, lambda: page.locator("#in-hand").input_value().startswith("29.75"))
        assert page.locator(".hand label").text_content() == "left flank of tail 2"
        until(page, lambda: page.locator(".ghost .was").count() > 0)  # where it was is marked
        # One movement is one step back.
        page.get_by_role("button", name="Undo").click()
        until(page, lambda: flank(fake, 3) == pytest.approx(27.75))
        until(page, lambda: page.get_by_role("button", name="Undo").is_disabled())


def test_while_a_handle_moves_one_request_is_under_way_and_the_newest_place_wins(
    browser: Any, fake: Fake, address: str
) -> None:
    with page_at(browser, address) as page:
        fake.delay = 1.0  # longer than a slow machine takes for a good part of the way
        before = place_of(page, "flank 3")[0]
        drag(page, "flank 3", 8.0, steps=60)
        assert place_of(page, "flank 3")[0] - before == pytest.approx(8.0 * scale(page), abs=2), "drawn ahead"
        until(page, lambda: flank(fake, 3) == pytest.approx(35.75))
        assert fake.most_under_way == 1
        assert len(moves(fake)) < 16, "fewer than the places it went through"


WATCH = """() => {
  const wood = () => document.querySelector('[data-drawing=face] .tail-board').getAttribute('d');
  window.frames_taken = [];
  document.addEventListener('pointermove', () => {
    const before = wood();
    let frames = 0;
    const look = () => {
      frames += 1;
      if (wood() !== before) frames_taken.push(frames);
      else if (frames < 30) requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  }, { capture: true });
}"""


def test_the_drawing_follows_the_hand_within_three_frames(browser: Any, fake: Fake, address: str) -> None:
    """Three frames of a screen of 60 Hz are 50 ms. The server takes longer here, so the page draws ahead of it."""
    with page_at(browser, address) as page:
        fake.delay = 0.2
        x, y = place_of(page, "flank 3")
        page.mouse.move(x, y)
        page.mouse.down()
        page.evaluate(WATCH)
        step = scale(page) * 0.5
        for i in range(60):
            page.mouse.move(x + step * (1 + i % 6), y)
            page.evaluate(TWO_FRAMES)
        page.mouse.up()
        taken = sorted(page.evaluate("frames_taken"))
        assert len(taken) >= 50
        assert taken[int(0.95 * len(taken))] <= 3


def test_escape_puts_a_handle_back(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        x, y = place_of(page, "flank 3")
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 30, y, steps=4)
        until(page, lambda: flank(fake, 3) > 28)
        page.keyboard.press("Escape")
        page.mouse.up()
        until(page, lambda: flank(fake, 3) == pytest.approx(27.75) and not moves(fake)[-1]["live"])


def test_arrows_move_a_handle_by_half_a_millimetre_and_finer_with_shift(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        handle = page.get_by_role("slider", name="left flank of tail 2")
        assert handle.get_attribute("aria-valuetext") == "27.75 mm"
        handle.focus()
        for press in ("ArrowRight", "ArrowRight", "Shift+ArrowLeft"):
            page.keyboard.press(press)
        until(page, lambda: flank(fake, 3) == pytest.approx(28.65))
        until(page, lambda: handle.get_attribute("aria-valuetext") == "28.65 mm")
        assert page.evaluate("document.activeElement.dataset.handle") == "flank 3", "the focus stays on it"
        page.keyboard.press("Control+z")
        page.keyboard.press("Control+z")
        page.keyboard.press("Control+z")
        until(page, lambda: flank(fake, 3) == pytest.approx(27.75))
        page.keyboard.press("Control+Shift+z")
        until(page, lambda: flank(fake, 3) > 27.8)


def test_in_inches_an_arrow_is_a_64th_and_with_shift_a_128th(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address, "") as page:
        page.goto(address + "#/piece/tea-box")
        handle = page.locator('[data-handle="flank 2"]')
        handle.focus()
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Shift+ArrowRight")
        until(page, lambda: sum(one["by_mm"] for one in moves(fake)) == pytest.approx(25.4 * 3 / 128, abs=1e-5))
        assert "1/64 in, with Shift by 1/128 in" in page.locator("#in-hand-help").inner_text()


def test_the_place_of_a_handle_is_typed_in_any_unit(browser: Any, fake: Fake, address: str) -> None:
    """1 1/8 in = 28.575 mm."""
    with page_at(browser, address) as page:
        page.locator('[data-handle="flank 3"]').focus()
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "in-hand"
        page.keyboard.type("1 1/8 in")
        page.keyboard.press("Enter")
        until(page, lambda: flank(fake, 3) == pytest.approx(28.575))
        until_saved(page)
        page.locator("#in-hand").fill("a bit more")
        page.keyboard.press("Enter")
        until(page, lambda: "no length" in page.locator("#in-hand-wrong").inner_text())
        assert flank(fake, 3) == pytest.approx(28.575)


def test_tails_are_added_and_taken_away(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        page.get_by_role("button", name="One tail more").click()
        until(page, lambda: page.locator('[data-drawing="face"] .count').count() == 5)
        assert key(page, "joint.tails").input_value() == "5"
        page.get_by_role("button", name="One tail less").click()
        until(page, lambda: page.locator('[data-drawing="face"] .count').count() == 4)


# --- keys ------------------------------------------------------------------------------------------


def test_a_value_is_typed_and_what_it_did_is_marked_until_the_next(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        key(page, "pin_board.thickness").fill("5/8 in")
        page.keyboard.press("Enter")
        until(page, lambda: "changed" in str(row(page, "pin_board.thickness").get_attribute("class")))
        assert asked_to_set(fake)[-1] == {"changes": {"pin_board.thickness": "5/8 in"}, "live": False}
        gauge = page.locator(".figures > div", has_text="Gauge, tail board")
        assert "was 12.5 mm" in gauge.inner_text(), "the gauge follows the pin board, and says what it was"
        key(page, "joint.pin").fill("4")
        page.keyboard.press("Tab")
        until(page, lambda: "changed" in str(row(page, "joint.pin").get_attribute("class")))
        assert "changed" not in str(row(page, "pin_board.thickness").get_attribute("class"))
        assert "was" not in gauge.inner_text()


def test_a_choice_is_told_by_whom_and_given_back_with_one_click(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        assert row(page, "joint.half_pin").locator(".source").inner_text().startswith("your choice")
        slope = row(page, "joint.slope")
        key(page, "joint.slope").fill("1:6")
        page.keyboard.press("Enter")
        until(page, lambda: fake.pieces["tool-tray"].given.get("joint.slope") == "1:6")
        until(page, lambda: slope.get_by_role("button", name="Leave to the tool: Slope").is_visible())
        slope.get_by_role("button", name="Leave to the tool: Slope").click()
        until(page, lambda: "joint.slope" not in fake.pieces["tool-tray"].given)
        assert asked_to_set(fake)[-1]["changes"] == {"joint.slope": None}
        page.get_by_text("More of the pin board").click()
        sawn = row(page, "pin_board.sawn")
        assert sawn.get_attribute("data-by") == "rule"
        assert sawn.locator(".source").inner_text().strip() == "by rule"
        key(page, "pin_board.sawn").focus()
        assert "By rule: most boards are" in sawn.locator(".meaning").inner_text(), "why is told while it has the focus"
        mine = key(page, "joint.width").evaluate("one => getComputedStyle(one).fontStyle")
        theirs = key(page, "pin_board.sawn").evaluate("one => getComputedStyle(one).fontStyle")
        assert (mine, theirs) == ("normal", "italic")


def test_there_is_a_control_with_a_name_for_every_key(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        found = page.locator("[data-key]").evaluate_all("all => all.map((one) => [one.dataset.key, one.labels.length])")
        assert sorted(found) == sorted([one["key"], 1] for one in controls())
        assert not key(page, "fit.sigma").is_visible(), "the rare ones are folded away"


def test_what_cannot_be_cut_says_why_at_its_control_and_nothing_is_called_proved(
    browser: Any, fake: Fake, address: str
) -> None:
    """35 pins of 3 mm and two half pins of 6 mm take more than the 96 mm there are."""
    with page_at(browser, address) as page:
        until(page, lambda: proof(page).startswith("Proved."))
        key(page, "joint.tails").fill("35")
        page.keyboard.press("Enter")
        until(page, lambda: "Not proved" in proof(page))
        assert "Proved." not in page.locator("main").inner_text()
        width = row(page, "joint.width")
        assert "leaves nothing for 35 tails" in width.locator(".wrong").inner_text()
        assert key(page, "joint.width").get_attribute("aria-invalid") == "true"
        assert key(page, "joint.tails").input_value() == "35", "what was typed stays"
        assert page.locator(".last-good").inner_text() == "The last good joint"
        assert page.locator('[data-drawing="face"] .count').count() == 4
        assert page.locator("#bench-head").inner_text() == "At the bench, for the last good joint"
        page.get_by_role("button", name="Go to Width").click()
        assert page.evaluate("document.activeElement.dataset.key") == "joint.width"
        page.get_by_role("button", name="Undo").click()
        until(page, lambda: proof(page).startswith("Proved."))
        assert page.locator(".last-good").is_hidden()
        assert page.locator(".problems").is_hidden()


def test_the_proof_opens(browser: Any, address: str) -> None:
    with page_at(browser, address) as page:
        until(page, lambda: proof(page) == "Proved. It goes together: 25 checks passed.")
        button = page.get_by_role("button", name="What was checked")
        button.click()
        assert button.get_attribute("aria-expanded") == "true"
        assert page.locator(".findings li").count() == 2


def test_the_solid_is_drawn_and_taken_apart(browser: Any, address: str) -> None:
    with page_at(browser, address) as page:
        canvas = page.locator("canvas")
        until(page, lambda: canvas.count() == 1 and int(canvas.get_attribute("data-triangles") or 0) > 50)
        seated = canvas.evaluate("one => one.toDataURL()")
        page.locator("#apart").fill("60")
        until(page, lambda: canvas.evaluate("one => one.toDataURL()") != seated)


def test_a_page_in_another_window_follows(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        until(page, lambda: fake.listeners)
        state = fake.change("tool-tray", {"joint.tails": "6"})
        fake.tell(event="state", name="tool-tray", version=state["version"])
        until(page, lambda: key(page, "joint.tails").input_value() == "6")
        until(page, lambda: "changed in another window or program" in page.locator("#notices").inner_text())


def test_what_is_typed_while_another_change_comes_in_stays(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address) as page:
        until(page, lambda: fake.listeners)
        key(page, "joint.tails").press_sequentially("x")
        state = fake.change("tool-tray", {"joint.tails": "6"})
        fake.tell(event="state", name="tool-tray", version=state["version"])
        until(page, lambda: page.locator('[data-drawing="face"] .count').count() == 6)
        assert "x" in key(page, "joint.tails").input_value()


def test_a_lost_server_is_told_and_changes_are_sent_when_it_is_back(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address, quiet=False) as page:
        until(page, lambda: proof(page).startswith("Proved."))
        page.route("**/api/**", lambda route: route.abort())
        key(page, "joint.tails").fill("5")
        page.keyboard.press("Enter")
        # What is not below api/ still answers, so the page believes now and then for a moment that the bench is back.
        until(page, lambda: "kept here, and sent when it comes back" in page.locator("#lost").inner_text())
        until(page, lambda: page.locator("#saved").inner_text() == "Waiting for the bench")
        key(page, "joint.pin").fill("2")
        page.keyboard.press("Tab")
        assert fake.pieces["tool-tray"].given == {}
        page.unroute("**/api/**")
        until(page, lambda: fake.pieces["tool-tray"].given == {"joint.tails": "5", "joint.pin": "2"})
        until(page, lambda: page.locator("#lost").is_hidden())
        assert "back" in page.locator("#notices").inner_text()


def test_a_page_of_a_sitting_that_has_ended_says_where_to_go(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address, quiet=False) as page:
        page.route("**/api/**", lambda route: route.fulfill(status=403, json={"trouble": "no key"}))
        key(page, "joint.tails").fill("5")
        page.keyboard.press("Enter")
        until(page, lambda: "Open the address that the terminal shows" in page.locator("#lost").inner_text())
        assert key(page, "joint.tails").input_value() == "5"


# --- the shelf and the files -------------------------------------------------------------------------


def test_the_shelf_copies_renames_puts_away_and_brings_back(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address, "") as page:
        names = lambda: page.locator(".shelf h2").all_inner_texts()  # noqa: E731
        assert names() == ["tool tray", "tea box"]
        page.get_by_role("button", name="Copy tea box").click()
        until(page, lambda: names() == ["tool tray", "tea box", "tea box 2"])
        page.get_by_role("button", name="Rename tea box 2").click()
        page.get_by_label("Title").fill("caddy")
        page.get_by_role("dialog").get_by_role("button", name="Rename").click()
        until(page, lambda: "caddy" in names())
        page.get_by_role("button", name="Put away caddy").click()
        until(page, lambda: names() == ["tool tray", "tea box"])
        page.get_by_text("Put away (1)").click()
        page.get_by_role("button", name="Bring back").click()
        until(page, lambda: len(names()) == 3)
        with page.expect_download() as handed:
            page.get_by_role("link", name="Hand out tool tray").click()
        assert handed.value.suggested_filename == "tool-tray.toml"


def test_a_new_piece_comes_from_a_preset_from_marks_or_from_a_file(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address, "") as page:
        page.get_by_role("button", name="New piece").click()
        page.get_by_label("Title").fill("pencil box")
        page.get_by_label("Begin with").select_option("drawer-front")
        page.get_by_role("button", name="Begin", exact=True).click()
        page.locator("h1", has_text="pencil box").wait_for()
        assert ("api/shelf/new", {"title": "pencil box", "preset": "drawer-front"}) in fake.asked
        page.goto(address + "#/")
        page.get_by_role("button", name="From measured marks").click()
        page.get_by_label("Title").fill("old drawer")
        page.get_by_label("or paste it here").fill("units,mm")
        page.get_by_role("button", name="Begin", exact=True).click()
        page.locator("h1", has_text="old drawer").wait_for()
        assert ("api/shelf/measured", {"title": "old drawer", "marks": "units,mm"}) in fake.asked
        page.goto(address + "#/")
        page.get_by_role("button", name="Take in a recipe").click()
        file = {"name": "tray.toml", "mimeType": "text/plain", "buffer": b"title = 'x'"}
        page.get_by_label("A recipe (TOML)").set_input_files(file)
        page.get_by_role("dialog").get_by_role("button", name="Take in").click()
        until(page, lambda: ("api/shelf/take-in", {"file_name": "tray.toml", "text": "title = 'x'"}) in fake.asked)


def test_files_are_made_and_listed(browser: Any, fake: Fake, address: str) -> None:
    with page_at(browser, address, "#/make/tool-tray") as page:
        page.get_by_label("Shop aids to print").check()
        fake.goes_on.clear()
        page.get_by_role("button", name="Make", exact=True).click()
        until(page, lambda: page.locator("progress").is_visible())
        assert page.get_by_role("button", name="Stop").is_visible()
        fake.goes_on.set()
        until(page, lambda: page.locator(".making").inner_text() == "Made.")
        assert page.get_by_role("list", name="What to know of it").inner_text() == LEFT_OUT
        assert ("api/make/tool-tray", {"wanted": ["corner", "paper", "aids"]}) in fake.asked
        until(page, lambda: page.get_by_role("link", name="Open booklet.pdf").count() == 1)
        assert page.get_by_role("link", name="Download all in one archive").get_attribute("download") == "tool-tray.zip"
