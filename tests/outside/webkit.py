"""A second engine: WebKit as Debian packages it (WebKitGTK's MiniBrowser), driven by Selenium over WebDriver (W3C) on a
screen of its own (Xvfb). Where any of them is missing, tests that need it say so."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

DRIVER, SCREEN = shutil.which("WebKitWebDriver"), shutil.which("Xvfb")
BROWSERS = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))

NEEDED = [
    pytest.mark.outside,
    pytest.mark.skipif(find_spec("selenium") is None, reason="the package selenium is not installed"),
    pytest.mark.skipif(
        DRIVER is None or not BROWSERS, reason="WebKitWebDriver is not there (Debian package webkit2gtk-driver)"
    ),
    pytest.mark.skipif(SCREEN is None, reason="Xvfb is not on PATH (Debian package xvfb)"),
]
"""The marks of a module whose tests all need it: `pytestmark = NEEDED`."""

SIZE = "1400x1000x24"


@contextmanager
def screen() -> Iterator[str]:
    """The name of a display that nobody sees."""
    reads, writes = os.pipe()
    assert SCREEN
    shown = subprocess.Popen(
        [SCREEN, "-displayfd", str(writes), "-screen", "0", SIZE, "-nolisten", "tcp"],
        pass_fds=[writes],
        stderr=subprocess.DEVNULL,
    )
    os.close(writes)
    try:
        with os.fdopen(reads) as said:
            yield f":{said.readline().strip()}"
    finally:
        shown.terminate()
        shown.wait()


@contextmanager
def webkit(home: Path) -> Iterator[Any]:
    """A browser of somebody whose home is that folder: downloads go there."""
    from selenium import webdriver
    from selenium.webdriver.webkitgtk.options import Options
    from selenium.webdriver.webkitgtk.service import Service

    (home / ".config").mkdir(parents=True)
    (home / "Downloads").mkdir()
    (home / ".config" / "user-dirs.dirs").write_text('XDG_DOWNLOAD_DIR="$HOME/Downloads"\n')
    options = Options()
    options.binary_location = str(BROWSERS[-1])
    options.add_argument("--automation")
    with screen() as display:
        environment = {**os.environ, "DISPLAY": display, "HOME": str(home), "XDG_CONFIG_HOME": str(home / ".config")}
        environment.pop("WAYLAND_DISPLAY", None)
        driver = webdriver.WebKitGTK(options=options, service=Service(DRIVER, env=environment))
        try:
            yield driver
        finally:
            driver.quit()
