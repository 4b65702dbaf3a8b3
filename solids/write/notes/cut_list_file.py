"""The cut list as CSV (RFC 4180): a header, one row for each board, UTF-8, decimal points, sizes in mm and in
inches."""

from __future__ import annotations

import csv
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.base.safe_text import csv_table
from solids.layout.box.cut_list import CutListRow

DECIMALS_MM, DECIMALS_INCH, DECIMALS_FEET = 2, 3, 3
SIZES = ("length", "width", "thickness")
STATES = ("rough", "saw_to", "finished")
HEADS = (
    "board",
    "wood",
    *(f"{state}_{size}_{unit}" for unit in ("mm", "in") for state in STATES for size in SIZES),
    "rough_volume_m3",
    "rough_board_feet",
    "grain",
    "mark",
)


def csv_bytes(rows: tuple[CutListRow, ...]) -> bytes:
    """The file; its last row holds the totals."""
    blank = [""] * (len(HEADS) - 5)
    volume, feet = sum(row.volume for row in rows), sum(row.board_feet for row in rows)
    whole = ["all", *blank, f"{volume / 1e9:.6f}", f"{feet:.{DECIMALS_FEET}f}", "", ""]
    return csv_table([HEADS, *(_cells(row) for row in rows), whole])


def _cells(row: CutListRow) -> list[str]:
    sizes = [*row.rough, *row.saw_to, *row.finished]
    return [
        row.name,
        row.wood,
        *(f"{size:.{DECIMALS_MM}f}" for size in sizes),
        *(f"{size / 25.4:.{DECIMALS_INCH}f}" for size in sizes),
        f"{row.volume / 1e9:.6f}",
        f"{row.board_feet:.{DECIMALS_FEET}f}",
        row.grain,
        row.mark,
    ]


def reread(path: Path, rows: tuple[CutListRow, ...]) -> None:
    """ReadBackError unless every row on disk has every column, and the boards are the right ones."""
    with path.open(encoding="utf-8", newline="") as file:
        found = list(csv.reader(file))
    names = [row[0] for row in found[1:-1]]
    if any(len(row) != len(HEADS) for row in found) or names != [row.name for row in rows]:
        raise ReadBackError(f"{path.name} does not read back as the cut list")
