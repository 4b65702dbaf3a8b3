"""The STEP files of a box, read by their text alone: parts, occurrences, placements, volumes. No kernel reads here."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from solids.base.errors import ReadBackError
from solids.model.kernel import measure
from solids.model.parts import Part
from solids.recipe.tables.box_resolved import SIDES
from solids.write.files.table import Job, files_of, write_files
from solids.write.files.writing import File
from tests.boxes import box_case
from tests.layout.lopsided import lopsided
from tests.model.by_slices import board_volume
from tests.outside.plane_solids import Measured, solids_of
from tests.part21 import Ref, StepFile, read_step

BOXES = ("keepsake", "drawer", "lopsided", "plugged")
FILES = ("box.step", "box-finished.step")


@cache
def job_of(name: str) -> Job:
    return lopsided("stopped") if name == "lopsided" else box_case(name)


@cache
def file_of(name: str, file: str) -> StepFile:
    job = job_of(name)
    return read_step(box_file(job, file).make())


def parts_in(job: Job, file: str) -> tuple[Part, ...]:
    return job.proof.cut if file == "box.step" else job.proof.finished


def box_file(job: Job, name: str) -> File:
    return next(file for file in files_of(job, "corner") if file.name == name)


def placements(file: StepFile) -> dict[str, tuple[str, np.ndarray, np.ndarray]]:
    """By the name of each part, without its state: the product that it is one of, and its turn and shift."""
    uses = {file.number_of(use): use for use in file.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")}
    found = {}
    for link in file.all("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION"):
        relation, placing = link.values
        transform = file.get(relation, "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION").values[-1]
        first, second = (axes(file, ref) for ref in file.get(transform).values[2:4])
        assert np.array_equal(first[0], np.eye(3))
        assert not np.any(first[1])
        use = uses[file.get(placing, "PRODUCT_DEFINITION_SHAPE").values[2].number]
        product = product_of(file, use.values[4])
        part = use.values[1].removesuffix(", finished")
        assert part not in found, "names are told apart"
        found[part] = (product, *second)
    return found


def product_of(file: StepFile, definition: Ref) -> str:
    formation = file.get(definition).values[2]
    return str(file.get(file.get(formation).values[2], "PRODUCT").values[1])


def axes(file: StepFile, ref: Ref) -> tuple[np.ndarray, np.ndarray]:
    _, at, z, x = file.get(ref, "AXIS2_PLACEMENT_3D").values
    along_z, along_x = (np.array(file.get(each).values[1]) for each in (z, x))
    return np.column_stack([along_x, np.cross(along_z, along_x), along_z]), np.array(file.get(at).values[1])


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("name", BOXES)
@pytest.mark.whole
def test_every_part_is_placed_by_its_name_with_a_turn_and_no_mirror(name: str, file: str) -> None:
    job, step = job_of(name), file_of(name, file)
    parts = {part.name: part for part in parts_in(job, file)}
    found = placements(step)
    assert set(found) == set(parts)
    state = ", finished" if file == "box-finished.step" else ""
    assert {record.values[1] for record in step.all("PRODUCT")} == {
        *(product for product, _, _ in found.values()),
        job.title + state,
    }
    assert all(product.endswith(state) for product, _, _ in found.values())
    for part_name, (_, turn, shift) in found.items():
        assert np.linalg.det(turn) == pytest.approx(1.0, abs=1e-12)
        rows = np.array(parts[part_name].rows)
        assert turn == pytest.approx(rows[:, :3], abs=1e-12)
        assert shift == pytest.approx(rows[:, 3], abs=1e-9)


@pytest.mark.parametrize(
    ("name", "products"),
    [
        ("keepsake", {"front and back", "right and left", "bottom"}),
        ("drawer", {"front", "right", "back", "left", "bottom"}),
        ("lopsided", {"front", "right", "back", "left", "bottom"}),
    ],
)
def test_boards_that_are_alike_are_one_part_placed_twice(name: str, products: set[str]) -> None:
    step = file_of(name, "box.step")
    assert {record.values[0] for record in step.all("MANIFOLD_SOLID_BREP")} == products
    assert {record.values[1] for record in step.all("PRODUCT")} == {*products, job_of(name).proof.box.recipe.title}
    for occurrence, (product, _, _) in placements(step).items():
        assert occurrence in product.split(" and ")


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("name", BOXES)
def test_volumes_and_places_by_the_planes_in_the_file(name: str, file: str) -> None:
    """By the divergence theorem on the file's own faces: volumes of the boards as slices of the recipe sum to, and the
    middle of each part where the solid is."""
    job, step = job_of(name), file_of(name, file)
    solids: dict[str, Measured] = solids_of(step)
    parts = {part.name: part for part in parts_in(job, file)}
    for occurrence, (product, turn, shift) in placements(step).items():
        solid = solids[product]
        if occurrence in SIDES:
            meant = board_volume(job.proof.box, occurrence, finished=file != "box.step")  # type: ignore[arg-type]
            assert solid.volume == pytest.approx(meant, rel=1e-9)
        assert turn @ solid.centroid + shift == pytest.approx(measure(parts[occurrence].in_place).centroid, abs=1e-7)


@pytest.mark.parametrize("name", ["keepsake", "drawer", "lopsided"])
def test_the_finished_box_is_as_large_as_it_says_and_begins_at_nothing(name: str) -> None:
    job, step = job_of(name), file_of(name, "box-finished.step")
    solids = solids_of(step)
    corners = []
    for product, turn, shift in placements(step).values():
        low, high = solids[product].low, solids[product].high
        corners += [turn @ low + shift, turn @ high + shift]
    assert np.min(corners, axis=0) == pytest.approx([0, 0, 0], abs=1e-9)
    assert np.max(corners, axis=0) == pytest.approx([*job.proof.box.outside, job.proof.box.recipe.height], abs=1e-9)


def test_each_board_has_the_colour_and_weight_of_its_own_wood() -> None:
    step = file_of("lopsided", "box.step")
    names = {record.values[0] for record in step.all("DESCRIPTIVE_REPRESENTATION_ITEM")}
    woods = {part.wood.name for part in lopsided("stopped").proof.cut}
    assert len(woods) == 5
    assert (
        names & woods == woods
        or {value for record in step.all("DESCRIPTIVE_REPRESENTATION_ITEM") for value in record.values} >= woods
    )
    assert len(step.all("COLOUR_RGB")) >= 5


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"'left'", b"'lift'"),
        (b"'lopsided box'", b"'another box'"),
    ],
)
def test_a_file_with_another_name_in_it_is_noticed(tmp_path: Path, old: bytes, new: bytes) -> None:
    job = lopsided("stopped")
    kind = box_file(job, "box.step")
    path = tmp_path / "box.step"
    path.write_bytes(kind.make())
    kind.reread(path)
    assert old in path.read_bytes()
    path.write_bytes(path.read_bytes().replace(old, new))
    with pytest.raises(ReadBackError):
        kind.reread(path)


def test_a_board_that_is_placed_elsewhere_is_noticed(tmp_path: Path) -> None:
    """One occurrence is moved by 0.01 mm in the text of the file."""
    job = lopsided("stopped")
    kind = box_file(job, "box.step")
    data = kind.make()
    step = read_step(data)
    use = next(iter(step.all("ITEM_DEFINED_TRANSFORMATION")))
    at = step.get(use.values[3], "AXIS2_PLACEMENT_3D").values[1]
    (start,) = [line for line in data.splitlines() if line.startswith(f"#{at.number} = ".encode())]
    x = step.get(at).values[1][0]
    moved = start.replace(f"({x:.13g}".encode().rstrip(b"0"), f"({x + 0.01:.13g}".encode(), 1)
    assert moved != start
    path = tmp_path / "box.step"
    path.write_bytes(data.replace(start, moved))
    with pytest.raises(ReadBackError, match="centroid"):
        kind.reread(path)


def test_no_file_of_a_box_is_the_file_of_a_corner(tmp_path: Path) -> None:
    names = {path.name for path in write_files(box_case("keepsake"), tmp_path).folder.iterdir()}
    assert not names & {"corner.step", "boards/tail-board.step", "boards/pin-board.step", "cnc-jig-note.md"}
