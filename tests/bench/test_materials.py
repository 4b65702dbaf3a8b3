"""The bill of materials: every part once, alike ones together, with the mass that volume and density give."""

from __future__ import annotations

import csv
import io

import pytest

from solids.base.masses import LB, told_mass
from solids.bench.buying import wood_rows
from solids.bench.materials import bill_of_materials, weight_kg
from solids.layout.assembly import assembly_of
from solids.layout.boards import boards_of
from solids.layout.plan import plan
from solids.write.notes.bill_file import HEADS, csv_bytes
from tests.boxes import CASES as BOX_CASES
from tests.boxes import box_case
from tests.corners import layout_of


def test_a_corner_by_hand() -> None:
    """The tool tray: boards 96 mm wide and 120 mm long. Planed flush, each tail is 12 w - 12^2/7 in area, 10 mm thick.
    Cherry and maple by their densities in the table of woods."""
    layout = layout_of("tool-tray")
    tails, pins = bill_of_materials(assembly_of(layout))
    area = sum(12 * tail.width - 144 / 7 for tail in layout.tails)
    volume = 10 * (96 * 120 + area)
    recipe = layout.recipe
    assert (tails.names, tails.count, tails.size) == (("tail board",), 1, (132.0, 96.0, 10.0))
    assert tails.mass_kg == pytest.approx(volume * 1e-9 * recipe.tail_board.wood.density, rel=1e-12)
    left = 12 * 96 * 120 + 10 * (12 * 96 - area)
    assert pins.mass_kg == pytest.approx(left * 1e-9 * recipe.pin_board.wood.density, rel=1e-12)


@pytest.mark.parametrize("name", BOX_CASES)
def test_every_part_of_a_box_is_there_once_and_weighs_what_it_holds(name: str) -> None:
    proof = box_case(name).proof
    items = bill_of_materials(proof.assembly)
    parts = [part for item in items if item.mass_kg is not None for part in item.names]
    assert sorted(parts) == sorted(part.name for part in proof.finished)
    by_solid = sum(
        proof.assembly.volume(part.name, finished=True) * part.wood.density_g_cm3 / 1e6 for part in proof.finished
    )
    assert weight_kg(proof.assembly) == pytest.approx(by_solid, rel=1e-9)
    assert all(item.count == len(item.names) for item in items if item.mass_kg is not None)


def test_alike_boards_stand_on_one_line_and_screws_on_the_last() -> None:
    drawer = bill_of_materials(box_case("drawer").proof.assembly)
    assert ("right", "left") in [item.names for item in drawer]
    assert drawer[-1].names == ("thin screw",)
    assert drawer[-1].mass_kg is None
    assert drawer[-1].note


def test_the_file_adds_up_and_has_every_column() -> None:
    assembly = box_case("keepsake").proof.assembly
    items = bill_of_materials(assembly)
    rows = list(csv.DictReader(io.StringIO(csv_bytes(items).decode("utf-8"))))
    assert tuple(rows[0]) == HEADS
    assert float(rows[-1]["all_kg"]) == pytest.approx(sum(float(row["all_kg"] or 0) for row in rows[:-1]), abs=3e-4)
    assert float(rows[-1]["all_lb"]) == pytest.approx(float(rows[-1]["all_kg"]) / LB, abs=3e-4)
    assert rows[0]["length_in"] == f"{float(rows[0]['length_mm']) / 25.4:.3f}"


@pytest.mark.parametrize(
    ("kg", "units", "told"),
    [(0.1814, "mm", "180 g (6.4 oz)"), (1.234, "mm", "1.2 kg (2.7 lb)"), (12.34, "in", "27 lb (12 kg)")],
)
def test_a_mass_is_told_to_two_figures(kg: float, units: str, told: str) -> None:
    assert told_mass(kg, units) == told  # type: ignore[arg-type]


def test_wood_that_must_be_quarter_sawn_is_asked_for_so_wherever_wood_is_bought_or_sawn() -> None:
    """The drawer's sides move less across the grain that way, and its play in height counts on it."""
    drawer = plan("desk-drawer")
    rows = {row.name: row.stock for row in boards_of(drawer)}
    assert rows["left"] == "yellow-poplar, quarter sawn"
    assert "quarter" not in rows["front"]
    items = {item.names: item.wood for item in bill_of_materials(assembly_of(drawer))}
    assert items["right", "left"] == "yellow-poplar, quarter sawn"
    assert dict(row[:2] for row in wood_rows(drawer)[1])["left"] == "yellow-poplar, quarter sawn"


def test_a_bottom_that_is_glued_up_is_bought_as_its_boards() -> None:
    """377 x 440.5 mm, and stock of 160: three boards of 440.5 / 3 + 4 = 150.83 mm, told by half tenths."""
    row = {row[0]: row[2] for row in wood_rows(plan("desk-drawer"))[1]}
    assert row["bottom"] == "3 of 377 x 150.85 x 9 mm"
    assert row["front"] == "391 x 114 x 23 mm"
