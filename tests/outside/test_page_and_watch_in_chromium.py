"""The page in a real browser: Debian's Chromium, driven by Playwright; accessibility by axe-core."""

from __future__ import annotations

import io
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from solids.recipe import preset_text
from solids.write.page.page import page_bytes
from tests.corners import case, job_of

playwright = pytest.importorskip("playwright.sync_api", reason="the package playwright is not installed")

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
AXE = Path(__file__).parent / "node" / "node_modules" / "axe-core" / "axe.min.js"
FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
]

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(CHROMIUM is None, reason="chromium is not on PATH (Debian package chromium)"),
]

SET = """([id, value]) => {
  const item = document.getElementById(id);
  if (item.type === "checkbox") item.checked = value; else item.value = value;
  item.dispatchEvent(new Event("input", {bubbles: true}));
}"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield found
        found.close()


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    job = job_of("tool-tray", "fit.flank_gap=-0.02")
    path = tmp_path_factory.mktemp("page") / "corner.html"
    path.write_bytes(page_bytes(job.layout, job.proof, job.scene, [("corner.step", "both boards")]))
    return path.as_uri()


def opened(browser: Any, address: str, width: int = 1000, scheme: str = "light") -> tuple[Any, list[str]]:
    """The page, and what it has to complain of."""
    page = browser.new_page(viewport={"width": width, "height": 800}, color_scheme=scheme)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: None if request.url.startswith((address, "data:")) else said.append(request.url))
    page.goto(address)
    page.wait_for_timeout(300)
    return page, said


def shot(page: Any) -> np.ndarray:
    page.wait_for_timeout(150)
    return np.asarray(Image.open(io.BytesIO(page.locator("#view").screenshot())).convert("RGB")).astype(int)


def differs(a: np.ndarray, b: np.ndarray) -> float:
    return float((np.abs(a - b).max(axis=2) > 20).mean())


def test_it_draws_something_complains_of_nothing_and_rests_when_nothing_changes(browser: Any, address: str) -> None:
    page, said = opened(browser, address)
    picture = shot(page)
    assert len({tuple(colour) for colour in picture[::7, ::7].reshape(-1, 3)}) > 5, "the canvas is not blank"
    assert picture.std() > 10
    drawn = page.locator("#view").get_attribute("data-drawn")
    page.wait_for_timeout(600)
    assert page.locator("#view").get_attribute("data-drawn") == drawn
    assert int(page.locator("#view").get_attribute("data-triangles")) <= 5000
    assert said == []
    page.close()


@pytest.mark.parametrize(
    ("control", "value"), [("apart", "100"), ("gaps", True)], ids=["the slider moves the part", "gaps are coloured"]
)
def test_a_control_changes_the_picture(browser: Any, address: str, control: str, value: object) -> None:
    page, said = opened(browser, address)
    before = shot(page)
    page.evaluate(SET, [control, value])
    assert differs(before, shot(page)) > 0.005
    assert said == []
    page.close()


@pytest.mark.parametrize("choice", ["input[value=finished]", "input[name=section][value='0']", "#front", "#above"])
def test_a_choice_changes_the_picture_and_home_brings_it_back(browser: Any, address: str, choice: str) -> None:
    page, _ = opened(browser, address)
    before = shot(page)
    page.click(choice)
    assert differs(before, shot(page)) > 0.0001
    page.click("input[value=cut]")
    page.click("input[name=section][value='']")
    page.click("#home")
    assert differs(before, shot(page)) == 0
    page.close()


def test_the_keyboard_alone_reaches_everything_and_turns_the_joint(browser: Any, address: str) -> None:
    page, _ = opened(browser, address)
    seen = []
    for _ in range(14):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.id || document.activeElement.value || ''"))
    wanted = ["view", "apart", "gaps", "home", "front", "above"]
    assert [name for name in dict.fromkeys(seen) if name in wanted] == wanted
    page.focus("#view")
    before = shot(page)
    for key in ("ArrowLeft", "ArrowUp", "+"):
        page.keyboard.press(key)
    assert differs(before, shot(page)) > 0.01
    page.keyboard.press("0")
    assert differs(before, shot(page)) == 0
    page.focus("#apart")
    page.keyboard.press("End")
    assert page.evaluate("document.getElementById('apart-out').textContent").startswith("tail board")
    page.close()


def test_the_mouse_turns_and_the_wheel_comes_closer(browser: Any, address: str) -> None:
    page, _ = opened(browser, address)
    before = shot(page)
    box = page.locator("#view").bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 200)
    page.mouse.down()
    page.mouse.move(box["x"] + 300, box["y"] + 240)
    page.mouse.up()
    turned = shot(page)
    assert differs(before, turned) > 0.01
    page.mouse.wheel(0, -300)
    assert differs(turned, shot(page)) > 0.01
    page.close()


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (360, "dark"), (1000, "light"), (1000, "dark")])
@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not there (.ci/run installs it in tests/outside/node)")
def test_nothing_serious_stands_in_anyones_way(browser: Any, address: str, width: int, scheme: str) -> None:
    page, _ = opened(browser, address, width, scheme)
    page.evaluate(SET, ["gaps", True])
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run()")
    grave = [(each["id"], each["impact"]) for each in found["violations"] if each["impact"] in ("serious", "critical")]
    assert grave == []
    ink, paper = page.evaluate("['color', 'backgroundColor'].map((key) => getComputedStyle(document.body)[key])")
    light = [sum(map(int, re.findall(r"\d+", colour)[:3])) for colour in (ink, paper)]
    assert (light[0] > light[1]) == (scheme == "dark")
    page.close()


def test_it_prints_with_the_picture_and_the_tables(browser: Any, address: str, tmp_path: Path) -> None:
    pdfium = pytest.importorskip("pypdfium2")
    page, _ = opened(browser, address)
    page.pdf(path=str(tmp_path / "page.pdf"), format="A4", print_background=True)
    page.close()
    document = pdfium.PdfDocument(tmp_path / "page.pdf")
    text = "".join(document[number].get_textpage().get_text_range() for number in range(len(document)))
    assert "Tails on the show face" in text
    assert "Take it apart" not in text, "controls are of no use on paper"
    first = np.asarray(document[0].render(scale=1).to_pil().convert("RGB")).astype(int)
    assert (np.ptp(first, axis=2) > 40).mean() > 0.02, "the wood's colours are on it"
    document.close()


def test_a_half_blind_joint_and_an_inch_one_open_too(browser: Any, tmp_path: Path) -> None:
    for name in ("half-blind", "inches"):
        job = case(name)
        path = tmp_path / f"{name}.html"
        path.write_bytes(page_bytes(job.layout, job.proof, job.scene, []))
        page, said = opened(browser, path.as_uri())
        assert shot(page).std() > 10
        assert said == []
        page.close()


# --- watch -----------------------------------------------------------------------------------------


def test_a_watched_recipe_shows_each_change_and_keeps_the_view(browser: Any, tmp_path: Path) -> None:
    recipe = tmp_path / "mine.toml"
    text = preset_text("tool-tray")
    recipe.write_text(text, "utf-8")
    with subprocess.Popen(
        [sys.executable, "-c", "from solids.cli import main; main()", "watch", str(recipe)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    ) as run:
        assert run.stderr is not None
        address = re.findall(r"http://\S+", run.stderr.readline())[0]
        assert re.match(r"\d\d:\d\d:\d\d, in", run.stderr.readline()), "the first joint is there"
        page, said = opened(browser, address)
        page.focus("#view")
        for _ in range(6):
            page.keyboard.press("ArrowLeft")
        before = shot(page)
        recipe.write_text(text.replace("tails = 4", "tails = 6"), "utf-8")
        _until(page, "document.getElementById('headline').textContent.includes('6 tails')")
        after = shot(page)
        assert 0.001 < differs(before, after) < 0.2, "another joint, seen from the same side"
        recipe.write_text("[joint", "utf-8")
        _until(page, "!document.getElementById('trouble').hidden")
        assert "is not TOML" in page.locator("#trouble").inner_text()
        assert differs(after, shot(page)) < 0.05, "the last good joint is still there"
        recipe.write_text(text, "utf-8")
        _until(page, "document.getElementById('trouble').hidden")
        _until(page, "document.getElementById('headline').textContent.includes('4 tails')")
        assert differs(before, shot(page)) == 0
        assert said == []
        page.close()
        run.send_signal(signal.SIGTERM)
        run.stderr.read()


def _until(page: Any, condition: str) -> None:
    """The page forbids evaluation of text within it, so the condition is asked for from outside."""
    for _ in range(400):
        if page.evaluate(condition):
            return
        time.sleep(0.025)
    raise AssertionError(condition)
