"""Text that a maker wrote into a recipe without quotes: `width = 5 1/2 in`. TOML (toml.io) takes bare numbers only."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

MOST_TOLD = 8
"""How many such lines are told at once."""

_AT = re.compile(r"at line (\d+)")
_KEY_AND_VALUE = re.compile(r"(?P<key>[ \t]*[\w.-]+[ \t]*=[ \t]*)(?P<value>[^#]*?)(?P<rest>[ \t]*(?:#.*)?)\r?")
_LIST = re.compile(r"\[(?P<items>[^\[\]{}]*)\]")
_NEVER_TEXT = {"true", "false", "yes", "no", "on", "off"}
_PLAIN = re.compile(r"[\w ./:%°+-]*[^\W\d_][\w ./:%°+-]*|[\d ./:%+-]*[/:%][\d ./:%+-]*|[\d ./-]*\d\"")


def lines_without_quotes(text: str) -> list[tuple[int, str]]:
    """The lines of a TOML text that lack quotes, by their number from 1 and as they should be: [(2, 'width = "1/2
    in"')]. Empty where its first fault is another one."""
    return list(_mended(text))


def _mended(text: str) -> Iterator[tuple[int, str]]:
    lines = text.split("\n")
    for _ in range(MOST_TOLD):
        number = _faulty_line("\n".join(lines))
        if not 0 < number <= len(lines):
            return
        line = _with_quotes(lines[number - 1])
        if not line:
            return
        lines[number - 1] = line
        yield number, line.strip()


def _faulty_line(text: str) -> int:
    """Where the reader stops; 0 where it does not, or says no place."""
    try:
        tomllib.loads(text)
    except ValueError as err:
        found = _AT.search(str(err))
        return int(found[1]) if found else 0
    return 0


def _with_quotes(line: str) -> str:
    """A faulty line with quotes round its value; "" where that would not mend it."""
    found = _KEY_AND_VALUE.fullmatch(line)
    if not found or _is_toml(line):
        return ""
    listed = _LIST.fullmatch(found["value"])
    if listed:
        items = [item.strip() for item in listed["items"].split(",")]
        value = f"[{', '.join(item if _is_toml(f'x = {item}') else _quoted(item) for item in items)}]"
    else:
        value = _quoted(found["value"])
    mended = f"{found['key']}{value}{found['rest']}"
    return mended if _is_toml(mended) else ""


def _quoted(value: str) -> str:
    """In quotes where it is a text; an inch mark takes the other kind of quotes."""
    if not _PLAIN.fullmatch(value) or value.lower() in _NEVER_TEXT:
        return value
    return f"'{value}'" if '"' in value else f'"{value}"'


def _is_toml(line: str) -> bool:
    try:
        tomllib.loads(line)
    except ValueError:
        return False
    return True
