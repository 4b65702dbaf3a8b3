"""The cut list as CSV (RFC 4180): a header, one row for each board, UTF-8, decimal points, sizes in mm and in inches.
A sheet has an area where a board has a volume and board feet."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.base.safe_text import csv_table
from solids.layout.box.cut_list import SQUARE_FOOT, SQUARE_METRE
from solids.layout.box.rows import CutListRow

DECIMALS_MM, DECIMALS_INCH, DECIMALS_FEET = 2, 3, 3
SIZES = ("length", "width", "thickness")
STATES = ("rough", "saw_to", "finished")
HEADS = (
    "board",
    "wood",
    *(f"{state}_{size}_{unit}" for unit in ("mm", "in") for state in STATES for size in SIZES),
    "rough_volume_m3",
    "rough_board_feet",
    "board_feet_to_buy",
    "sheet_m2",
    "sheet_sq_ft",
    "grain",
    "mark",
)


def csv_bytes(rows: tuple[CutListRow, ...]) -> bytes:
    """The file; its last row holds the totals."""
    amounts = _amounts(rows)
    blank = [""] * (len(HEADS) - len(amounts) - 3)
    return csv_table([HEADS, *(_cells(row) for row in rows), ["all", *blank, *amounts, "", ""]])


def _amounts(rows: Sequence[CutListRow]) -> list[str]:
    """How much wood that is, and how much sheet; empty cells for what there is none of."""
    volume, net, bought, area = (
        sum(amounts)
        for amounts in zip(*((row.volume, row.board_feet, row.to_buy, row.sheet_area) for row in rows), strict=True)
    )
    feet = [f"{volume / 1e9:.6f}", *(f"{each:.{DECIMALS_FEET}f}" for each in (net, bought))] if net else [""] * 3
    sheet = [f"{area / SQUARE_METRE:.4f}", f"{area / SQUARE_FOOT:.{DECIMALS_FEET}f}"] if area else [""] * 2
    return [*feet, *sheet]


def _cells(row: CutListRow) -> list[str]:
    sizes = [*row.rough, *row.saw_to, *row.finished]
    return [
        row.name,
        row.stock,
        *(f"{size:.{DECIMALS_MM}f}" for size in sizes),
        *(f"{size / 25.4:.{DECIMALS_INCH}f}" for size in sizes),
        *_amounts([row]),
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
