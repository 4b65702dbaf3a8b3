"""Which names the files of recipes can have, and why others stay off the shelf. No file is looked at."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import PureWindowsPath

from solids.base.safe_text import printable
from solids.base.windows import is_reserved

ENDING = ".toml"
LONGEST_NAME = 200
"""Of a recipe's file, in letters; file systems take 255 bytes."""

LONGEST_TOLD = 80
"""So many letters of a name are told."""

NO_RECIPES = "._", ".#"
"""So begin the names of files that systems and editors put beside a file of the maker's, and take away again."""


def is_name(name: str) -> bool:
    """Whether a text is a bare name of a file on every system: no path, no hidden file, no device."""
    return not why_no_name(name)


def why_no_name(name: str) -> str:
    """Why a text can be no name of a recipe, in words; nothing where it can be."""
    if not name or name.startswith((".", " ")):
        return "its name begins with a dot or a space"
    if not name.isprintable():
        return "its name holds a sign that cannot be shown"
    if ":" in name or "/" in name or PureWindowsPath(name).name != name:
        return "its name holds a colon, a slash or a backslash"
    if len(name) > LONGEST_NAME:
        return f"its name is longer than {LONGEST_NAME} letters"
    if is_reserved(name):
        return "Windows keeps its name for a device"
    return ""


def left_out(files: Iterable[str]) -> list[dict[str, str]]:
    """A record of each file that looks like a recipe and cannot be on the shelf because of its name: name, why."""
    found = []
    for file in sorted(files):
        if not file.lower().endswith(ENDING) or file.startswith(NO_RECIPES):
            continue
        why = why_no_name(file[: -len(ENDING)])
        if not why and not file.endswith(ENDING):
            why = f"its name ends in {file[-len(ENDING) :]} and not in {ENDING}"
        if why:
            told = printable(file)
            found.append({"name": f"{told[:LONGEST_TOLD]}..." if len(told) > LONGEST_TOLD else told, "why": why})
    return found
