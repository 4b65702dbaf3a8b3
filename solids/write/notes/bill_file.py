"""The bill of materials as CSV (RFC 4180): a header, a line for each kind of part and of hardware, and the sum; UTF-8,
decimal points, sizes in mm and in inches, masses in kg and in pounds."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.base.masses import LB
from solids.base.safe_text import csv_table
from solids.bench.materials import Item

SIZES = ("length", "width", "thickness")
HEADS = (
    "part",
    "quantity",
    "material",
    *(f"{size}_mm" for size in SIZES),
    *(f"{size}_in" for size in SIZES),
    "each_kg",
    "all_kg",
    "all_lb",
    "note",
)


def csv_bytes(items: Sequence[Item]) -> bytes:
    """The file; its last line holds the mass of all."""
    whole = sum(item.all_kg for item in items)
    blank = [""] * (len(HEADS) - 4)
    return csv_table([HEADS, *map(_cells, items), ["all", *blank, _mass(whole), _mass(whole / LB), ""]])


def _mass(value: float) -> str:
    return f"{value:.4f}"


def _cells(item: Item) -> list[str]:
    size = item.size or ()
    mass = [_mass(item.mass_kg), _mass(item.all_kg), _mass(item.all_kg / LB)] if item.mass_kg is not None else [""] * 3
    return [
        " and ".join(item.names),
        str(item.count),
        item.wood,
        *([f"{mm:.2f}" for mm in size] or [""] * 3),
        *([f"{mm / 25.4:.3f}" for mm in size] or [""] * 3),
        *mass,
        item.note,
    ]


def reread(path: Path, items: Sequence[Item]) -> None:
    """ReadBackError unless every line on disk has every column, and the parts are the right ones."""
    with path.open(encoding="utf-8", newline="") as file:
        found = list(csv.reader(file))
    names = [row[0] for row in found[1:-1]]
    if any(len(row) != len(HEADS) for row in found) or names != [" and ".join(item.names) for item in items]:
        raise ReadBackError(f"{path.name} does not read back as the bill of materials")
