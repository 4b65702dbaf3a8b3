"""Takes `exports/bench.png`, the picture of the page in the README: the tool tray on the bench, in Debian's Chromium.

Run from the project's folder: .venv/bin/python -m exports.bench_picture
"""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from solids.recipe.text.texts import preset_text
from tests.app.desk.running import bench
from tests.outside.browser import TWO_FRAMES, launched, shown

OUT = Path(__file__).parent / "bench.png"
PIECE = "tool-tray"
COLOURS = 256
"""Enough for a page of few colours, and the file is a third as large."""

if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver, launched(driver) as browser:
        Path(folder, f"{PIECE}.toml").write_text(preset_text(PIECE), "utf-8")
        with (
            bench(folder, "--no-open", "--no-shop", proves=True) as there,
            shown(browser, f"{there.address}#/piece/{PIECE}", 1440, 900, color_scheme="light", quiet=False) as page,
        ):
            page.locator(".proof[data-severity=pass]").wait_for(timeout=60_000)
            page.locator(".stage canvas").wait_for(timeout=60_000)
            page.locator(".coming:not(:empty)").wait_for(state="detached", timeout=60_000)
            page.evaluate(TWO_FRAMES)
            with Image.open(io.BytesIO(page.screenshot())) as picture:
                picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(OUT, optimize=True)
