"""The page of a box in a real browser: Debian's Chromium, driven by Playwright."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from solids.write.box.page import box_page_bytes
from tests.boxes import box_case

playwright = pytest.importorskip("playwright.sync_api", reason="the package playwright is not installed")

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
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


@pytest.mark.parametrize("name", ["keepsake", "drawer"])
def test_the_page_of_a_box_turns_comes_apart_and_complains_of_nothing(browser: Any, tmp_path: Path, name: str) -> None:
    job = box_case(name)
    path = tmp_path / "box.html"
    path.write_bytes(box_page_bytes(job.proof, job.scene, [("box.step", "every board")]))
    page, said = opened(browser, path.as_uri(), 360)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    seated = shot(page)
    assert seated.std() > 10
    page.evaluate(SET, ["apart", "100"])
    assert differs(seated, shot(page)) > 0.02
    assert page.evaluate("document.getElementById('apart-out').textContent").endswith("mm apart")
    page.click("input[name=section][value='1']")
    assert page.evaluate("document.getElementById('depth-out').textContent").endswith("from the front")
    assert page.locator("table").count() == 1 + 3 * len(job.proof.corners)
    assert said == []
    page.close()
