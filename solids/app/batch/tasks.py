"""The tasks of a run, one per joint: from a folder of recipes, or a table with a base recipe, multiplied by any grids.

A table is CSV (RFC 4180) in UTF-8, with commas between cells and decimal points in numbers.
"""

from __future__ import annotations

import csv
import hashlib
import itertools
import json
import math
import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic_core import PydanticCustomError

from solids import __version__
from solids.base import tolerances as tol
from solids.base.errors import FileError, InputError, Problem
from solids.base.likeness import likest
from solids.base.safe_text import printable
from solids.layout.assembly import PieceName
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.fields import Title
from solids.recipe.tables.resolved import slug
from solids.recipe.tables.schema import is_key
from solids.recipe.text.nearest_keys import keys_meant
from solids.recipe.text.texts import source_text
from solids.recipe.text.toml import Raw, apply_override, parse_toml
from solids.write.named import GROUPS, NAMED, pieces_with

BASE = "-"
"""A cell that keeps the base recipe's value."""

DECIMAL_COMMA = re.compile(r"\s*-?\d+,\d+\s*(mm|in)?\s*")
MOST_JOINTS = 100_000
"""The recipes of a run are held in memory, some 3 KB per joint. Larger work must be split into several runs."""

LARGEST_TABLE = 64 * 1024 * 1024
"""In bytes. All keys of a recipe together take fewer than 600 bytes per row."""

TOO_MANY = f"a run takes at most {MOST_JOINTS} joints; split it into several tables, each with its own --out"


@dataclass(frozen=True)
class Task:
    """One joint to make. `origin` is where its recipe comes from, `tables` are the recipe's tables as JSON. Of the file
    groups in `groups`, only the named `files` (or groups) are written. `wrong` says why the task cannot be done; it is
    empty if it can. `shop` are the maker's own settings as JSON, the same for all tasks of a run; empty if there are
    none."""

    origin: str
    title: str
    tables: str
    groups: tuple[str, ...]
    files: tuple[str, ...]
    wrong: str = ""
    shop: str = ""

    @property
    def slug(self) -> str:
        """The name of the folder for its files."""
        return slug(self.title)

    @property
    def key(self) -> str:
        """A hash of everything its files depend on: the recipe, the shop, our version, and what is written."""
        shop = (self.shop,) if self.shop else ()
        return hashlib.sha256("\n".join((self.tables, *shop, __version__, *sorted(self.files))).encode()).hexdigest()


def tasks_from(
    source: str,
    base: str,
    overrides: Sequence[str],
    grids: Sequence[str],
    files: Sequence[str],
    shop: Shop = NO_SHOP,
) -> list[Task]:
    """All tasks of a run, in order. InputError if the source or an option is wrong; an error in a single row is kept in
    that row's task."""
    path = Path(source)
    choices = _parse_grids(grids)
    each = math.prod(len(values) for _, values in choices)
    if path.is_dir():
        rows = _folder_rows(path, overrides)
    elif path.is_file():
        _refuse_a_huge_table(path, MOST_JOINTS // each)
        rows = _table_rows(path, base, overrides)
    else:
        raise InputError(f"{source!r} is neither a folder of recipes nor a table (CSV)")
    tasks: list[Task] = []
    for row in rows:
        if len(tasks) + each > MOST_JOINTS:
            raise InputError(TOO_MANY)
        tasks += _tasks_of(row, choices, tuple(files))
    settings = json.dumps(shop.tables, sort_keys=True) if shop.tables else ""
    return [replace(task, shop=settings) for task in _refuse_repeated_titles(list(_limit_files(tasks)))]


@dataclass(frozen=True)
class _Row:
    """One recipe of a run, perhaps with errors. Its origin is safe to print."""

    origin: str
    raw: Raw
    wrong: str = ""


def groups_of(files: Sequence[str]) -> tuple[str, ...]:
    """The groups of some files or groups. InputError for an unknown name, with the nearest known one."""
    aliases = {alias: rows for name, rows in NAMED.items() for alias in (name, name.rpartition("/")[2])}
    known = {name: rows[0].group for name, rows in aliases.items()} | dict(zip(GROUPS, GROUPS, strict=True))
    for name in files:
        if name not in known:
            raise InputError(f"--files: {name[:40]!r} is not known; {_named_like(name, known)}")
    return tuple(dict.fromkeys(known[name] for name in files))


def _named_like(name: str, known: Collection[str]) -> str:
    """The nearest group or file if one is near, and all the groups: files are too many to name."""
    near = likest(name, known)
    groups = f"groups are: {', '.join(GROUPS)}"
    return f"the nearest is {near[0]}; {groups}" if near else f"{groups}; or name a file, as in corner.step"


def _limit_files(tasks: Sequence[Task]) -> Iterator[Task]:
    """Limits each task to the files that its kind of piece can have. InputError if a file fits no joint of the run. A
    joint is refused if none of the files fits it."""
    kinds: dict[str, PieceName] = {task.origin: "box" if "box" in tables_of(task) else "corner" for task in tasks}
    there = {kinds[task.origin] for task in tasks if not task.wrong}
    for task in tasks:
        kind = kinds[task.origin]
        strange = [name for name in task.files if kind not in pieces_with(name)]
        if not strange or task.wrong:
            yield task
            continue
        what = "a box" if kind == "box" else "a single corner"
        if lost := [name for name in strange if not pieces_with(name) & there]:
            raise InputError(f"--files: {what} has no {' and no '.join(lost)}; leave it out")
        files = tuple(name for name in task.files if name not in strange)
        wrong = "" if files else f"{what} has no {' and no '.join(strange)}"
        yield replace(task, files=files, groups=groups_of(files), wrong=wrong)


# --- a folder ------------------------------------------------------------------------------------


def _folder_rows(path: Path, overrides: Sequence[str]) -> Iterator[_Row]:
    """The recipes of a folder, sorted by file name."""
    files = sorted(item for item in path.iterdir() if item.suffix == ".toml")
    if not files:
        raise InputError(f"{path} holds no recipe; a recipe is a file whose name ends in .toml")
    for file in files:
        origin = printable(file.name)
        try:
            raw = parse_toml(source_text(file), origin)
        except (InputError, FileError) as err:
            yield _Row(origin, {"title": file.stem}, str(err))
            continue
        raw.setdefault("title", file.stem)
        yield _Row(origin, raw, _apply_overrides(raw, overrides))


def _apply_overrides(raw: Raw, overrides: Iterable[str]) -> str:
    """Applies overrides to a recipe. Returns what is wrong with them; empty if nothing is."""
    problems = [problem for item in overrides if (problem := apply_override(raw, item))]
    return "; ".join(str(problem) for problem in problems)


# --- a table -------------------------------------------------------------------------------------


def _table_rows(path: Path, base: str, overrides: Sequence[str]) -> Iterator[_Row]:
    """The rows of a table, each applied to the base recipe. Blank rows count too, as in a spreadsheet."""
    count = 0
    for number, cells in enumerate(_cells_of(path), start=1):
        if number == 1:
            heads = [head.strip() for head in cells]
            _check_heads(path.name, heads)
            tables = parse_toml(source_text(base), base)
            title = str(tables.get("title", "joint"))
        elif any(cell.strip() for cell in cells):
            count += 1
            yield _row(f"{printable(path.name)}, row {number}", heads, cells, tables, f"{title} {count}", overrides)
    if not count:
        raise InputError(f"{path.name} has no rows below its heads")


def _cells_of(path: Path) -> Iterator[list[str]]:
    """The cells of each record. An empty file has one record without cells."""
    first: list[list[str]] = [[]]
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = csv.reader(file, strict=True)
            try:
                for cells in lines:
                    first.clear()
                    yield cells
            except csv.Error as err:
                raise InputError(f"{path.name}, line {lines.line_num}: not CSV: {err}") from None
    except UnicodeDecodeError:
        raise InputError(f"{path.name} is not UTF-8 text; save the table as CSV in UTF-8") from None
    except OSError as err:
        raise FileError(f"{path} cannot be read: {err.strerror or err}") from None
    yield from first


def _refuse_a_huge_table(path: Path, most: int) -> None:
    """InputError if a table has more rows than a run takes, before any row is read."""
    try:
        if path.stat().st_size > LARGEST_TABLE:
            raise InputError(f"{path.name} is over {LARGEST_TABLE // 1024**2} MB; {TOO_MANY}")
        with path.open("rb") as file:
            if sum(1 for line in itertools.islice(file, 2 * most + 2) if line.strip(b", \t\r\n")) > most + 1:
                raise InputError(TOO_MANY)
    except OSError as err:
        raise FileError(f"{path} cannot be read: {err.strerror or err}") from None


def _check_heads(name: str, heads: Sequence[str]) -> None:
    if not any(heads):
        raise InputError(f"{name} is empty; its first line names recipe keys, as in title,joint.width,joint.tails")
    if len(heads) == 1 and ";" in heads[0]:
        raise InputError(f"{name} has semicolons between its cells; save it with commas, and with decimal points")
    for number, head in enumerate(heads, start=1):
        if not is_key(head):
            raise InputError(f"{name}, column {number}: {head[:80]!r} is not a key of a recipe; {keys_meant(head)}")
    twice = next((head for head in heads if heads.count(head) > 1), None)
    if twice:
        raise InputError(f"{name}: the column {twice} appears twice")


def _row(
    origin: str, heads: Sequence[str], cells: Sequence[str], tables: Raw, title: str, overrides: Sequence[str]
) -> _Row:
    raw: Raw = json.loads(json.dumps(tables))
    raw["title"] = title
    wrong: list[str] = []
    if len(cells) != len(heads):
        missing = f", {heads[len(cells)]} is missing" if len(cells) < len(heads) else ""
        wrong.append(f"it has {len(cells)} cells under {len(heads)} heads{missing}")
    for head, cell in zip(heads, cells, strict=False):
        if problem := _apply_cell(raw, head, cell.strip()):
            wrong.append(f"column {head}: {problem}")
    if problem := _apply_overrides(raw, overrides):
        wrong.append(problem)
    return _Row(origin, raw, "; ".join(wrong))


def _apply_cell(raw: Raw, key: str, cell: str) -> str:
    """Applies one cell to a recipe. Returns what is wrong with it; empty if nothing is."""
    if cell == BASE:
        return ""
    if not cell:
        return f'is empty; write a value, or "{BASE}" to keep the base recipe\'s'
    if DECIMAL_COMMA.fullmatch(cell):
        return f"{cell!r} has a decimal comma; write a point"
    if key == "title":
        raw["title"] = cell
        return ""
    found: Problem | None = apply_override(raw, f"{key}={cell}")
    return str(found.told()) if found else ""


# --- grids and names -----------------------------------------------------------------------------


def _parse_grid(text: str) -> tuple[str, list[str]]:
    """ "joint.tails=3,4,5" as a key and its values."""
    key, equals, values = text.partition("=")
    key, found = key.strip(), [value.strip() for value in values.split(",")]
    if not equals or not all(found):
        raise InputError(f"--grid {text[:60]!r} is not KEY=VALUE,VALUE; write it as in --grid joint.tails=3,4,5")
    if key == "title":
        raise InputError("--grid: 'title' is not a key that a grid can vary; it names each joint by its values")
    if not is_key(key):
        raise InputError(f"--grid: {key[:60]!r} is not a key that a grid can vary; {keys_meant(key)}")
    return key, found


def _parse_grids(grids: Sequence[str]) -> list[tuple[str, list[str]]]:
    """The keys and values of all --grid options. InputError if a key appears twice."""
    found = [_parse_grid(text) for text in grids]
    keys = [key for key, _ in found]
    twice = next((key for key in keys if keys.count(key) > 1), None)
    if twice:
        raise InputError(f"--grid: {twice} appears twice; give all its values in one, as in --grid {twice}=A,B,C")
    return found


def _tasks_of(row: _Row, choices: Sequence[tuple[str, list[str]]], files: tuple[str, ...]) -> Iterator[Task]:
    """One task for each combination of grid values. A recipe that JSON cannot hold is marked as wrong."""
    name, problem = _title_of(row.raw)
    faults = [fault for fault in (row.wrong, problem) if fault]
    try:
        plain = json.dumps(row.raw, default=str)
    except (ValueError, TypeError, RecursionError):  # a number of ten thousand digits
        plain, faults = "{}", faults or ["holds a value that a recipe cannot have"]
    keys = [key for key, _ in choices]
    for values in itertools.product(*(values for _, values in choices)):
        raw: Raw = json.loads(plain)
        wrong = list(faults)
        for key, value in zip(keys, values, strict=True):
            if problem := _apply_cell(raw, key, value):
                wrong.append(f"--grid {key}: {problem}")
        parts = [f"{key.rpartition('.')[2].replace('_', ' ')} {value}" for key, value in zip(keys, values, strict=True)]
        title = ", ".join([name, *parts])
        raw["title"] = title
        if len(title) > tol.TITLE_LONGEST and not wrong:
            wrong.append(f"its title would be {len(title)} characters long; {tol.TITLE_LONGEST} is the most")
        origin = ", ".join([row.origin, *parts])
        yield Task(
            origin, title, json.dumps(raw, sort_keys=True, default=str), groups_of(files), files, "; ".join(wrong)
        )


def _title_of(raw: Raw) -> tuple[str, str]:
    """The title of a recipe, and what is wrong with it, in the words of `halfpin check`."""
    given = raw.get("title", "joint")
    try:
        return str(Title().read(given, "mm")), ""
    except PydanticCustomError as err:
        told = err.context or {}
        problem = Problem("title", told["wrong"], told["remedy"])
        return printable(str(given))[: tol.TITLE_LONGEST], str(problem.told())


def _refuse_repeated_titles(tasks: Sequence[Task]) -> Iterator[Task]:
    """Refuses tasks whose title gives the folder of an earlier task. A refused task takes up no folder."""
    first: dict[str, str] = {}
    for task in tasks:
        earlier = task.origin if task.wrong else first.setdefault(task.slug, task.origin)
        if earlier != task.origin:
            words = f"its title {task.title!r} gives the same folder as {earlier}; give another title"
            yield replace(task, wrong=words)
        else:
            yield task


def tables_of(task: Task) -> dict[str, Any]:
    """The tables of a task's recipe."""
    found: dict[str, Any] = json.loads(task.tables)
    return found
