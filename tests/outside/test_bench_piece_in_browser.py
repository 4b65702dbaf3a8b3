"""The screen of a piece on the real bench, in Debian's Chromium: controls that stand on one line, what is told where a
handle goes no further, the solid that is not of this joint any more, and what a change did."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from solids.recipe import preset_text
from tests.app.desk.running import bench
from tests.outside.browser import AXE, NEEDED, TWO_FRAMES, needs_axe, opened

pytestmark = NEEDED

PATIENCE = 90.0


@dataclass
class Shop:
    """A bench on a folder, with a recipe for each test, as undo goes over a whole sitting."""

    address: str
    folder: Path
    recipe: str = ""
    count: int = 0

    def put(self, preset: str, more: str = "") -> None:
        self.count += 1
        self.recipe = f"{preset}-{self.count}"
        (self.folder / f"{self.recipe}.toml").write_text(preset_text(preset) + more, "utf-8")

    @property
    def text(self) -> str:
        return (self.folder / f"{self.recipe}.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    folder, settings = tmp_path_factory.mktemp("shelf"), tmp_path_factory.mktemp("settings")
    with bench(str(folder), "--no-open", proves=True, HALFPIN_SETTINGS=str(settings)) as found:
        yield Shop(found.address, folder)


@contextmanager
def piece(
    browser: Any, shop: Shop, preset: str = "tool-tray", *sizes: int, recipe: str = "", **more: Any
) -> Iterator[Any]:
    shop.put(preset, recipe)
    # What WebGL says of a browser that draws without a graphics card is no word of ours.
    with opened(browser, shop.address, *(sizes or (1280, 900)), quiet=False, **more) as page:
        errors: list[str] = []
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.goto(f"{shop.address}#/piece/{shop.recipe}")
        page.locator("h1", has_text=re.compile(preset.replace("-", " "))).wait_for()
        page.locator(".drawing").first.wait_for()
        page.evaluate(TWO_FRAMES)
        yield page
        assert errors == []


def until(page: Any, what: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not what():
        assert time.monotonic() < end, page.locator("main").inner_text()[:1500]
        page.wait_for_timeout(10)


def key(page: Any, name: str) -> Any:
    return page.locator(f'[data-key="{name}"]')


def row(page: Any, name: str) -> Any:
    return page.locator(f'[data-row="{name}"]')


def typed(page: Any, name: str, value: str) -> None:
    key(page, name).fill(value)
    page.keyboard.press("Enter")


def until_saved(page: Any) -> None:
    until(page, lambda: page.locator("#saved").inner_text() == "Saved")


def middle(page: Any, handle: str) -> tuple[float, float]:
    box = page.locator(f'[data-handle="{handle}"] .knob').bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def in_hand(page: Any) -> str:
    return str(page.locator("#in-hand").input_value())


HEARD = """() => {
  window.heard = [];
  const alert = document.querySelector('.hand [role=alert]');
  new MutationObserver(() => alert.textContent && heard.push(alert.textContent)).observe(alert, { childList: true });
}"""


# --- the screen ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (1280, 900), (1440, 900), (1920, 1080), (2560, 1440)])
def test_drawings_figures_and_controls_stand_side_by_side(browser: Any, shop: Shop, width: int, height: int) -> None:
    """A page of controls is at most two and a half screens of a small laptop long, and the drawings stay in sight."""
    with piece(browser, shop, "tool-tray", width, height) as page:
        assert page.evaluate("document.documentElement.scrollHeight") < 2600
        hero, first = page.locator(".drawings").bounding_box(), key(page, "joint.width").bounding_box()
        assert hero["x"] + hero["width"] <= first["x"], "the controls are beside the drawings"
        key(page, "pin_board.thickness").scroll_into_view_if_needed()
        page.evaluate(TWO_FRAMES)
        at = page.locator(".drawings").bounding_box()
        assert -0.3 * at["height"] < at["y"] < 0.5 * height
        rows = [row(page, name).bounding_box()["height"] for name in ("joint.width", "joint.slope", "joint.kind")]
        assert max(rows) < 60, "one line each"


@pytest.mark.parametrize(("width", "height"), [(320, 256), (360, 740)])
def test_on_a_small_screen_nothing_is_lost_and_nothing_scrolls_two_ways(
    browser: Any, shop: Shop, width: int, height: int
) -> None:
    with piece(browser, shop, "keepsake-box", width, height) as page:
        page.get_by_role("button", name="Explain all").click()
        page.locator("details").evaluate_all("all => all.forEach((one) => { one.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        seen = "all => all.filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect().width)"
        fields = page.locator("[data-key]").evaluate_all(seen)  # those of other corners are not shown
        assert min(fields) > 60
        out = "all => all.filter((one) => one.getBoundingClientRect().right > innerWidth).map((one) => one.outerHTML)"
        assert page.locator("main *:not(svg *)").evaluate_all(out) == []


def test_what_a_key_means_opens_with_the_focus_and_nothing_moves_under_the_finger(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        slope, pin = row(page, "joint.slope"), row(page, "joint.pin")
        assert not slope.locator(".meaning").is_visible()
        key(page, "joint.slope").focus()
        assert "Slope of the tails" in slope.locator(".meaning").inner_text()
        page.evaluate("scrollBy(0, 500)")
        page.evaluate(TWO_FRAMES)
        back = row(page, "joint.half_pin").get_by_role("button", name="Leave to the tool")
        before = back.bounding_box()
        page.mouse.move(before["x"] + 5, before["y"] + 5)
        page.mouse.down()
        page.evaluate(TWO_FRAMES)
        assert back.bounding_box() == before
        page.mouse.up()
        until(page, lambda: row(page, "joint.half_pin").get_attribute("data-by") == "rule")
        assert not slope.locator(".meaning").is_visible()
        assert not pin.locator(".meaning").is_visible()
        assert "By rule:" in row(page, "joint.half_pin").locator(".meaning").inner_text()


def test_tab_goes_from_field_to_field_and_enter_stays(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        typed(page, "joint.pin", "4")
        until(page, lambda: "changed" in str(row(page, "joint.pin").get_attribute("class")))
        focus = lambda: page.evaluate("document.activeElement.dataset.key")  # noqa: E731
        assert focus() == "joint.pin"
        page.keyboard.press("Tab")
        assert focus() == "joint.half_pin"
        page.keyboard.press("Shift+Tab")
        key(page, "joint.pin").fill("")
        page.keyboard.press("Enter")
        until(page, lambda: row(page, "joint.pin").get_attribute("data-by") == "rule")
        assert key(page, "joint.pin").input_value() != "", "what the rule gives stands in the emptied field"
        assert focus() == "joint.pin"


# --- values ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "value", "kept"),
    [("joint.pin", "1/8 in", "1/8 in"), ("joint.slope", "8 deg", "8 deg"), ("joint.slope", "1:6", "1:6")],
)
def test_values_are_typed_as_in_a_recipe(browser: Any, shop: Shop, name: str, value: str, kept: str) -> None:
    with piece(browser, shop) as page:
        typed(page, name, value)
        until(page, lambda: f'"{kept}"' in shop.text)
        until_saved(page)
        assert key(page, name).input_value() == kept
        assert not row(page, name).locator(".wrong").is_visible()


def test_a_wrong_value_stays_with_its_reason(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        typed(page, "joint.pin", "19,5")
        wrong = row(page, "joint.pin").locator(".wrong")
        until(page, wrong.is_visible)
        assert "write the decimals after a point" in wrong.inner_text()
        assert key(page, "joint.pin").input_value() == "19,5"
        assert page.evaluate("document.activeElement.dataset.key") == "joint.pin"


def test_a_choice_takes_a_list_too(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        assert key(page, "joint.spacing").input_value() == "even"
        key(page, "joint.spacing").select_option(label="each by itself")
        own = page.get_by_label("Spacing, each by itself")
        assert own.get_attribute("placeholder") == "such as 20, 25, 20"
        assert page.evaluate("document.activeElement.ariaLabel") == "Spacing, each by itself"
        page.keyboard.type("18, 19.5, 19.5, 18")
        page.keyboard.press("Enter")
        until(page, lambda: "spacing = [18, 19.5, 19.5, 18]" in shop.text)
        until_saved(page)
        assert page.locator(".problems").is_hidden(), "4 tails, 3 pins of 3 and 2 half pins of 6 are 96 mm"
        assert own.input_value() == "18, 19.5, 19.5, 18"
        key(page, "joint.spacing").select_option("graduated")
        until(page, lambda: 'spacing = "graduated"' in shop.text)
        until(page, own.is_hidden)


def test_an_inch_recipe_has_examples_in_inches(browser: Any, shop: Shop) -> None:
    with piece(browser, shop, "tea-box") as page:
        assert key(page, "joint.lap").get_attribute("placeholder") == "such as 3/16 in"


def test_what_is_needed_says_so_and_is_not_left_to_the_tool(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        width = row(page, "joint.width")
        assert width.locator(".source").inner_text().strip() == "yours, needed"
        assert not width.get_by_role("button", name="Leave to the tool").is_visible()
        typed(page, "joint.width", "")
        until(page, lambda: "is missing" in str(width.locator(".wrong").text_content()))
        assert width.locator(".source").inner_text().strip() == "needed: give it"
        assert row(page, "joint.slope").get_by_role("button", name="Leave to the tool").is_visible()


def test_what_a_change_did_is_marked_until_the_next_also_after_undo(browser: Any, shop: Shop) -> None:
    """Of tails that are left to the tool the number follows from the width."""
    with piece(browser, shop) as page:
        typed(page, "joint.tails", "")
        until(page, lambda: row(page, "joint.tails").get_attribute("data-by") == "rule")
        typed(page, "joint.width", "140")
        marks = page.locator(".key.changed")
        keys = lambda: set(marks.evaluate_all("all => all.map((one) => one.dataset.row)"))  # noqa: E731
        until(page, lambda: {"joint.width", "joint.tails"} <= keys())
        assert row(page, "joint.width").locator(".now").inner_text() == "was 96"
        until(page, lambda: page.locator(".ghost .was").count() > 0)
        page.get_by_role("button", name="Undo").click()
        until(page, lambda: row(page, "joint.width").locator(".now").inner_text() == "was 140")
        until(page, lambda: page.locator(".ghost .was").count() > 0)
        assert page.locator(".figures .changed").count() > 0
        typed(page, "title", "the tray")
        until(page, lambda: keys() == {"title"})
        page.evaluate(TWO_FRAMES)
        assert page.locator(".ghost .was").count() == 0
        assert page.locator(".figures .changed").count() == 0


def test_a_box_is_typed_flank_by_flank(browser: Any, shop: Shop) -> None:
    """Where one corner has flanks of its own, the number in hand is the place of a flank there too."""
    front = "\n[box.joints.front]\ntails = 2\nslope = '1:7'\nhalf_pin = 6\npin = 6\n"
    with piece(browser, shop, "keepsake-box", recipe=front) as page:
        page.locator('[data-handle$="flank 2"]').focus()
        until(page, lambda: in_hand(page) != "")
        x = float(in_hand(page).split()[0])
        for by in (1, 2):  # the first makes places of its own for each flank, the second moves one of them
            page.locator("#in-hand").fill(f"{x + by:g}")
            page.keyboard.press("Enter")
            until(page, lambda by=by: in_hand(page).startswith(f"{x + by:g} "))  # type: ignore[misc]
        assert re.search(r"\[box\.joints\.\w+\]", shop.text)


# --- a handle that goes no further -----------------------------------------------------------------


def test_a_handle_that_goes_no_further_says_why_once(browser: Any, shop: Shop) -> None:
    """Flank 3 of the tray is at 27.75 mm, flank 2 at 24.75 mm: nothing is left between them at 25 mm."""
    with piece(browser, shop) as page:
        page.evaluate(HEARD)
        x, y = middle(page, "flank 3")
        reason = page.locator(".reason")
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x - 90, y, steps=15)
        until(page, reason.is_visible)
        until(page, lambda: in_hand(page) == "25 mm")
        assert "Flank 2 (tail 1, right)" in reason.inner_text().replace("flank 2", "Flank 2")
        assert "joint." not in reason.inner_text(), "in words, not by its key"
        until(page, lambda: middle(page, "flank 3")[0] - middle(page, "flank 2")[0] < 8)  # it stands where it can
        page.mouse.move(x - 6, y, steps=5)
        until(page, reason.is_hidden)
        until(page, lambda: in_hand(page) != "25 mm")
        page.mouse.move(x - 90, y, steps=5)
        until(page, reason.is_visible)
        page.mouse.up()
        until(page, reason.is_hidden)
        until(page, lambda: in_hand(page) == "25 mm")
        assert 1 <= len(page.evaluate("heard")) <= 2, "once for each time that it was stopped"
        until_saved(page)
        undo = page.get_by_role("button", name="Undo")
        for _ in range(4):  # on a slow machine a movement that rests for long is more than one step
            if undo.is_enabled():
                before = in_hand(page)
                undo.click()
                until(page, lambda before=before: in_hand(page) != before)  # type: ignore[misc]
        assert (in_hand(page), undo.is_disabled()) == ("27.75 mm", True), "all of it is taken back"


def test_by_keys_the_reason_stays_until_it_goes_another_way(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        page.evaluate(HEARD)
        page.locator('[data-handle="flank 3"]').focus()
        reason = page.locator(".reason")
        for _ in range(8):
            page.keyboard.press("ArrowLeft")
        until(page, reason.is_visible)
        until_saved(page)
        page.keyboard.press("ArrowLeft")
        until_saved(page)
        assert reason.is_visible()
        assert len(page.evaluate("heard")) == 1, "read aloud once, not at every step"
        assert page.locator("#notices").inner_text() == ""
        page.keyboard.press("ArrowRight")
        until(page, reason.is_hidden)


def test_a_number_that_cannot_be_is_refused_at_the_number(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        page.locator('[data-handle="flank 3"]').focus()
        page.locator("#in-hand").fill("10")
        page.keyboard.press("Enter")
        wrong = page.locator("#in-hand-wrong")
        until(page, wrong.is_visible)
        assert page.locator("#in-hand").get_attribute("aria-invalid") == "true"
        assert in_hand(page) == "10"
        page.locator("#in-hand").fill("28,5")
        page.keyboard.press("Enter")
        assert "after a point" in wrong.inner_text()
        page.locator("#in-hand").fill("28.5")
        page.keyboard.press("Enter")
        until(page, lambda: in_hand(page) == "28.5 mm" and wrong.is_hidden())


# --- the solid, and for everybody --------------------------------------------------------------------


def test_the_solid_is_called_old_until_the_new_one_is_there(browser: Any, shop: Shop) -> None:
    with piece(browser, shop) as page:
        head, stage = page.locator("#solid-head"), page.locator(".stage")
        until(page, lambda: page.locator("canvas").count() == 1 and "Proved." in page.locator(".verdict").inner_text())
        assert head.inner_text() == "The solid"
        page.evaluate(
            """() => { window.seen = []; const head = document.querySelector('#solid-head');
            new MutationObserver(() => seen.push([head.textContent, document.querySelector('.stage').className]))
              .observe(head, { childList: true }); }"""
        )
        typed(page, "joint.tails", "5")
        until(page, lambda: len(page.evaluate("seen")) >= 2 and head.inner_text() == "The solid")
        first = page.evaluate("seen")[0]
        assert first == ["The solid before this change", "stage old"]
        assert stage.get_attribute("class") == "stage"
        typed(page, "joint.tails", "60")
        until(page, lambda: head.inner_text() == "The solid of the last good joint")


def test_what_the_maker_chose_differs_without_colour(browser: Any, shop: Shop) -> None:
    looks = """(one) => { const style = getComputedStyle(one);
      return [style.borderTopStyle, style.fontStyle, style.borderTopWidth].join(' '); }"""
    for more in ({}, {"color_scheme": "dark"}, {"forced_colors": "active"}):
        with piece(browser, shop, "tool-tray", 1280, 900, **more) as page:
            assert key(page, "joint.slope").evaluate(looks) == "solid normal 2px"
            assert key(page, "joint.kind").evaluate(looks) == "dashed italic 1px"


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280, 1920])
def test_axe_finds_nothing_serious_where_all_is_explained(browser: Any, shop: Shop, width: int, scheme: str) -> None:
    with piece(browser, shop, "tool-tray", width, 900, color_scheme=scheme, bypass_csp=True) as page:
        page.get_by_role("button", name="Explain all").click()
        for fold in page.locator("summary").all():
            fold.click()
        key(page, "joint.spacing").select_option(label="each by itself")
        page.add_script_tag(path=str(AXE))
        found = page.evaluate("axe.run()")["violations"]
        assert [one["id"] for one in found if one["impact"] in ("serious", "critical")] == []
