"""Writes what was chosen into the text of a recipe, and keeps every comment, blank line and word of the maker.

tomlkit makes the changes, as it keeps the style of a TOML document. The text is then read back, and is not handed out
unless it gives the very joint it was made from.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import Comment, InlineTable, Table

from solids.base.errors import FaultError
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.resolved import Recipe
from solids.recipe.text.frozen import Added, added
from solids.recipe.text.reading import check_box, check_recipe, is_box
from solids.recipe.text.texts import is_report, source_text
from solids.recipe.text.toml import Raw

FROM_REPORT = "# The recipe of {title}, as its report holds it. Nothing is left to choose.\n\n"


def resolved(tables: Raw) -> Recipe | BoxRecipe:
    """The corner or the box in parsed tables."""
    return check_box(tables) if is_box(tables) else check_recipe(tables)


def frozen_text(source: str | Path, recipe: Recipe | BoxRecipe) -> str:
    """The recipe's text with nothing left to choose; unchanged where nothing was. FaultError if it is another joint."""
    head = FROM_REPORT.format(title=recipe.title) if is_report(source) else ""
    text = head + with_added(source_text(source), added(recipe))
    _check(text, recipe)
    return text


def with_added(text: str, items: tuple[Added, ...]) -> str:
    """A TOML text with keys added, each followed by its reason. Keys of existing tables are added first, as new tables
    go to the end."""
    if not items:
        return text
    newline = "\r\n" if "\r\n" in text else "\n"
    found = text.replace("\r\n", "\n")
    found += "" if found.endswith("\n") or not found else "\n"
    tables = tomllib.loads(found)
    for item in sorted(items, key=lambda item: _is_new(tables, item.key)):
        found = _with(found, item)
    return found.replace("\n", newline)


def _is_new(tables: Raw, key: str) -> bool:
    """Whether the table of a key does not exist yet."""
    for part in key.split(".")[:-1]:
        if part not in tables:
            return True
        tables = tables[part]
    return False


def _with(text: str, item: Added) -> str:
    """A text with one key added. It is parsed again for each, as tomlkit's tables lose track of what moves in them."""
    document = tomlkit.parse(text)
    table: Any = document
    *path, name = item.key.split(".")
    for part in path:
        if part not in table and isinstance(table, InlineTable):
            table[part] = tomlkit.inline_table()
        elif part not in table:
            return _with(f"{text}\n[{'.'.join(path)}]\n", item)
        table = table[part]
    value = _item(item.value)
    if not isinstance(table, InlineTable):
        before = table[name].trivia.comment.lstrip("# ") if name in table else ""
        value.comment(f"{before}; {item.why}" if before else item.why)
    body = _body(table)
    place = _place(body, name)
    below = body[place:]
    del body[place:]
    table[name] = value
    body += below
    return tomlkit.dumps(document)


def _item(value: Any) -> Any:
    """A value as it is written after its key, on one line."""
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


def _check(text: str, recipe: Recipe | BoxRecipe) -> None:
    """Raises FaultError if a frozen text leaves something to choose, or is another joint."""
    tables = tomllib.loads(text)
    again = resolved(tables)
    if added(again) or _bare(again) != _bare(recipe) or _told_woods(again) != _told_woods(recipe):
        raise FaultError("the frozen recipe does not read back as the joint it was made from; nothing was written")


def _bare(recipe: Recipe | BoxRecipe) -> Recipe | BoxRecipe:
    """The joint itself, without how the recipe came to it: what was chosen, and under which keys it was written."""
    if isinstance(recipe, Recipe):
        return replace(recipe, choices=())
    corners = {name: replace(corner, choices=()) for name, corner in recipe.corners.items()}
    return replace(recipe, choices=(), corners=corners, written={})


def _told_woods(recipe: Recipe | BoxRecipe) -> list[str]:
    """The woods as people are told them. Of two equal woods one may be assumed and the other not."""
    if isinstance(recipe, Recipe):
        return [recipe.tail_board.wood.told, recipe.pin_board.wood.told]
    return [recipe.panel.wood.told, *(told for corner in recipe.corners.values() for told in _told_woods(corner))]
