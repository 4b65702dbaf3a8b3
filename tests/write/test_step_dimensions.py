"""Dimensions in the files of single boards: each is between the faces that it names, as far apart as it says. Measured
on the planes and edges of the file itself, by a reader that is not Open CASCADE."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from solids.base.errors import ReadBackError
from solids.base.geometry import Vector, dot
from solids.layout.dimensions import board_dimensions
from solids.model.box import box_parts
from solids.write.formats import step
from tests.boxes import CASES as BOXES
from tests.boxes import box_of
from tests.corners import CASES, case, file_named, made
from tests.drawers import drawer
from tests.part21 import Record, Ref, StepFile, read_step

BOARDS = ("boards/tail-board.step", "boards/pin-board.step")


# --- reading, without the kernel ---------------------------------------------------------------------


def direction(file: StepFile, ref: Ref) -> Vector:
    return file.get(ref, "DIRECTION").values[1]


def outward(file: StepFile, face: Record) -> tuple[Vector, float]:
    """The plane of a face: its normal, and how far along it the plane lies."""
    _, at, normal, _ = file.get(file.get(face.values[2], "PLANE").values[1]).values
    unit = direction(file, normal)
    return unit, dot(unit, file.get(at, "CARTESIAN_POINT").values[1])


def points(file: StepFile, item: Record) -> list[Vector]:
    """Both ends of an edge, or a point in the plane of a face."""
    if item.keyword == "EDGE_CURVE":
        return [file.get(file.get(end, "VERTEX_POINT").values[1]).values[1] for end in item.values[1:3]]
    at = file.get(file.get(item.values[2], "PLANE").values[1]).values[1]
    return [file.get(at, "CARTESIAN_POINT").values[1]]


def dimensions_in(file: StepFile) -> dict[str, tuple[float, float]]:
    """What each dimension of a file says that it is, and what it is between its faces: mm, or degrees."""
    items = {use.values[2]: file.get(use.values[4]) for use in file.all("GEOMETRIC_ITEM_SPECIFIC_USAGE")}
    found = {}
    for link in file.all("DIMENSIONAL_CHARACTERISTIC_REPRESENTATION"):
        location = file.get(link.values[0])
        measure = file.get(link.values[1], "SHAPE_DIMENSION_REPRESENTATION").values[1][0]
        value = file.get(measure, "MEASURE_WITH_UNIT").values[0].values[0]
        start, end = (items[aspect] for aspect in location.values[2:4])
        normal, far = outward(file, start)
        if location.keyword == "ANGULAR_LOCATION":
            unit = file.get(measure, "MEASURE_WITH_UNIT").values[1]
            assert file.get(unit, "SI_UNIT").values[1].text == "RADIAN"
            across = abs(dot(normal, outward(file, end)[0]))
            found[location.values[1]] = math.degrees(value), math.degrees(math.acos(across))
        else:
            assert location.keyword == "DIMENSIONAL_LOCATION"
            between = [abs(dot(normal, point) - far) for point in points(file, end)]
            assert max(between) - min(between) < 1e-9, "an edge is parallel to the face it is measured from"
            found[location.values[1]] = value, between[0]
    return found


def check(file: StepFile) -> dict[str, tuple[float, float]]:
    found = dimensions_in(file)
    for what, (told, measured) in found.items():
        assert told == pytest.approx(measured, abs=1e-9), what
    return found


# --- corners and boxes -----------------------------------------------------------------------------


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_each_dimension_of_a_board_is_what_lies_between_its_faces(name: str, board: str) -> None:
    layout = case(name).layout
    found = check(read_step(made(case(name), board)))
    recipe, tails = layout.recipe, board == "boards/tail-board.step"
    own, other = (recipe.tail_board, recipe.pin_board) if tails else (recipe.pin_board, recipe.tail_board)
    assert found["thickness"][0] == own.thickness
    assert found["width"][0] == layout.width
    assert found["gauge for the baseline"][0] == pytest.approx((layout.depth if tails else other.thickness) + own.proud)
    assert found["slope"][0] == pytest.approx(math.degrees(math.atan(1 / layout.recipe.slope_ratio)))
    assert found.get("gauge for the sockets", (layout.depth,))[0] == pytest.approx(layout.depth)
    assert ("gauge for the sockets" in found) == (layout.is_half_blind and not tails)
    flanks = [what for what in found if what.startswith("flank")]
    assert len(flanks) == 2 * len(layout.tails)
    # The half pin of the design at its narrow end: where the first tail begins at the plane of the finished face.
    lean = (layout.depth if not tails else -own.proud) / layout.recipe.slope_ratio
    first = found["flank 1 left on the raw end" if tails else "flank 1 left at the inside face"][0]
    assert first == pytest.approx(recipe.half_pin + lean - (0.0 if tails else layout.shift(layout.flanks[0])))


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "odd, tails on the ends", "through groove"])
def test_each_dimension_of_a_board_of_a_box_is_what_lies_between_its_faces(tmp_path: Path, name: str) -> None:
    box = box_of(*BOXES[name])
    for part in box_parts(box, finished=False):
        dimensions = board_dimensions(box, part.name)
        product = step.Product(part.name, part.solid, part.wood, faces=part.faces, dimensions=dimensions)
        file = tmp_path / f"{part.name}.step"
        file.write_bytes(step.step_bytes(part.name, "x", [product]))
        step.reread(file, part.name, [product])
        found = check(read_step(file.read_bytes()))
        assert list(found) == [dimension.what for dimension in dimensions]
        if part.name in box.boards:
            board = box.boards[part.name]
            assert found["length"][0] == pytest.approx(board.end_to_end(finished=False))
            tails = sum(len(corner.layout.tails) for corner in (board.up, board.down))
            assert sum(", flank" in what for what in found) == 2 * tails
        else:
            assert part.name == "bottom"
            assert found == {}


def test_the_lip_of_a_front_is_dimensioned_from_what_lies_behind_it() -> None:
    box = drawer("box.front.lip.width=9", "box.front.lip.top=0", "box.front.lip.bottom=5")
    (front,) = (part for part in box_parts(box, finished=False) if part.name == "front")
    product = step.Product(
        "front", front.solid, front.wood, faces=front.faces, dimensions=board_dimensions(box, "front")
    )
    told = {what: told for what, (told, _) in check(read_step(step.step_bytes("front", "x", [product]))).items()}
    lips = {what: mm for what, mm in told.items() if "lip" in what}
    assert lips == {"thickness of the lip": 8, "lip at the bottom": 5, "lip at the left": 9, "lip at the right": 9}


def test_a_corner_and_a_finished_corner_have_none_as_they_belong_to_single_boards() -> None:
    for name in ("corner.step", "corner-finished.step"):
        assert not read_step(made(case("through"), name)).all("DIMENSIONAL_CHARACTERISTIC_REPRESENTATION")


# --- reading back ----------------------------------------------------------------------------------

SPOILT = {
    "a length": (b"POSITIVE_LENGTH_MEASURE(96.)", b"POSITIVE_LENGTH_MEASURE(96.1)", "width reads back as 96.1"),
    "what it is of": (b"'width'", b"'with'", "dimensions"),
    "the face that it starts from": (b"SHAPE_ASPECT('inside face'", b"SHAPE_ASPECT('inner face'", "dimensions"),
}


@pytest.mark.parametrize("what", SPOILT)
def test_reading_back_finds_a_change_of(tmp_path: Path, what: str) -> None:
    was, becomes, word = SPOILT[what]
    file = file_named(case("through"), "boards/tail-board.step")
    path, data = tmp_path / "board.step", file.make()
    assert was in data
    path.write_bytes(data)
    file.reread(path)
    path.write_bytes(data.replace(was, becomes, 1))
    with pytest.raises(ReadBackError, match=word):
        file.reread(path)


def test_reading_back_finds_a_slope_that_is_off_by_a_ten_thousandth(tmp_path: Path) -> None:
    file = file_named(case("through"), "boards/pin-board.step")
    data = file.make()
    head, mark, rest = data.partition(b"POSITIVE_PLANE_ANGLE_MEASURE(")
    value, end, tail = rest.partition(b")")
    path = tmp_path / "board.step"
    path.write_bytes(head + mark + b"%.15f" % (float(value) * 1.0001) + end + tail)
    with pytest.raises(ReadBackError, match="slope reads back as"):
        file.reread(path)
