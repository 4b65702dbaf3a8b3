"""Boxes on the page of the bench, in Debian's Chromium, against the bench itself: corners picked in the plan, handles
at every kind of corner, sizes outside and inside, the cut through the groove. Accessibility by axe-core (Deque
Systems)."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from solids.recipe import preset_text
from solids.recipe.tables.keys import value_at
from solids.recipe.text.toml import parse_toml
from tests.app.desk.running import Bench, bench
from tests.outside.browser import AXE, NEEDED, TWO_FRAMES, needs_axe, opened

pytestmark = NEEDED

PATIENCE = 90.0
BOX, DRAWER = "keepsake-box", "desk-drawer"


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Bench]]:
    folder = tmp_path_factory.mktemp("shelf")
    (folder / "tool-tray.toml").write_text(preset_text("tool-tray"), "utf-8")
    with bench(str(folder), "--no-open", proves=True) as there:
        yield folder, there


@pytest.fixture
def folder(shelf: tuple[Path, Bench]) -> Path:
    for name in (BOX, DRAWER):
        (shelf[0] / f"{name}.toml").write_text(preset_text(name), "utf-8")
    return shelf[0]


@contextmanager
def page_at(browser: Any, shelf: tuple[Path, Bench], name: str, *sizes: int, **more: Any) -> Iterator[Any]:
    with opened(browser, shelf[1].address, *(sizes or (1280, 1000)), quiet=False, **more) as page:
        page.locator(".shelf > li").first.wait_for()
        page.goto(f"{shelf[1].address}#/piece/{name}")
        page.locator("[data-handle]").first.wait_for()
        page.evaluate(TWO_FRAMES)
        yield page


def until(page: Any, what: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not what():
        assert time.monotonic() < end, page.locator("body").inner_text()[:1500]
        page.wait_for_timeout(20)


def written(folder: Path, name: str, key: str) -> Any:
    return value_at(parse_toml((folder / f"{name}.toml").read_text("utf-8"), name), key)


def corner(page: Any, name: str) -> Any:
    return page.locator(f'[data-corner="{name}"]')


def grip(page: Any, name: str) -> Any:
    return page.locator(f'[data-handle="{name}"]')


KNOBS = """(names) => names.map((name) =>
  document.querySelector(`[data-handle="${name}"] .knob`).getBoundingClientRect().toJSON())"""
"""Where handles are, all at one moment: on a small screen the proof takes more lines than what is told before it."""


def corners_like(page: Any) -> set[str]:
    found = page.locator("[data-corner].alike")
    return set(found.evaluate_all("all => all.map((one) => one.dataset.corner)"))


def test_a_corner_is_picked_in_the_plan_by_hand_and_by_keys(browser: Any, shelf: Any, folder: Path) -> None:
    with page_at(browser, shelf, DRAWER) as page:
        assert corner(page, "front left").get_attribute("aria-pressed") == "true"
        assert corners_like(page) == {"front left", "front right"}
        assert grip(page, "front left: flank 1").count() == 1
        corner(page, "back right").locator(".room").click()
        until(page, lambda: corner(page, "back right").get_attribute("aria-pressed") == "true")
        assert corner(page, "front left").get_attribute("aria-pressed") == "false"
        assert corners_like(page) == {"back left", "back right"}
        assert page.locator(".corner h2").inner_text() == "The back right corner"
        # The back is higher up by a groove of 10 + 6 mm: the joint there is 94 mm wide.
        face = page.locator('[data-drawing="face"]')
        until(page, lambda: "94 mm" in str(face.text_content()))
        corner(page, "back left").focus()
        page.keyboard.press("Enter")
        until(page, lambda: grip(page, "back left: flank 1").count() == 1)
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        assert page.locator('[data-corner][aria-pressed="true"]').count() == 1


def test_a_handle_at_the_back_changes_both_corners_there(browser: Any, shelf: Any, folder: Path) -> None:
    """Of 4 mm, a pin moved by one step is 4.5 mm wide; the joint of the front is left alone."""
    with page_at(browser, shelf, DRAWER) as page:
        corner(page, "back left").locator(".room").click()
        grip(page, "back left: pin 1").focus()
        page.keyboard.press("ArrowRight")
        until(page, lambda: written(folder, DRAWER, "box.joints.back.pin") == 4.5)
        assert written(folder, DRAWER, "joint.pin") == 4
        assert written(folder, DRAWER, "box.joints.front") == {"kind": "half-blind", "lap": 5}


def test_one_corner_can_be_changed_alone_and_the_handle_stays_in_hand(browser: Any, shelf: Any, folder: Path) -> None:
    """Flank 3 is at 29.33 mm: three steps further at 30.8 mm, in tenths. The other corners keep what they had."""
    with page_at(browser, shelf, BOX) as page:
        corner(page, "front right").locator(".room").click()
        page.get_by_label("the front right alone").check()
        one = grip(page, "front right alone: flank 3")
        one.focus()
        for _ in range(3):
            page.keyboard.press("ArrowRight")
            page.wait_for_timeout(60)
        until(page, lambda: written(folder, BOX, "box.joints.front_right.flanks") is not None)
        until(page, lambda: written(folder, BOX, "box.joints.front_right.flanks")[2] == 30.8)
        assert written(folder, BOX, "joint") == {"slope": "1:7"}
        until(page, lambda: corners_like(page) == {"front right"})
        assert page.evaluate("document.activeElement.dataset.handle") == "front right alone: flank 3"
        corner(page, "front left").locator(".room").click()
        until(page, lambda: corners_like(page) == {"front left", "back left", "back right"})


def test_a_flank_is_dragged_at_a_mirrored_corner_and_goes_with_the_hand(browser: Any, shelf: Any, folder: Path) -> None:
    """At the front left the reference edge is at the right: to the right is nearer to it. Nothing turns round on the
    way, although the joint is no longer its own mirror image."""
    with page_at(browser, shelf, BOX) as page:
        names = ("front left: flank 3", "front left: flank 1")
        third, first = (grip(page, name).locator(".knob") for name in names)
        third.scroll_into_view_if_needed()
        boxes = [one.bounding_box() for one in (third, first)]
        x, other, y = (*(box["x"] + box["width"] / 2 for box in boxes), boxes[0]["y"] + boxes[0]["height"] / 2)
        scale = (other - x) / (29.3333 - 5)
        assert scale > 0, "the first flank is at the right"
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 2 * scale, y, steps=15)
        page.wait_for_timeout(300)
        page.mouse.up()
        until(page, lambda: written(folder, BOX, "joint.flanks") is not None)
        until(page, lambda: written(folder, BOX, "joint.flanks")[2] == 27.3)
        after = third.bounding_box()
        assert after["x"] + after["width"] / 2 == pytest.approx(x + 2.03 * scale, abs=1.5)
        assert corners_like(page) == {"front left", "front right", "back left", "back right"}


def test_a_size_is_turned_from_outside_to_inside_and_back(browser: Any, shelf: Any, folder: Path) -> None:
    with page_at(browser, shelf, BOX) as page:
        page.get_by_role("button", name="Give the length inside instead").click()
        until(page, lambda: written(folder, BOX, "box.inside_length") == 220)
        assert written(folder, BOX, "box.length") is None
        until(page, lambda: page.locator('[data-row="box.inside_length"]').get_attribute("data-by") == "you")
        assert page.locator('[data-row="box.length"]').get_attribute("data-by") == "rule"
        page.get_by_role("button", name="Give the length outside instead").click()
        until(page, lambda: written(folder, BOX, "box.length") == 240)
        assert written(folder, BOX, "box.inside_length") is None
        # What is typed takes the place of the other.
        page.locator('[data-key="box.inside_width"]').fill("140")
        page.locator('[data-key="box.inside_width"]').press("Enter")
        until(page, lambda: written(folder, BOX, "box.inside_width") == 140)
        assert written(folder, BOX, "box.width") is None


def test_the_box_and_its_groove_have_handles(browser: Any, shelf: Any, folder: Path) -> None:
    with page_at(browser, shelf, BOX) as page:
        for name, key, press, value in (
            ("box: length", "box.length", "ArrowRight", 240.5),
            ("box: groove up", "box.groove.up", "ArrowUp", 10.5),
            ("box: groove depth", "box.groove.depth", "ArrowLeft", 4.5),
            ("box: left thickness", "tail_board.thickness", "ArrowRight", 10.5),
        ):
            grip(page, name).focus()
            page.keyboard.press(press)
            until(page, lambda key=key, value=value: written(folder, BOX, key) == value)
        # The number of a handle can be typed: that of a depth grows to the left.
        grip(page, "box: groove depth").focus()
        page.keyboard.press("Enter")
        page.locator("#in-hand").fill("4 mm")
        page.keyboard.press("Enter")
        until(page, lambda: written(folder, BOX, "box.groove.depth") in (4, "4 mm"))


def test_every_key_of_a_corner_and_its_boards_has_its_control_once(browser: Any, shelf: Any, folder: Path) -> None:
    with page_at(browser, shelf, BOX) as page:
        keys = page.locator("[data-key]").evaluate_all("all => all.map((one) => one.dataset.key)")
        assert len(set(keys)) == len(keys)
        scopes = ("front", "back", "front_left", "front_right", "back_left", "back_right")
        for scope in scopes:
            for own in ("kind", "tails", "flanks", "lap", "entry_chamfer.width", "undercut.land", "mitre.reference"):
                assert f"box.joints.{scope}.{own}" in keys
        assert {f"box.{side}.thickness" for side in ("front", "back", "left", "right")} <= set(keys)
        assert not {"joint.width", "tail_board.length", "pin_board.length"} & set(keys), "a box has sizes of its own"
        page.get_by_text(re.compile("^At the front left corner")).click()
        field = page.locator('[data-key="box.joints.front_left.tails"]')
        assert field.is_visible()
        assert not page.locator('[data-key="box.joints.back.tails"]').is_visible()
        field.fill("4")
        field.press("Enter")
        until(page, lambda: written(folder, BOX, "box.joints.front_left.tails") == 4)
        until(page, lambda: corners_like(page) == {"front left"})
    with page_at(browser, shelf, "tool-tray") as page:
        keys = page.locator("[data-key]").evaluate_all("all => all.map((one) => one.dataset.key)")
        assert not [key for key in keys if key.startswith(("box.", "stock.length", "stock.width"))]
        assert {"joint.width", "tail_board.length", "pin_board.length"} <= set(keys)
        assert page.locator("[data-corner]").count() == 0


def test_what_is_wrong_at_another_corner_leads_to_its_control(browser: Any, shelf: Any, folder: Path) -> None:
    text = preset_text(BOX).replace("[box.groove]", "[box.joints.back_right]\nhalf_pin = 1\n\n[box.groove]")
    (folder / f"{BOX}.toml").write_text(preset_text(BOX), "utf-8")
    with page_at(browser, shelf, BOX) as page:
        (folder / f"{BOX}.toml").write_text(text, "utf-8")
        until(page, lambda: page.locator(".problems").is_visible())
        page.get_by_role("button", name=re.compile("Go to half pin, the back right corner alone")).click()
        key = "box.joints.back_right.half_pin"
        until(page, lambda: page.evaluate("document.activeElement.dataset.key") == key)
        until(page, lambda: corner(page, "back right").get_attribute("aria-pressed") == "true")
        assert page.locator('[data-drawing="plan"]').is_visible(), "the last good box stays"


@pytest.mark.parametrize("width", [360, 1280, 1920])
def test_the_plan_fits_the_page_and_keeps_its_proportion(browser: Any, shelf: Any, folder: Path, width: int) -> None:
    """The box is 380 x 452 mm: from the left handle's board to the length's handle it is as wide as it is told."""
    with page_at(browser, shelf, DRAWER, width, 900) as page:
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        names = ("length", "width", "left thickness", "front thickness")
        found = dict(zip(names, page.evaluate(KNOBS, [f"box: {name}" for name in names]), strict=True))
        middle = {n: (b["x"] + b["width"] / 2, b["y"] + b["height"] / 2) for n, b in found.items()}
        across = middle["length"][0] - middle["left thickness"][0]  # 380 - 11
        down = middle["front thickness"][1] - middle["width"][1]  # 452 - 20
        assert down / across == pytest.approx(432 / 369, rel=0.01)


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing_serious_with_a_box(browser: Any, shelf: Any, folder: Path, width: int, scheme: str) -> None:
    with page_at(browser, shelf, DRAWER, width, 900, color_scheme=scheme, bypass_csp=True) as page:
        page.get_by_text(re.compile("^At the front left corner")).click()
        page.add_script_tag(path=str(AXE))
        found = page.evaluate("axe.run()")["violations"]
        bad = [one for one in found if one["impact"] in ("serious", "critical")]
        assert [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in bad] == []
