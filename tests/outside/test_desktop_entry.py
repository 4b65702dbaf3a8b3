"""The entry on the desktop, as the programs read it that desktops are made of: `desktop-file-validate` (Debian package
desktop-file-utils) checks it by the specification, and GLib's `gio launch` (libglib2.0-bin) starts it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from solids.app.desk.serving.shortcut import linux_text
from tests.app.desk.test_shortcut import HARD

pytestmark = pytest.mark.outside

VALIDATE, GIO = shutil.which("desktop-file-validate"), shutil.which("gio")


@pytest.mark.skipif(VALIDATE is None, reason="desktop-file-validate is not on PATH (Debian package desktop-file-utils)")
def test_the_entry_is_valid_and_a_broken_one_would_be_seen(tmp_path: Path) -> None:
    file = tmp_path / "Halfpin.desktop"
    for text, is_good in (
        (linux_text(HARD), True),
        (linux_text(["/usr/bin/python3", "-P", "-m", "solids", "bench"]), True),
        (linux_text(HARD).replace('"/bin/sh"', '"/bin/s`h"'), False),
    ):
        file.write_text(text, "utf-8")
        done = subprocess.run([str(VALIDATE), str(file)], capture_output=True, text=True, check=False)
        assert (done.returncode == 0) == is_good, done.stdout
        assert (done.stdout == "") == is_good


@pytest.mark.skipif(GIO is None, reason="gio is not on PATH (Debian package libglib2.0-bin)")
def test_a_desktop_starts_what_is_meant(tmp_path: Path) -> None:
    """In a terminal, for which a script of ours stands here."""
    told = tmp_path / "told"
    terminal = tmp_path / "bin" / "xterm"
    terminal.parent.mkdir()
    terminal.write_text('#!/bin/sh\nshift\nexec "$@"\n')  # what follows -e
    terminal.chmod(0o755)
    tell = [sys.executable, "-c", "import pathlib, sys; pathlib.Path(sys.argv[1]).write_text(repr(sys.argv[2:]))"]
    file = tmp_path / "Halfpin.desktop"
    file.write_text(linux_text([*tell, str(told), *HARD]), "utf-8")
    paths = f"{terminal.parent}:/bin:/usr/bin"
    # Other terminals that are installed would be asked first.
    environment = {**os.environ, "PATH": paths}
    subprocess.run([str(GIO), "launch", str(file)], check=True, env=environment, capture_output=True, timeout=60)
    latest = time.monotonic() + 60
    while not (told.exists() and told.read_text()):
        assert time.monotonic() < latest, "it was not started"
        time.sleep(0.05)
    assert told.read_text() == repr(HARD)
