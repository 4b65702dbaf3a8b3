"""What is shown where the terminal has few letters: nothing fails, and what it cannot show is still told apart."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from tests.commands import MAIN

RECIPE = """
title = "小箱 Größe"

[joint]
width = 96

[tail_board]
thickness = 10
wood = { name = "梨 pêche", kind = "hardwood", density = 690 }

[pin_board]
thickness = 12
wood = "maple"
"""
ENCODINGS = ("ascii", "cp1252", "cp437")


def shown(encoding: str, *arguments: str, cwd: Path) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a run whose streams have an encoding."""
    command = [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(Path(__file__).parents[2])!r}); {MAIN}"]
    environment = {"PYTHONIOENCODING": encoding, "PATH": "", "LC_ALL": "C"}
    done = subprocess.run(
        [*command, *arguments], cwd=cwd, capture_output=True, check=False, timeout=120, env=environment
    )
    return done.returncode, done.stdout.decode(encoding), done.stderr.decode(encoding)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "小.toml").write_text(RECIPE, "utf-8")
    return tmp_path


def spelt(text: str, encoding: str) -> str:
    """A text as it stands there: worked by hand for one, below."""
    return text.encode(encoding, "backslashreplace").decode(encoding)


def test_a_letter_that_cannot_be_shown_stands_there_by_its_number() -> None:
    """U+5C0F is the first letter of the title; cp1252 has the o with its dots, ASCII has not."""
    assert spelt("小ö", "ascii") == "\\u5c0f\\xf6"
    assert spelt("小ö", "cp1252") == "\\u5c0fö"


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_titles_and_woods_are_told_apart(folder: Path, encoding: str) -> None:
    code, out, err = shown(encoding, "layout", "小.toml", cwd=folder)
    assert (code, err) == (0, "")
    assert out.startswith(f"{spelt('小箱 Größe', encoding)}: through dovetail")
    assert spelt("梨 pêche", encoding) in out
    assert "?" not in out


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_a_refusal_names_what_was_typed(folder: Path, encoding: str) -> None:
    code, out, err = shown(encoding, "layout", "小.toml", "--set", "joint.width=‒小", cwd=folder)
    assert (code, out) == (2, "")
    assert spelt("'‒小'", encoding) in err


def test_what_programs_read_is_utf8_whatever_the_terminal_has(folder: Path) -> None:
    command = [sys.executable, "-c", MAIN, "check", "小.toml", "--json"]
    environment = {"PYTHONIOENCODING": "ascii", "PYTHONPATH": str(Path(__file__).parents[2]), "PATH": "", "LC_ALL": "C"}
    done = subprocess.run(command, cwd=folder, capture_output=True, check=True, timeout=120, env=environment)
    assert json.loads(done.stdout.decode("utf-8"))["title"] == "小箱 Größe"


@pytest.mark.parametrize(
    "arguments", [("woods",), ("presets",), ("compare", "tool-tray", "--tails", "3,4"), ("--help",)]
)
def test_our_own_words_are_all_ascii(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    code, out, err = shown("ascii", *arguments, cwd=tmp_path)
    assert (code, err) == (0, "")
    assert out.isascii()
    assert "\\x" not in out
    assert "\\u" not in out


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such terminals")
@pytest.mark.parametrize("columns", [80, 120])
def test_a_narrow_terminal_breaks_no_number(tmp_path: Path, columns: int) -> None:
    """Three layouts with twelve figures each: side by side on 120 columns, one below another on 80."""
    import fcntl
    import pty
    import struct
    import termios

    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    command = [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(Path(__file__).parents[2])!r}); {MAIN}"]
    environment = {"TERM": "xterm", "PATH": "", "LC_ALL": "C.UTF-8"}
    run = subprocess.Popen([*command, "compare", "tool-tray"], stdout=slave, cwd=tmp_path, env=environment)
    os.close(slave)
    said = b""
    with suppress(OSError):  # the terminal's other end is closed
        while chunk := os.read(master, 65536):
            said += chunk
    os.close(master)
    assert run.wait(120) == 0
    lines = re.sub(r"\x1b\[[0-9;]*m", "", said.decode("utf-8")).splitlines()
    assert max(map(len, lines)) <= columns
    rows = [line.split() for line in lines]
    if columns == 80:
        assert ["rack", "N", "m", "5.4-9.9", "4-7.4", "2.7-5"] in rows
    else:
        assert ["4", "1:7", "18.75", "9.70", "2.8-5.2"] in [row[:5] for row in rows]
