"""Something to double-click on the desktop that opens the bench: `halfpin bench --shortcut`.

Linux: a desktop entry (Desktop Entry Specification 1.5, freedesktop.org) with an icon where the Icon Theme
Specification looks for it. macOS: a .command file, which its Terminal runs. Windows: a .cmd file, as a link is binary.
Each opens a window of a terminal, so that what goes wrong can be read, and the bench ends with it. A file in its place
that is not ours stays as it is.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Sequence
from importlib import resources
from pathlib import Path

from solids.app.recipe_files import write_over
from solids.base.errors import FileError

OURS = "Made by halfpin bench --shortcut, which renews it."
"""By this line a file is known as ours."""

ICON = "halfpin-bench"

HOLD = '"$@" || { printf "Press Enter to close this window. "; read -r _; }'
"""A shell's words: run a command, and where that goes wrong, leave the window open until it is read."""


def command_of(place: Path | None) -> list[str]:
    """What opens the bench: this very Python, from wherever it is started (`-P` keeps out modules that lie there)."""
    return [sys.executable, "-P", "-m", "solids", "bench", *([os.path.abspath(place)] if place else [])]


def to_type(command: Sequence[str]) -> str:
    """A command as a maker types it in a terminal of this system."""
    return subprocess.list2cmdline(command) if sys.platform == "win32" else shlex.join(command)


def put_shortcut(place: Path | None) -> Path:
    """Puts it on the desktop, for a folder, a recipe, or the maker's own folder; where it lies. FileError if it cannot
    be put there."""
    from platformdirs import user_data_path, user_desktop_path

    desktop = user_desktop_path()
    if not desktop.is_dir():
        raise FileError(f"{desktop} is not there, so there is no desktop to put a shortcut on")
    command = command_of(place)
    if sys.platform == "win32":
        return _put(desktop / "Halfpin.cmd", windows_text(command))
    if sys.platform == "darwin":
        return _put(desktop / "Halfpin.command", mac_text(command))
    icon = (resources.files("solids.app.desk") / "web" / "icon.svg").read_text("utf-8")
    icons = user_data_path() / "icons" / "hicolor" / "scalable" / "apps"
    _put(icons / f"{ICON}.svg", f"<!-- {OURS} -->\n{icon}", runs=False)
    return _put(desktop / "Halfpin.desktop", linux_text(command))


def _put(file: Path, text: str, runs: bool = True) -> Path:
    if os.path.lexists(file) and not _is_ours(file):
        raise FileError(f"{file} is there already, and not from us; it was left alone. Move it away first")
    try:
        text.encode()
    except UnicodeEncodeError:
        raise FileError("the name of the folder, or of that of the tool, is no text; rename it first") from None
    write_over(file, text)
    file.chmod(0o755 if runs else 0o644)
    return file


def _is_ours(file: Path) -> bool:
    """Whether we made it: a plain file with our line at its beginning."""
    if file.is_symlink() or not file.is_file():
        return False
    with file.open("rb") as opened:
        return OURS.encode() in opened.read(1000)


def linux_text(command: Sequence[str]) -> str:
    """A desktop entry. The command is an argument of a shell, which holds the window open where it fails."""
    words = " ".join(map(_quoted, ["/bin/sh", "-c", HOLD, "halfpin", *command]))
    lines = (
        "[Desktop Entry]",
        f"# {OURS}",
        "Type=Application",
        "Version=1.0",
        "Name=Halfpin",
        "GenericName=Dovetail joints and boxes",
        "Comment=A page to design dovetail joints and boxes on",
        f"Icon={ICON}",
        f"Exec={_as_value(words)}",
        "Terminal=true",
        "Categories=Graphics;Engineering;",
    )
    return "\n".join((*lines, ""))


def _quoted(word: str) -> str:
    """A word of a command line (The Exec key): between quotes, and a percent sign is doubled."""
    return '"' + re.sub(r'(["`$\\])', r"\\\1", word).replace("%", "%%") + '"'


def _as_value(text: str) -> str:
    """A value of the type string (Possible value types), in which a backslash is doubled once more."""
    escapes = {"\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}
    return "".join(escapes.get(sign, sign) for sign in text)


def mac_text(command: Sequence[str]) -> str:
    """A script for the shell. Terminal leaves its window open when it has ended."""
    return f"#!/bin/sh\n# {OURS}\nexec {shlex.join(command)}\n"


def windows_text(command: Sequence[str]) -> str:
    """A batch file. Quotes cannot stand in a path there. A percent sign is doubled, and so is a backslash before a
    quote, as programs of Microsoft's compiler read it (Parsing C Command-Line Arguments)."""
    words = " ".join('"' + re.sub(r"(\\+)$", r"\1\1", word).replace("%", "%%") + '"' for word in command)
    lines = ("@echo off", f"rem {OURS}", "setlocal DisableDelayedExpansion", "chcp 65001 >nul", words)
    return "\r\n".join((*lines, "if errorlevel 1 pause", ""))
