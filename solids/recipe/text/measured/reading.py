"""Reads a table of marks: CSV (RFC 4180) in UTF-8. Lines of a key and its value, then the heads `outer,baseline`, then
a row for each flank. Lengths are written as in a recipe."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, cast

from pydantic_core import PydanticCustomError

from solids.base import tolerances as tol
from solids.base.errors import FileError, InputError, Problem, RecipeError
from solids.base.likeness import hint_of
from solids.base.messages import Units
from solids.base.parsing import unit_written
from solids.base.safe_text import printable
from solids.recipe.tables.box_schema import THICKNESS, WIDTH
from solids.recipe.tables.fields import Length, OneOf, Rule, Title
from solids.recipe.text.measured.marks import FACE, HALF_PIN, HALF_TAIL, RAW_END, Mark, Marks
from solids.recipe.text.texts import text_of

HEADS = ("outer", "baseline")
EDGE = OneOf((HALF_PIN, HALF_TAIL))
KEYS: Mapping[str, Rule] = {
    "title": Title(),
    "units": OneOf(("mm", "in")),
    "taken from": OneOf(("tails", "pins")),
    "outer marks at": OneOf((FACE, RAW_END)),
    "proud": Length(tol.LEAST_STEP, 50.0, zero=True),
    "width": WIDTH,
    "tail board": THICKNESS,
    "pin board": THICKNESS,
    "lap": Length(tol.LEAST_FEATURE),
    "reference edge": EDGE,
    "other edge": EDGE,
}
"""The keys above the heads, and what each holds. Both boards are told by their thickness."""

NEEDED = ("units", "taken from", "outer marks at", "width", "tail board", "pin board")
MARK = Length(0.0)

WHAT = "table of marks"
Rows = Sequence[tuple[int, Sequence[str]]]
"""Rows by their numbers, as a spreadsheet shows them, with their cells."""


def marks_in(path: Path) -> Marks:
    """The marks in a file. FileError where it cannot be read, and what `read_marks` raises."""
    try:
        text = text_of(path, what=WHAT, kind="CSV")
    except FileNotFoundError:
        raise FileError(f"{path} does not exist; give a {WHAT} (CSV)") from None
    return read_marks(text, path.name)


def read_marks(text: str, name: str) -> Marks:
    """The marks in a text, which messages call `name`. RecipeError with all that is wrong with its keys and rows."""
    name = printable(name)
    rows = list(_rows(text, name))
    heads = next((place for place, (_, cells) in enumerate(rows) if tuple(map(str.lower, cells)) == HEADS), None)
    if heads is None:
        raise InputError(f"{name} has no line {','.join(HEADS)}; write it above the rows, one row for each flank")
    above, below = rows[:heads], rows[heads + 1 :]
    problems: list[Problem] = []
    values = _values(above, name, problems)
    units: Units = values.get("units") or "mm"
    marks = _marks(below, name, units, problems)
    problems += [] if problems else _at_odds(values, name)
    if problems:
        raise RecipeError(problems, units)
    return Marks(
        name=name,
        title=values.get("title"),
        units=units,
        board=values["taken from"],
        proud=values.get("proud"),
        width=values["width"],
        tail_board=values["tail board"],
        pin_board=values["pin board"],
        lap=values.get("lap"),
        edges=(values.get("reference edge"), values.get("other edge")),
        marks=marks,
    )


def _rows(text: str, name: str) -> Iterator[tuple[int, list[str]]]:
    """Every row that is not blank. Cells behind the last that holds anything are left out."""
    reader = csv.reader(text.splitlines(keepends=True), strict=True)
    try:
        for number, line in enumerate(reader, start=1):
            cells = [cell.strip() for cell in line]
            while cells and not cells[-1]:
                cells.pop()
            if len(cells) == 1 and ";" in cells[0]:
                raise InputError(f"{name}, row {number}: semicolons stand between the cells; save it with commas")
            if cells:
                yield number, cells
    except csv.Error as err:
        raise InputError(f"{name}, line {reader.line_num}: not CSV: {err}") from None


# --- the keys --------------------------------------------------------------------------------------


def _values(rows: Rows, name: str, problems: list[Problem]) -> dict[str, Any]:
    """The values of all keys. What is wrong with them is added to `problems`."""
    seen: set[str] = set()
    given: dict[str, str] = {}
    for number, (head, *cells) in rows:
        where, key = f"{name}, row {number}", head.lower()
        if key not in KEYS:
            problems.append(Problem(where, f"{head[:40]!r} is not known", hint_of(head, KEYS)))
        elif key in seen:
            problems.append(Problem(where, f"{key} is there twice", "leave one out"))
        elif len(cells) != 1:
            remedy = f'write one, as in "{key},VALUE"; decimals stand after a point'
            problems.append(Problem(where, f"{key} has {len(cells)} values", remedy))
        else:
            given[key] = cells[0]
        seen.add(key)
    problems += [Problem(name, f"{key} is missing", WAYS[key]) for key in NEEDED if key not in seen]
    values: dict[str, Any] = {}
    for key, rule in KEYS.items():  # the units come before all lengths
        if key in given:
            units = cast("Units", values.get("units") or "mm")
            values[key] = _read(rule, given[key], units, f"{name}, {key}", problems)
    return values


WAYS = {
    "units": 'write "units,mm" or "units,in"',
    "taken from": 'write "taken from,tails" or "taken from,pins"',
    "outer marks at": f'write "outer marks at,{FACE}" or "outer marks at,{RAW_END}"',
    "width": 'write the width of the joint, as in "width,96"',
    "tail board": 'write its thickness, as in "tail board,10"',
    "pin board": 'write its thickness, as in "pin board,12"',
}
"""How each key that is needed is written."""


def _read(rule: Rule, value: str, units: Units, where: str, problems: list[Problem]) -> Any:
    """What a rule reads; None where it refuses, which is then told."""
    try:
        return rule.read(value, units)
    except PydanticCustomError as err:
        told = err.context or {}
        problems.append(Problem(where, told["wrong"], told["remedy"]))
        return None


def _at_odds(values: Mapping[str, Any], name: str) -> Iterator[Problem]:
    """Keys that do not go together."""
    lap, proud, where = values.get("lap"), values.get("proud"), f"{name}, outer marks at"
    if lap is not None and lap > values["pin board"] - tol.LEAST_FEATURE + tol.ROUNDING:
        yield Problem(f"{name}, lap", "it leaves no depth in the pin board", "give the wood left in front of the tails")
    if values["outer marks at"] == FACE:
        if proud is not None:
            yield Problem(f"{name}, proud", f'it has no effect at the "{FACE}"', f'leave it out, or write "{RAW_END}"')
        return
    if values["taken from"] == "pins":
        wrong = "the flanks of pins run square to their raw end, so it gives nothing to measure by"
        yield Problem(where, wrong, f'mark them at the show face, and write "{FACE}"')
    elif lap is not None:
        yield Problem(where, "behind a lap no end of a tail stands proud", f'write "{FACE}": it is at their ends')
    elif proud is None:
        remedy = 'write "proud,0.5", or 0 where it is planed flush'
        yield Problem(name, "proud is missing: how far the raw end stands past the finished face", remedy)


# --- the marks -------------------------------------------------------------------------------------


def _marks(rows: Rows, name: str, units: Units, problems: list[Problem]) -> tuple[Mark, ...]:
    """A mark for each row. What is wrong with them is added to `problems`."""
    found: list[Mark] = []
    if not 1 <= len(rows) <= 2 * tol.MOST_TAILS:
        remedy = f"accepted are the flanks of up to {tol.MOST_TAILS} tails, each in a row of its own"
        problems.append(Problem(name, f"there are {len(rows)} rows of marks", remedy))
        return ()
    for number, cells in rows:
        where = f"{name}, row {number}"
        if len(cells) != len(HEADS):
            remedy = "a row has two: the distance at the outer plane, and at the baseline; decimals stand after a point"
            problems.append(Problem(where, f"it has {len(cells)} cells", remedy))
            continue
        outer, base = (_read(MARK, cell, units, where, problems) for cell in cells)
        if outer is not None and base is not None:
            found.append(Mark(outer, base, number, (cells[0], cells[1])))
    problems += _mixed_units(found, name, units)
    return tuple(found)


def _mixed_units(marks: Sequence[Mark], name: str, units: Units) -> Iterator[Problem]:
    """A plain number is in the table's own units, and 0 is the same in all."""
    rows: dict[str, list[int]] = {"mm": [], "in": []}
    for mark in marks:
        for cell in (cell for cell, mm in zip(mark.typed, (mark.outer, mark.base), strict=True) if mm):
            rows[unit_written(cell) or units].append(mark.row)
    if all(rows.values()):
        told = [f"row{'s' * (len(some) > 1)} {', '.join(map(str, some))}" for some in map(_once, rows.values())]
        yield Problem(
            f"{name}, marks",
            f"some are in mm ({told[0]}), some in inches ({told[1]}); a plain number is in {units}",
            "write all marks in one unit: half of them are likely misread otherwise",
        )


def _once(rows: Sequence[int]) -> list[int]:
    return sorted(set(rows))
