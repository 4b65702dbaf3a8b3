"""Debian's Chromium, driven by Playwright, for the tests that look at our pages in it: how it starts, a page in it, and
the pixels that are drawn. Its fixtures `driver` and `browser` stand in `conftest.py`.

Pixels are the canvas's own (`toDataURL`), read after two frames, so that no test waits for a time.
"""

from __future__ import annotations

import base64
import io
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.projection import Numbers

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
AXE = Path(__file__).parent / "node" / "node_modules" / "axe-core" / "axe.min.js"

NEEDED = [
    pytest.mark.outside,
    pytest.mark.skipif(find_spec("playwright") is None, reason="the package playwright is not installed"),
    pytest.mark.skipif(CHROMIUM is None, reason="chromium is not on PATH (Debian package chromium)"),
]
"""The marks of a module whose tests all need it: `pytestmark = NEEDED`."""

needs_axe = pytest.mark.skipif(
    not AXE.is_file(), reason="axe-core is not there (`npm install --prefix tests/outside/node`)"
)

FLAGS = (
    *("--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync"),
)
DRAWS = ("--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader")
DRAWS_NOTHING = ("--disable-gpu", "--disable-3d-apis")

SLOWER = float(os.environ.get("SLOWER", "1"))
"""How many times slower a page runs. `SLOWER=8 pytest tests/outside` finds what is read before it is there."""

CHANGED = 20
TWO_FRAMES = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"


@contextmanager
def launched(driver: Any, flags: tuple[str, ...] = DRAWS) -> Iterator[Any]:
    """A browser, with WebGL in software unless told otherwise."""
    found = driver.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS, *flags])
    yield found
    found.close()


@contextmanager
def opened(
    browser: Any, address: str, width: int = 1000, height: int = 800, *, quiet: bool = True, **context: Any
) -> Iterator[Any]:
    """The page. At the end nothing must have been said on its console, nor asked for from anywhere else."""
    room = browser.new_context(viewport={"width": width, "height": height}, **context)
    room.on("page", slowed)
    page = room.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: said.append(f"error: {error}"))
    page.on("request", lambda request: None if is_ours(request.url, address) else said.append(request.url))
    page.goto(address)
    yield page
    room.close()
    assert said == [] or not quiet, said


def slowed(page: Any) -> None:
    if SLOWER > 1:
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})


@contextmanager
def shown(browser: Any, address: str, width: int = 1000, height: int = 800, **context: Any) -> Iterator[Any]:
    """The page, drawn."""
    with opened(browser, address, width, height, **context) as page:
        page.evaluate(TWO_FRAMES)
        yield page


def is_ours(url: str, address: str) -> bool:
    """The page itself; where a server's address ends in a slash, whatever lies below it."""
    return url == address or url.startswith("data:") or (address.endswith("/") and url.startswith(address))


def pixels(page: Any) -> Numbers:
    """(height, width, 3) of the canvas, when what was asked for is drawn."""
    page.evaluate(TWO_FRAMES)
    data = page.evaluate("() => document.getElementById('view').toDataURL('image/png')")
    with Image.open(io.BytesIO(base64.b64decode(data.partition(",")[2]))) as image:
        return np.asarray(image.convert("RGB")).astype(np.int64)


def differs(a: Numbers, b: Numbers) -> float:
    """The share of pixels that are another colour."""
    return float((np.abs(a - b).max(axis=2) > CHANGED).mean())


def move(page: Any, name: str, value: float) -> None:
    """A slider set as a hand does it, in one go."""
    page.locator(f"#{name}").fill(str(value))


def text(page: Any, name: str) -> str:
    return str(page.locator(f"#{name}").text_content())
