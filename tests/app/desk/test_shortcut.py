"""What is put on the desktop: the text for each system, where it lies, and what is left alone."""

from __future__ import annotations

import os
import shlex
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from solids.app.desk.serving import shortcut
from solids.app.desk.serving.shortcut import OURS, command_of, linux_text, mac_text, windows_text
from tests.commands import halfpin

HARD = [
    "/opt/a b/python",
    "plain",
    "it's",
    'a "quote"',
    "100% %f %%",
    "$HOME `x` \\ \\\\",
    "Öl 木",
    "two\nlines",
    "",
    "a;b&c|d>e",
]
"""Words that a path may hold."""


def words_of_entry(text: str) -> list[str]:
    """The words of an Exec key, by the rules of the specification, written here once more: the value's own escapes
    first, then quotes, then field codes."""
    (line,) = (line for line in text.splitlines() if line.startswith("Exec="))
    value, signs = "", iter(line.removeprefix("Exec="))
    for sign in signs:
        value += {"s": " ", "n": "\n", "t": "\t", "r": "\r", "\\": "\\"}[next(signs)] if sign == "\\" else sign
    words, word, signs = [], "", iter(value)
    for sign in signs:
        if sign == " ":
            continue
        assert sign == '"'
        word = ""
        while (sign := next(signs)) != '"':
            assert sign not in "`$", "must be escaped"
            word += next(signs) if sign == "\\" else sign
        assert "%" not in word.replace("%%", ""), "would be a field code"
        words.append(word.replace("%%", "%"))
    return words


def test_a_desktop_entry_gives_the_words_back() -> None:
    text = linux_text(HARD)
    assert words_of_entry(text)[4:] == HARD
    assert text.isprintable() or all(line.isprintable() for line in text.splitlines())
    assert f"\n# {OURS}\n" in text
    assert "\nTerminal=true\n" in text


def test_its_shell_runs_the_words_and_waits_where_they_fail(tmp_path: Path) -> None:
    """The words of the entry as the desktop would start them."""
    show = [sys.executable, "-c", "import sys; print(sys.argv[1:]); sys.exit(int(sys.argv[1]))"]
    for code in ("0", "3"):
        command = words_of_entry(linux_text([*show, code, *HARD]))
        done = subprocess.run(command, capture_output=True, text=True, check=False, input="\n")
        assert done.stdout.splitlines()[0] == repr([code, *HARD])
        assert ("Press Enter" in done.stdout) == (code != "0")


def test_a_script_for_macos_runs_the_words(tmp_path: Path) -> None:
    """By the shell of this machine; on a Mac nobody has run it yet."""
    show = [sys.executable, "-c", "import sys; print(sys.argv[1:])"]
    file = tmp_path / "x.command"
    file.write_text(mac_text([*show, *HARD]))
    done = subprocess.run(["/bin/sh", str(file)], capture_output=True, text=True, check=True)
    assert done.stdout == f"{HARD!r}\n"
    assert OURS in file.read_text().splitlines()[1]


def test_a_batch_file_for_windows() -> None:
    """By its text; on Windows nobody has run it yet."""
    text = windows_text(["C:\\My Tools\\python.exe", "-m", "solids", "D:\\100% Öl & x\\", "D:\\"])
    lines = text.split("\r\n")
    assert lines[:2] == ["@echo off", f"rem {OURS}"]
    assert lines[4] == '"C:\\My Tools\\python.exe" "-m" "solids" "D:\\100%% Öl & x\\\\" "D:\\\\"'
    assert lines[-1] == ""
    assert "\n" not in text.replace("\r\n", "")


def test_it_runs_this_very_python_and_no_module_that_lies_about(tmp_path: Path) -> None:
    assert command_of(None) == [sys.executable, "-P", "-m", "solids", "bench"]
    (tmp_path / "solids.py").write_text("raise SystemExit('a stranger')")
    done = subprocess.run([*command_of(None), "--help"], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.stdout.startswith("Usage: halfpin bench")
    assert command_of(Path("x/../my recipes"))[-1] == str(Path.cwd() / "my recipes")


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home with a desktop that has a name of its own."""
    (tmp_path / "Schreib tisch").mkdir()
    (tmp_path / ".config").mkdir()
    (tmp_path / ".config" / "user-dirs.dirs").write_text('XDG_DESKTOP_DIR="$HOME/Schreib tisch"\n')
    for name, value in (("HOME", ""), ("XDG_CONFIG_HOME", ".config"), ("XDG_DATA_HOME", "data")):
        monkeypatch.setenv(name, str(tmp_path / value))
    monkeypatch.delenv("XDG_DESKTOP_DIR", raising=False)
    return tmp_path


linux = pytest.mark.skipif(sys.platform != "linux", reason="where it lies is looked at on Linux")


@linux
def test_it_lies_on_the_desktop_and_its_icon_where_icons_are(home: Path) -> None:
    recipes = home / "my 100% recipes"
    recipes.mkdir()
    for _ in range(2):
        done = halfpin("bench", str(recipes), "--shortcut")
        assert done.returncode == 0, done.stderr
        file = home / "Schreib tisch" / "Halfpin.desktop"
        assert str(file) in done.stdout
        assert words_of_entry(file.read_text())[-1] == str(recipes)
        assert stat.S_IMODE(file.stat().st_mode) == 0o755
        icon = home / "data" / "icons" / "hicolor" / "scalable" / "apps" / "halfpin-bench.svg"
        assert "<svg" in icon.read_text()
    assert halfpin("bench", "--shortcut").returncode == 0, "ours is renewed"
    assert words_of_entry(file.read_text())[-1] == "bench"
    assert {path.name for path in file.parent.iterdir()} == {"Halfpin.desktop"}


@linux
@pytest.mark.parametrize("trap", ["file", "folder", "link", "pipe", "no desktop", "no folder"])
def test_what_is_not_ours_is_left_alone(home: Path, trap: str) -> None:
    desktop = home / "Schreib tisch"
    file = desktop / "Halfpin.desktop"
    place: tuple[str, ...] = ()
    if trap == "file":
        file.write_text("mine")
    elif trap == "folder":
        file.mkdir()
    elif trap == "link":
        (home / "mine").write_text(OURS)
        file.symlink_to(home / "mine")
    elif trap == "pipe":
        os.mkfifo(file)
    elif trap == "no desktop":
        desktop.rmdir()
    else:
        place = (str(home / "none"),)
    done = halfpin("bench", *place, "--shortcut")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("Error: ")
    assert done.stderr.count("\n") == 1
    if trap == "file":
        assert file.read_text() == "mine"
    if trap == "link":
        assert file.is_symlink()
        assert (home / "mine").read_text() == OURS


@linux
def test_a_name_that_is_no_text_is_refused(home: Path) -> None:
    place = os.fsencode(home) + b"/re\xffcipes"
    os.mkdir(place)
    done = halfpin("bench", os.fsdecode(place), "--shortcut")
    assert done.returncode == 2
    assert "is no text" in done.stderr


@pytest.mark.parametrize(("platform", "name"), [("darwin", "Halfpin.command"), ("win32", "Halfpin.cmd")])
def test_other_systems_get_what_they_can_run(
    platform: str, name: str, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("platformdirs.user_desktop_path", lambda: home / "Schreib tisch")
    monkeypatch.setattr(shortcut.sys, "platform", platform)
    assert shortcut.put_shortcut(None) == home / "Schreib tisch" / name
    assert shlex.quote(sys.executable) in (home / "Schreib tisch" / name).read_text().replace('"', "")
    shortcut.put_shortcut(home)
    assert str(home) in (home / "Schreib tisch" / name).read_text()
