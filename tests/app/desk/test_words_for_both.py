"""What goes wrong behind the page is told there too, to somebody who never opens a terminal: no sentence of an error
sends them to a command or to one of its options."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import solids

ROOT = Path(solids.__file__).parent
BEHIND_THE_PAGE = (
    "recipe",
    "layout",
    "proof",
    "wood",
    "base",
    "write",
    "app/desk/piece",
    "app/desk/shelf",
    "app/desk/shop",
)
ERRORS = re.compile(r"Error$|^Problem$|^refuse$|^fault$")
OF_A_COMMAND = {
    ("recipe/text/toml.py", "--set"),
    ("recipe/text/shop_file.py", "--no-shop"),
    ("recipe/text/reading.py", "halfpin layout"),  # a command that takes single corners got a box
    ("write/named.py", "--board"),
}
"""Sentences about what was written on a command line, which only a command can tell."""


def commands_named(file: Path) -> Iterator[str]:
    """What names a command or an option in what errors of a file say."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        called = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if not ERRORS.search(called):
            continue
        for part in ast.walk(node):
            if isinstance(part, ast.Constant) and isinstance(part.value, str):
                yield from re.findall(r"`halfpin\b|halfpin (?!installed)[a-z]+\b|--[a-z]+(?:-[a-z]+)*\b", part.value)


@pytest.mark.parametrize("folder", BEHIND_THE_PAGE)
def test_no_error_behind_the_page_speaks_of_the_command_line(folder: str) -> None:
    files = sorted((ROOT / folder).rglob("*.py"))
    assert files
    found = {(file.relative_to(ROOT).as_posix(), words) for file in files for words in commands_named(file)}
    assert found - OF_A_COMMAND == set()


def test_such_a_sentence_is_found(tmp_path: Path) -> None:
    file = tmp_path / "some.py"
    file.write_text('raise FileError(f"{path} is there. Move it away, or give another --out")\n')
    assert list(commands_named(file)) == ["--out"]
