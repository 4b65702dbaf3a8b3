"""Which files a piece has, row by row of the table (`named.py`). No kernel."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from solids.layout.assembly import Assembly
from solids.layout.box.alike import fitted_alike
from solids.layout.box.kinds import and_so_on
from solids.write.named import DIVIDERS, PIECES, ROWS, File, Group, Made, Row, in_piece

JobOf = Callable[[Row], tuple[Made, object]]
"""How the file of a row is made and read back, and from which job."""


def rows_of(assembly: Assembly, group: Group) -> list[Row]:
    """The rows of a group that a piece has, in the order of the table."""
    rows = [row for row in ROWS if group in (row.group, row.also) and assembly.name in row.of]
    return [row for row in rows if assembly.recipe.rack.boards or not row.of_rack]


def listed(assembly: Assembly, rows: Iterable[Row], job_of: JobOf) -> list[File]:
    """The files of some rows. Those of joints come joint by joint."""
    found: list[File] = []
    for scope, run in itertools.groupby(rows, key=lambda row: row.scope):
        each = list(run)
        if scope == "piece":
            found += [file_of(row, assembly, job_of) for row in each]
        elif scope == "board":
            boards = _with_files(assembly)
            found += [
                _of_board(file_of(row, assembly, job_of, board.part), board)
                for row in each
                for board in boards
                if board.name not in row.without
            ]
        else:
            found += [in_piece(file_of(row, assembly, job_of, kind), kind) for kind in assembly.kinds for row in each]
    return found


def file_of(row: Row, assembly: Assembly, job_of: JobOf, *of: object) -> File:
    """The file of a row, `of` a board by its name, or of a kind of joint."""
    (make, reread), job = job_of(row)
    cautions = row.cautions or PIECES[assembly.name].note
    return File(row.name, row.holds, lambda: make(job, *of), lambda path: reread(path, job, *of), cautions)


@dataclass(frozen=True)
class _Board:
    """A part with files of its own: what they call it, how they speak of it, and the parts that share them."""

    part: str
    name: str
    words: str
    others: tuple[str, ...] = ()


def _of_board(file: File, board: _Board) -> File:
    more = f"; the same for {and_so_on(board.others)}" if board.others else ""
    return replace(file, name=file.name.format(board=board.name), holds=file.holds.format(board=board.words) + more)


def _with_files(assembly: Assembly) -> list[_Board]:
    there = {part.replace(" ", "-"): part for part in assembly.parts}
    first = {part: alike for part, (alike, _) in fitted_alike(assembly.box).items()} if assembly.box else {}
    found = []
    for name in (name for name in PIECES[assembly.name].boards if name in there):
        part = there[name]
        if name not in DIVIDERS:
            found.append(_Board(part, name, f"the {part}"))
        elif first[part] == part:
            others = tuple(other for other, alike in first.items() if alike == part and other != part)
            found.append(_Board(part, name, part, others))
    return found
