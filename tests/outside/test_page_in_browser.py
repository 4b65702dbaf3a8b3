"""The page in Debian's Chromium, driven by Playwright: what it draws, laid over a projection of our own; keys, touch,
paper, dark rooms, small screens, no WebGL; accessibility by axe-core."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from solids.base.cautions import CAUTIONS
from solids.layout import Layout
from solids.write.files import table
from solids.write.files.job import Job
from solids.write.formats.scene import GAPS, Scene
from tests.corners import job_of, made, piece_of
from tests.outside.browser import (
    AXE,
    DRAWS_NOTHING,
    NEEDED,
    TWO_FRAMES,
    differs,
    launched,
    move,
    needs_axe,
    pixels,
    shown,
    text,
)
from tests.projection import NOTHING, Numbers, away_from_rims, axes_of, by_hue, in_front, overlap

pytestmark = NEEDED

TRAY = ("tool-tray", "fit.flank_gap=-0.02")
STUBBY = ("gauge-case", "joint.spacing=[10, 24, 15]", "joint.half_pin=13", "tail_board.wood=walnut",
          "tail_board.length=30", "pin_board.length=30")  # fmt: skip
"""Boards so short that all of them is seen, three tails unlike each other, and two woods far apart in hue."""

STAGE = np.array([0xEF, 0xEA, 0xE0])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pages")


def written(folder: Path, joint: tuple[str, ...]) -> str:
    """The address of a joint's page, as `build --page` writes it."""
    path = folder / f"{abs(hash(joint))}.html"
    if not path.exists():
        path.write_bytes(made(job_of(*joint), "corner.html"))
    return path.as_uri()


def stage(image: Numbers) -> Any:
    return np.abs(image - STAGE).max(axis=2) <= 3


def drawn(page: Any) -> int:
    return int(page.locator("#view").get_attribute("data-drawn"))


# --- what is drawn -------------------------------------------------------------------------------


def looked_at(layout: Layout, scene: Scene, share: float, turn: float, tilt: float, image: Numbers) -> Numbers:
    """The same joint from the same side, as large and in the same place as in the picture."""
    toward = np.array([np.sin(turn) * np.cos(tilt), np.cos(turn) * np.cos(tilt), np.sin(tilt)])
    found = np.argwhere(~stage(image))
    low, high = found.min(axis=0), found.max(axis=0) + 1
    points = np.concatenate([board.points + share * np.array(board.away) for board in scene.cut])
    flat = np.column_stack([points @ axis for axis in axes_of(toward)])
    size = np.ptp(flat, axis=0)
    scale = (high - low)[::-1] / size
    assert scale[0] == pytest.approx(scale[1], rel=0.02), "as wide as it should be for its height"
    middle = (flat.min(axis=0) + flat.max(axis=0)) / 2
    centre = (low + high)[::-1] / 2 - np.array(image.shape[1::-1]) / 2
    middle = middle - centre * (1, -1) / scale.mean()
    assert layout.recipe.title == scene.title
    return in_front(scene.cut, share, toward, middle, float(scale.mean()), image.shape[:2])


VIEWS = {"home": (0.52, 0.56), "front": (0.0, 1e-6), "above": (0.0, np.pi / 2 - 1e-6)}


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("view", VIEWS)
def test_the_boards_are_where_a_projection_of_the_scene_has_them(
    browser: Any, folder: Path, view: str, share: float
) -> None:
    """From home, from the front and from above, together, half-way and apart; so it is not mirrored either."""
    job = job_of(*STUBBY)
    with shown(browser, written(folder, STUBBY)) as page:
        page.click(f"#{view}")
        move(page, "apart", 100 * share)
        image = pixels(page)
    meant = looked_at(job.layout, job.job.scene, share, *VIEWS[view], image)
    found = by_hue(image, job.job.scene.cut, stage(image))
    assert overlap(meant, found) > 0.97
    inner = away_from_rims(meant, 3)
    assert (meant == found)[inner].mean() > 0.985
    mirrored = meant[:, ::-1]
    telling = inner & away_from_rims(mirrored, 3) & (meant != mirrored)
    assert telling.sum() > 300
    assert (meant == found)[telling].mean() > 0.95, "it is not the mirror image"


def test_the_canvas_is_not_blank_on_the_screen_either(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        shot = np.asarray(Image.open(io.BytesIO(page.locator("#view").screenshot())).convert("RGB")).astype(np.int64)
        assert stage(shot).mean() == pytest.approx(stage(pixels(page)).mean(), abs=0.02), "what is seen was drawn"
        assert 0.1 < stage(shot).mean() < 0.9


def test_pixels_are_square_on_a_screen_of_any_width_and_sharpness(browser: Any, folder: Path) -> None:
    for width, factor in ((360, 3), (700, 1), (1400, 2)):
        with shown(browser, written(folder, TRAY), width, device_scale_factor=factor) as page:
            box = page.locator("#view").bounding_box()
            image = pixels(page)
            sharp = min(factor, 2)
            assert image.shape[:2] == pytest.approx((box["height"] * sharp, box["width"] * sharp), abs=1)
            page.set_viewport_size({"width": width - 40, "height": 900})
            page.evaluate(TWO_FRAMES)
            assert pixels(page).shape[1] == pytest.approx(page.locator("#view").bounding_box()["width"] * sharp, abs=1)


@pytest.mark.parametrize(
    "joint",
    [TRAY, ("drawer-front",), ("shoe-bench",), ("tool-tray", "joint.width=2410", "joint.tails=100")],
    ids=["through", "half-blind", "proud", "a hundred tails"],
)
def test_no_more_than_5000_triangles_are_drawn(browser: Any, folder: Path, joint: tuple[str, ...]) -> None:
    job = job_of(*joint)
    with shown(browser, written(folder, joint)) as page:
        for state, boards in (("cut", job.job.scene.cut), ("finished", job.job.scene.finished)):
            page.check(f"input[name=state][value={state}]")
            page.evaluate(TWO_FRAMES)
            count = int(page.locator("#view").get_attribute("data-triangles"))
            assert count == sum(len(board.triangles) for board in boards) <= 5000


def test_nothing_is_drawn_while_nothing_changes(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = drawn(page)
        assert before >= 1
        for _ in range(30):
            page.evaluate(TWO_FRAMES)
        assert drawn(page) == before
        move(page, "apart", 40)
        page.evaluate(TWO_FRAMES)
        assert drawn(page) == before + 1, "one change is drawn once"


# --- what the controls do ------------------------------------------------------------------------


def test_the_slider_lifts_the_tail_board_and_says_how_far(browser: Any, folder: Path) -> None:
    job = job_of(*STUBBY)
    with shown(browser, written(folder, STUBBY)) as page:
        page.click("#front")
        tops = []
        for value in (0, 25, 50, 100):
            move(page, "apart", value)
            image = pixels(page)
            found = by_hue(image, job.job.scene.cut, stage(image))
            tops.append(int(np.flatnonzero((found == 1).sum(axis=1) > 3).min()))
            up = job.job.scene.apart * value / 100
            assert text(page, "apart-out") == (f"tail board {up:.1f} mm up" if value else "seated")
        steps = -np.diff(tops)
        assert (steps > 3).all()
        assert steps[2] == pytest.approx(2 * steps[1], abs=2)


def test_a_maker_in_inches_reads_inches_under_the_solid(browser: Any, folder: Path) -> None:
    job = job_of("tea-box")
    with shown(browser, written(folder, ("tea-box",))) as page:
        move(page, "apart", 100)
        assert text(page, "apart-out") == f"tail board {job.job.scene.apart / 25.4:.2f} in up"


def test_finished_takes_what_stands_proud_and_home_brings_the_same_picture_back(browser: Any, folder: Path) -> None:
    joint = ("shoe-bench",)
    with shown(browser, written(folder, joint)) as page:
        cut = pixels(page)
        page.check("input[name=state][value=finished]")
        finished = pixels(page)
        assert 0.0005 < differs(cut, finished) < 0.2
        page.check("input[name=state][value=cut]")
        assert differs(cut, pixels(page)) == 0


def has_hue(image: Numbers, rgb: tuple[int, int, int], lit: float = 0.02) -> float:
    """The share of pixels whose colours stand to each other as in a colour; light makes them darker or lighter."""
    share = np.array(rgb) / sum(rgb)
    return float((np.abs(image / np.maximum(image.sum(axis=2, keepdims=True), 1) - share).max(axis=2) < lit).mean())


@pytest.mark.parametrize(("gap", "name"), [("-0.02", "tight"), ("0", "right"), ("0.2", "loose")])
def test_gaps_are_shown_in_the_colours_of_the_legend(browser: Any, folder: Path, gap: str, name: str) -> None:
    joint = ("tool-tray", f"fit.flank_gap={gap}")
    colours = {each.name: each.rgb for each in GAPS}
    with shown(browser, written(folder, joint)) as page:
        move(page, "apart", 100)
        assert page.locator("#legend").is_hidden()
        before = pixels(page)
        page.check("#gaps")
        assert page.locator("#legend").is_visible()
        after = pixels(page)
        assert differs(before, after) > 0.05
        assert has_hue(after, colours[name]) > has_hue(before, colours[name]) + 0.003
        for other in set(colours) - {name, "right"}:
            assert has_hue(after, colours[other]) < 0.002
        page.uncheck("#gaps")
        assert differs(before, pixels(page)) == 0
        assert page.locator("#legend").is_hidden()


@pytest.mark.parametrize(
    ("axis", "view", "values", "unit"),
    [
        ("0", "front", (800, 500, 250), "from the reference edge"),
        ("1", "above", (800, 500, 250), "from the inside face of the pin board"),
        ("2", "front", (600, 400, 200), "from the inside face of the tail board"),
    ],
)
def test_it_is_cut_open_where_the_slider_says(
    browser: Any, folder: Path, axis: str, view: str, values: tuple[int, ...], unit: str
) -> None:
    """What is left is so much narrower."""
    with shown(browser, written(folder, STUBBY)) as page:
        page.click(f"#{view}")
        assert page.locator("#depth").is_disabled()
        assert text(page, "depth-out") == "whole"
        whole = pixels(page)
        across = 1 if axis == "0" else 0
        size = int(np.ptp(np.argwhere(~stage(whole))[:, across]))
        page.check(f"input[name=section][value='{axis}']")
        assert page.locator("#depth").is_enabled()
        spans = []
        for value in values:
            move(page, "depth", value)
            spans.append(int(np.ptp(np.argwhere(~stage(pixels(page)))[:, across])))
            assert re.fullmatch(rf"-?\d+\.\d mm {unit}", text(page, "depth-out"))
        assert size > spans[0] > spans[1] > spans[2] > 0
        if axis == "0":
            assert np.array(spans) / size == pytest.approx([0.8, 0.5, 0.25], abs=0.02)
            width = job_of(*STUBBY).layout.width
            assert text(page, "depth-out") == f"{width / 4:.1f} mm {unit}"
        page.check("input[name=section][value='']")
        assert text(page, "depth-out") == "whole"
        assert differs(whole, pixels(page)) == 0


def test_a_cut_shows_a_face_and_not_the_inside_of_a_hollow_body(browser: Any, folder: Path) -> None:
    """Cut across the width and seen from the side that is cut, each board's section is one colour, as wide as the board
    is thick: no part of it is the stage."""
    with shown(browser, written(folder, STUBBY)) as page:
        page.check("input[name=section][value='0']")
        page.click("#front")
        page.focus("#view")
        for _ in range(18):
            page.keyboard.press("ArrowLeft")
        image = pixels(page)
        layout = job_of(*STUBBY).layout
        found = ~stage(image)
        rows, columns = np.flatnonzero(found.any(axis=1)), np.flatnonzero(found.any(axis=0))
        recipe = layout.recipe
        height = recipe.pin_board.length + max(layout.as_cut.pin_end, layout.as_cut.show_z)
        length = recipe.tail_board.length + max(layout.as_cut.tail_end, layout.as_cut.show_y)
        scale = np.ptp(rows) / height
        assert np.ptp(columns) / scale == pytest.approx(length, rel=0.03), "square to the cut"
        area = recipe.tail_board.length * recipe.tail_board.thickness
        area += (recipe.pin_board.length + recipe.tail_board.thickness) * recipe.pin_board.thickness
        assert found.sum() / scale**2 == pytest.approx(area, rel=0.06), "an L, and nothing missing from it"
        colours = {
            tuple((colour // 24).tolist()) for colour in image[away_from_rims(found.astype(np.int64), 3) & found]
        }
        assert len(colours) < 12


def test_everything_at_once_can_be_switched_on_and_off_again(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = pixels(page)
        page.check("input[name=state][value=finished]")
        page.check("#gaps")
        page.check("input[name=section][value='1']")
        move(page, "depth", 300)
        move(page, "apart", 70)
        page.click("#above")
        assert differs(before, pixels(page)) > 0.05
        page.click("#home")
        move(page, "apart", 0)
        page.check("input[name=section][value='']")
        page.uncheck("#gaps")
        page.check("input[name=state][value=cut]")
        assert differs(before, pixels(page)) == 0


# --- hands ---------------------------------------------------------------------------------------

FOCUS = """() => {
  const at = document.activeElement;
  return at.id || (at.name && `${at.name}=${at.value}`) || at.href || at.tagName;
}"""


def stops(page: Any, key: str = "Tab") -> list[str]:
    """What the key goes to from where it is, in order, until it leaves the page."""
    found: list[str] = []
    for _ in range(60):
        page.keyboard.press(key)
        at = page.evaluate(FOCUS)
        if at == "BODY" or at in found:
            break
        found.append(at)
    return [name.rpartition("/")[2] for name in found]


CONTROLS = ["view", "apart", "state=cut", "gaps", "section=", "home", "front", "above"]
FILES = [*(name.rpartition("/")[2] for name, _ in table.beside(piece_of(), "corner", "model")), "report.json"]
MORE = [name.rpartition("/")[2] for _, _, names in table.not_asked(piece_of(), "model", "page") for name in names]


def test_the_tab_key_reaches_every_control_in_the_order_of_the_page_and_then_the_files(
    browser: Any, folder: Path
) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        whole = [*CONTROLS, *FILES, *MORE]
        assert stops(page) == whole
        page.locator("a").last.focus()
        assert stops(page, "Shift+Tab")[: len(whole) - 1] == whole[-2::-1]
        page.check("input[name=section][value='2']")
        page.focus("#view")
        assert stops(page)[:7] == ["apart", "state=cut", "gaps", "section=2", "depth", "home", "front"]


def test_what_has_the_focus_is_seen_to_have_it(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        for _ in CONTROLS:
            page.keyboard.press("Tab")
            style, width = page.evaluate(
                "() => { const s = getComputedStyle(document.activeElement); return [s.outlineStyle, s.outlineWidth]; }"
            )
            assert style != "none"
            assert float(width.removesuffix("px")) >= 2


@pytest.mark.parametrize(
    ("key", "back"), [("ArrowLeft", "ArrowRight"), ("ArrowUp", "ArrowDown"), ("+", "-"), ("=", "-")]
)
def test_keys_turn_and_come_closer_and_their_opposites_go_back(browser: Any, folder: Path, key: str, back: str) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = pixels(page)
        page.focus("#view")
        for _ in range(3):
            page.keyboard.press(key)
        turned = pixels(page)
        assert differs(before, turned) > 0.02
        for _ in range(3):
            page.keyboard.press(back)
        assert differs(before, pixels(page)) < 0.001
        page.keyboard.press(key)
        page.keyboard.press("0")
        assert differs(before, pixels(page)) == 0


def test_keys_that_are_the_browsers_own_are_left_to_it(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = pixels(page)
        page.focus("#view")
        for key in ("Control+ArrowLeft", "Alt+ArrowUp", "Meta+ArrowRight", "Control+0", "a", "Escape"):
            page.keyboard.press(key)
        assert differs(before, pixels(page)) == 0


def test_an_arrow_that_turns_the_joint_does_not_scroll_the_page(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY), 1000, 500) as page:
        page.focus("#view")
        before = page.evaluate("scrollY")
        for _ in range(5):
            page.keyboard.press("ArrowDown")
            page.evaluate(TWO_FRAMES)
        assert page.evaluate("scrollY") == before
        page.evaluate("() => document.getElementById('home').focus({ preventScroll: true })")
        page.keyboard.press("ArrowDown")
        scrolled_within(page, 50, before)  # elsewhere it does


def test_a_turn_over_the_top_stops_there_and_never_goes_blank(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        page.focus("#view")
        for key in ("ArrowUp", "ArrowDown"):
            for _ in range(45):
                page.keyboard.press(key)
            end = pixels(page)
            assert 0.02 < stage(end).mean() < 0.98
            page.keyboard.press(key)
            assert differs(end, pixels(page)) == 0
        for _ in range(40):
            page.keyboard.press("+")
        near = pixels(page)
        page.keyboard.press("+")
        assert differs(near, pixels(page)) == 0
        for _ in range(80):
            page.keyboard.press("-")
        assert 0.001 < (~stage(pixels(page))).mean() < 0.1, "small, and still there"


def test_the_sliders_move_by_keys_alone(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = pixels(page)
        page.focus("#apart")
        page.keyboard.press("End")
        assert text(page, "apart-out") == f"tail board {job_of(*TRAY).job.scene.apart:.1f} mm up"
        apart = pixels(page)
        assert differs(before, apart) > 0.02
        page.keyboard.press("ArrowLeft")
        assert text(page, "apart-out") == f"tail board {0.99 * job_of(*TRAY).job.scene.apart:.1f} mm up"
        page.keyboard.press("Home")
        assert differs(before, pixels(page)) == 0
        page.focus("#gaps")
        page.keyboard.press("Space")
        assert differs(before, pixels(page)) > 0.01
        page.focus("input[name=state]:checked")
        page.keyboard.press("ArrowDown")
        assert page.locator("input[name=state][value=finished]").is_checked()
        page.focus("input[name=section]:checked")
        page.keyboard.press("ArrowDown")
        assert page.locator("input[name=section][value='0']").is_checked()
        page.keyboard.press("Tab")
        assert page.evaluate(FOCUS) == "depth"
        cut = pixels(page)
        page.keyboard.press("PageUp")
        assert differs(cut, pixels(page)) > 0.001
        page.keyboard.press("Enter")
        assert page.url == written(folder, TRAY), "Enter sends no form away"


def test_the_mouse_turns_only_while_it_is_held_and_the_wheel_comes_closer(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = pixels(page)
        box = page.locator("#view").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.move(x + 80, y + 20)
        assert differs(before, pixels(page)) == 0
        page.mouse.down()
        page.mouse.move(x, y, steps=4)
        turned = pixels(page)
        assert differs(before, turned) > 0.02
        page.mouse.move(x + 80, y + 20, steps=4)
        assert differs(before, pixels(page)) < 0.002, "and back again"
        page.mouse.up()
        page.mouse.move(x, y)
        assert differs(before, pixels(page)) < 0.002
        page.mouse.wheel(0, -400)
        closer = pixels(page)
        assert (~stage(closer)).mean() > (~stage(before)).mean() + 0.02
        assert page.evaluate("scrollY") == 0, "the page stays where it is"


def scrolled_within(page: Any, frames: int, before: float = 0) -> None:
    """Waits until the page has scrolled. Playwright's own waiting needs `eval`, which the page's policy forbids."""
    for _ in range(frames):
        if page.evaluate("at => new Promise((done) => requestAnimationFrame(() => done(scrollY > at)))", before):
            return
    raise AssertionError("the page did not scroll")


def test_the_wheel_scrolls_past_a_model_that_nobody_has_clicked_on(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        before = pixels(page)
        box = page.locator("#view").bounding_box()
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.wheel(0, 200)
        scrolled_within(page, 50)
        page.evaluate("() => scrollTo(0, 0)")
        assert differs(before, pixels(page)) == 0
        page.keyboard.down("Control")
        page.mouse.wheel(0, -400)
        page.keyboard.up("Control")
        assert (~stage(pixels(page))).mean() > (~stage(before)).mean() + 0.02, "a pinch on a touchpad"


def test_what_a_slider_says_is_spoken(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        said = "(id) => document.getElementById(id).getAttribute('aria-valuetext')"
        assert [page.evaluate(said, name) for name in ("apart", "depth")] == ["seated", "whole"]
        page.focus("#apart")
        page.keyboard.press("End")
        assert page.evaluate(said, "apart") == page.inner_text("#apart-out")
        assert "mm" in page.evaluate(said, "apart")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_edges_are_seen_on_the_stage_by_day_and_night(browser: Any, folder: Path, scheme: str) -> None:
    """WCAG 2.2, 1.4.11: 3:1 for what one must see; edges are drawn in #2b2119."""
    with shown(browser, written(folder, TRAY), color_scheme=scheme) as page:
        ground = page.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--stage')").strip()
        plain = [f"rgb({', '.join(str(int(c[i : i + 2], 16)) for i in (1, 3, 5))})" for c in (ground, "#2b2119")]
        one, other = sorted(map(luminance, plain))
        assert (other + 0.05) / (one + 0.05) >= 3


def test_two_fingers_come_closer_and_one_turns(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY), 400, has_touch=True, is_mobile=True) as page:
        hand = page.context.new_cdp_session(page)
        box = page.locator("#view").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

        def touch(kind: str, *places: tuple[float, float]) -> None:
            points = [{"x": a, "y": b, "id": number} for number, (a, b) in enumerate(places)]
            hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

        before = pixels(page)
        touch("touchStart", (x - 20, y), (x + 20, y))
        for spread in (30, 40, 60):
            touch("touchMove", (x - spread, y), (x + spread, y))
        touch("touchEnd")
        closer = pixels(page)
        assert (~stage(closer)).mean() > (~stage(before)).mean() + 0.05
        touch("touchStart", (x, y))
        touch("touchMove", (x + 20, y))
        touch("touchMove", (x + 60, y))
        touch("touchEnd")
        assert differs(closer, pixels(page)) > 0.02
        again = pixels(page)
        page.evaluate("() => scrollTo(0, 300)")
        assert differs(again, pixels(page)) == 0
        assert page.evaluate("() => getComputedStyle(document.getElementById('view')).touchAction") == "pan-y", (
            "a finger up and down scrolls"
        )


# --- rooms, screens, paper -----------------------------------------------------------------------


def luminance(colour: str) -> float:
    """Relative luminance of a CSS colour (WCAG 2.2; from memory)."""
    rgb = [float(v) / 255 for v in re.findall(r"[\d.]+", colour)[:3]]
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


CSS = "([name, key]) => getComputedStyle(document.querySelector(name))[key]"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_stands_out_from_its_ground_and_the_stage_follows(browser: Any, folder: Path, scheme: str) -> None:
    with shown(browser, written(folder, TRAY), color_scheme=scheme) as page:
        ink, paper = (luminance(page.evaluate(CSS, ["body", key])) for key in ("color", "backgroundColor"))
        assert (ink > paper) == (scheme == "dark")
        assert (max(ink, paper) + 0.05) / (min(ink, paper) + 0.05) > 7
        corner = pixels(page)[3, 3]
        assert (corner.mean() < 150) == (scheme == "dark")
        page.emulate_media(color_scheme="light" if scheme == "dark" else "dark")
        assert (pixels(page)[3, 3].mean() < 150) == (scheme == "light"), "the stage follows while the page is open"


OUTSIDE = """() => [...document.querySelectorAll("main *")]
  .filter((element) => element.getBoundingClientRect().right > innerWidth + 1)
  .map((element) => `${element.tagName}#${element.id}`)"""


@pytest.mark.parametrize("joint", [TRAY, ("blanket-chest",), ("tea-box",)], ids=["tray", "chest", "inches"])
def test_nothing_runs_out_sideways_on_a_screen_of_any_width(browser: Any, folder: Path, joint: tuple[str, ...]) -> None:
    with shown(browser, written(folder, joint), 360) as page:
        page.check("#gaps")
        page.check("input[name=section][value='2']")
        move(page, "apart", 100)
        for width in (320, 360, 480, 800, 1600):
            page.set_viewport_size({"width": width, "height": 800})
            page.evaluate(TWO_FRAMES)
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert page.evaluate(OUTSIDE) == []


def test_a_long_title_breaks_instead_of_running_out(browser: Any, folder: Path) -> None:
    joint = ("tool-tray", f'title="{"W" * 80}"')
    with shown(browser, written(folder, joint), 360) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 360


def printed(page: Any) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(page.pdf(format="A4", print_background=True))


def words(document: pypdfium2.PdfDocument) -> str:
    found = []
    for number in range(len(document)):
        part = document[number].get_textpage()
        found.append(part.get_text_range())
        part.close()
    return " ".join(" ".join(found).split())


@pytest.mark.parametrize("joint", [TRAY, ("tea-box",)], ids=["tray", "inches"])
def test_on_paper_are_the_picture_the_tables_the_proof_and_every_caution(
    browser: Any, folder: Path, joint: tuple[str, ...]
) -> None:
    job = job_of(*joint)
    with shown(browser, written(folder, joint)) as page:
        before = pixels(page)
        document = printed(page)
        assert differs(before, pixels(page)) < 0.05, "printing leaves the screen as it was"
    said = words(document)
    for caution in CAUTIONS:
        assert " ".join(caution.text.split()) in said
    for finding in job.proof.findings:
        assert " ".join(finding.said.split()) in said
    assert "Tails on the show face" in said
    for unwanted in ("Take it apart", "Home view", "Drag to turn", "Files next to this page"):
        assert unwanted not in said
    assert len(document) <= 4
    first = np.asarray(document[0].render(scale=1).to_pil().convert("RGB")).astype(np.int64)
    for board in job.job.scene.cut:
        assert has_hue(first, board.wood.rgb, 0.03) > 0.005, "the model in its woods"
    document.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_paper_is_white_in_a_dark_room_too(browser: Any, folder: Path, scheme: str) -> None:
    with shown(browser, written(folder, TRAY), color_scheme=scheme) as page:
        document = printed(page)
        for number in range(len(document)):
            image = np.asarray(document[number].render(scale=1).to_pil().convert("L"))
            assert (image > 200).mean() > 0.6
            assert (image < 60).mean() < 0.08, "no dark ground behind the joint"
        first = np.asarray(document[0].render(scale=1).to_pil().convert("RGB"))
        woods = first.astype(int)[110:375]  # below the verdict, above the legend
        drawn = np.argwhere(woods[..., 0] - woods[..., 2] > 40)
        left, right = drawn.min(axis=0)[1], drawn.max(axis=0)[1]
        assert left > 30, "the whole joint is in the picture"
        assert right < first.shape[1] - 30
        document.close()


# --- for everyone --------------------------------------------------------------------------------


def grave(page: Any) -> list[tuple[str, str, str]]:
    """What axe-core calls serious or critical."""
    if page.evaluate("typeof window.axe") == "undefined":
        page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("() => axe.run()")
    assert len(found["passes"]) > 15, "it did look"
    return [
        (each["id"], each["impact"], json.dumps([node["target"] for node in each["nodes"]]))
        for each in found["violations"]
        if each["impact"] in ("serious", "critical")
    ]


@needs_axe
@pytest.mark.parametrize("width", [1000, 360])
@pytest.mark.parametrize(
    "joint", [TRAY, ("tool-tray", "fit.flank_gap=-0.06")], ids=["a joint that passes", "one that fails"]
)
def test_axe_finds_nothing_serious_as_it_opens_and_with_all_switched_on_by_day_and_night(
    browser: Any, folder: Path, width: int, joint: tuple[str, ...]
) -> None:
    with shown(browser, written(folder, joint), width, color_scheme="light") as page:
        assert grave(page) == []
        page.emulate_media(color_scheme="dark")
        assert grave(page) == []
        page.check("#gaps")
        page.check("input[name=section][value='0']")
        page.check("input[name=state][value=finished]")
        move(page, "apart", 60)
        assert grave(page) == []
        page.emulate_media(color_scheme="light")
        assert grave(page) == []


@needs_axe
def test_axe_does_find_a_button_without_a_name_and_faint_text(browser: Any, folder: Path) -> None:
    """So that the tests above can fail."""
    with shown(browser, written(folder, TRAY)) as page:
        page.evaluate("() => { document.getElementById('home').textContent = ''; }")
        page.evaluate("() => { document.getElementById('headline').style.color = '#dddddd'; }")
        assert {"button-name", "color-contrast"} <= {code for code, _, _ in grave(page)}


def test_a_tree_of_names_tells_each_control(browser: Any, folder: Path) -> None:
    with shown(browser, written(folder, TRAY)) as page:
        for role, name in (
            ("slider", "Take it apart"),
            ("slider", "Where"),
            ("radio", "as cut"),
            ("radio", "finished"),
            ("checkbox", "show how faces meet"),
            ("group", "State"),
            ("group", "Cut it open"),
            ("button", "Home view"),
            ("application", "The joint in three dimensions"),
            ("img", "The show face of the tail board with its tails, raw end up"),
            ("table", "Tails on the show face"),
        ):
            assert page.get_by_role(role, name=name, exact=True).count() == 1, name


# --- without WebGL -------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def flat_browser(driver: Any) -> Iterator[Any]:
    """A browser that draws nothing in three dimensions."""
    with launched(driver, DRAWS_NOTHING) as found:
        yield found


def test_where_there_is_no_webgl_the_page_says_so_and_the_rest_stands(flat_browser: Any, folder: Path) -> None:
    page = flat_browser.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(written(folder, TRAY))
    assert page.evaluate("() => !document.createElement('canvas').getContext('webgl')"), "this browser has none"
    assert page.locator("#no-view").is_visible()
    assert page.locator("table").count() == 3
    assert page.locator("svg").count() == 3
    assert all(drawing.is_visible() for drawing in page.locator("svg").all())
    assert errors == []
    page.close()


def test_where_there_is_no_webgl_no_empty_stage_stands_there(flat_browser: Any, folder: Path) -> None:
    page = flat_browser.new_page()
    page.goto(written(folder, TRAY))
    hidden = page.locator("#view").is_hidden()
    page.close()
    assert hidden


def test_a_context_that_is_lost_and_comes_back_is_drawn_again(browser: Any, folder: Path) -> None:
    address = written(folder, TRAY)
    room = browser.new_context(viewport={"width": 1000, "height": 800})
    page = room.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(address)
    before = pixels(page)
    page.evaluate(
        "() => { window.kept = document.getElementById('view').getContext('webgl2').getExtension('WEBGL_lose_context');"
        " window.told = (what) => new Promise((done) => {"
        " document.getElementById('view').addEventListener(what, () => done(), { once: true }); }); }"
    )
    page.evaluate("() => { const lost = told('webglcontextlost'); kept.loseContext(); return lost; }")
    page.evaluate(TWO_FRAMES)
    page.evaluate("() => { const back = told('webglcontextrestored'); kept.restoreContext(); return back; }")
    after = pixels(page)
    room.close()
    assert errors == []
    assert differs(before, after) == 0


def test_the_boards_are_not_the_stage() -> None:
    """What tests above take for granted: no wood of theirs is as the stage is."""
    for joint in (TRAY, STUBBY):
        job: Job = job_of(*joint)
        assert all(np.abs(np.array(board.wood.rgb) - STAGE).max() > 12 for board in job.job.scene.cut)
    assert NOTHING == 0
