"""Adds keys to a TOML text and takes them out, and keeps every comment, blank line and word of the maker. tomlkit makes
the changes, as it keeps the style of a TOML document."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import tomlkit
from tomlkit.items import Comment, InlineTable, Table

from solids.recipe.tables.keys import is_tables, take_at, value_at
from solids.recipe.text.toml import Added, Raw, loaded


def with_added(text: str, items: tuple[Added, ...]) -> str:
    """A TOML text with keys added, each followed by its reason. Keys of existing tables are added first, as new tables
    go to the end."""
    if not items:
        return text
    found = _plain_lines(text)
    found += "" if found.endswith("\n") or not found else "\n"
    tables = loaded(found)
    for item in sorted(items, key=lambda item: _is_new(tables, item.key)):
        # Tables of a list, each under a head of its own, go as a whole, or they would stand there twice.
        found = without(found, item.key) if is_tables(value_at(tables, item.key)) else found
        found = _with(found, item)
    return _as_before(found, text)


def without(text: str, key: str) -> str:
    """A TOML text without a key, or a table, that it has."""
    lines = _plain_lines(text)
    start, end = _span(lines, key.rpartition(".")[0])
    if value_at(loaded(lines[start:end]), key) is None:  # it has a head of its own, elsewhere
        start, end = 0, len(lines)
    document = tomlkit.parse(lines[start:end])
    take_at(document, key)
    return _as_before(lines[:start] + tomlkit.dumps(document) + lines[end:], text)


def _plain_lines(text: str) -> str:
    return text.replace("\r\n", "\n")


def _as_before(text: str, before: str) -> str:
    """A text with the ends of lines that it had."""
    return text.replace("\n", "\r\n") if "\r\n" in before else text


def _is_new(tables: Raw, key: str) -> bool:
    """Whether the table of a key does not exist yet."""
    return value_at(tables, key.rpartition(".")[0]) is None if "." in key else False


def _with(text: str, item: Added) -> str:
    """A text with one key added. It is parsed again for each, as tomlkit's tables lose track of what moves in them."""
    *path, name = item.key.split(".")
    start, end = _span(text, ".".join(path))
    document = tomlkit.parse(text[start:end])
    table: Any = document
    for part in path:
        if isinstance(table, list):  # of tables, which are counted from 1
            table = table[int(part) - 1]
            continue
        if part not in table and isinstance(table, InlineTable):
            table[part] = tomlkit.inline_table()
        elif part not in table:
            return _with(f"{text}\n[{'.'.join(path)}]\n", item)
        table = table[part]
    value = _item(item.value)
    if item.why and not isinstance(table, InlineTable):  # tomlkit itself keeps the comment of a value that is replaced
        before = table[name].trivia.comment.lstrip("# ") if name in table else ""
        value.comment("; ".join(part for part in (before, item.why) if part))
    body = _body(table)
    place = len(body) if name in table else _place(body, name)
    below = body[place:]
    del body[place:]
    table[name] = value
    body += below
    return text[:start] + tomlkit.dumps(document) + text[end:]


def _span(text: str, table: str) -> tuple[int, int]:
    """From where to where a table stands under a head of its own, else the whole text. tomlkit takes ten times as long
    for a whole recipe. A line that looks like a head in the middle of a value is none: what is before it is no TOML."""
    head = re.search(rf"^\[{re.escape(table)}\]", text, re.MULTILINE) if table else None
    if head is None:
        return 0, len(text)
    below = re.search(r"^\[", text[head.end() :], re.MULTILINE)
    start, end = head.start(), head.end() + below.start() if below else len(text)
    try:
        loaded(text[:start])
        loaded(text[:end])
    except tomllib.TOMLDecodeError:
        return 0, len(text)
    return start, end


def _item(value: Any) -> Any:
    """A value as it is written after its key, on one line."""
    if isinstance(value, list) and any(isinstance(one, dict) for one in value):
        tables = tomlkit.array()
        tables.extend(map(_item, value))
        return tables
    found = tomlkit.item(value)
    if isinstance(found, Table):
        found = tomlkit.inline_table()
        found.update(value)
    return found


def toml_value(value: Any) -> str:
    """A value as TOML writes it."""
    return str(_item(value).as_string())


def _body(table: Any) -> list[Any]:
    """The lines of a table, between which others can be put; none where the table has no lines of its own."""
    if isinstance(table, tomlkit.TOMLDocument):
        return table.body
    return table.value.body if isinstance(table, Table) else []


def _place(body: list[Any], name: str) -> int:
    """Where a key goes: below the comment that shows it, as in a starter recipe, or else below the last key. Anything
    further down belongs to the next table."""
    shown = re.compile(rf"#\s*{re.escape(name)}\s*=")
    place = 0
    for number, (key, item) in enumerate(body):
        if isinstance(item, Comment) and shown.match(item.as_string().strip()):
            return number + 1
        if key is not None and not isinstance(item, Table):
            place = number + 1
    return place
