"""Our STEP files read without any geometry kernel: the text by ISO 10303-21's grammar, the solids by their planes.

Grammar: ISO 10303-21:2002, tables 1 to 3 (productions in WSN); order of the header: the same, clause 8. Topology:
ISO 10303-42. The surface areas are worked out below from the layout's widths, face by face.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from solids.layout import Layout, State
from solids.layout.joint.volumes import pin_board_volume, socket_area, tail_area, tail_board_volume
from solids.write.formats import step
from tests.corners import CASES, STEP_FILES, case, made, step_parts
from tests.outside.plane_solids import solids_of
from tests.part21 import Record, Ref, StepFile, SyntaxFaultError, Word, read_step

RELATIVE = 1e-9


@cache
def file_of(name: str, state: str = "as cut") -> StepFile:
    job = case(name)
    corner = job.cut if state == "as cut" else job.finished
    return read_step(step.step_bytes("corner", "x", step_parts(corner)))


# --- size ------------------------------------------------------------------------------------------


def tail_board_area(layout: Layout, state: State) -> float:
    """Both faces, and all sides of the outline times the thickness."""
    s, width, length = layout.flanks[0].stretch, layout.width, layout.recipe.tail_board.length
    reach = state.tail_end
    outline = width * length + sum(tail_area(layout, tail, reach) for tail in layout.tails)
    baseline = width - sum(layout.tail_width(tail, 0.0) for tail in layout.tails)
    ends = sum(layout.tail_width(tail, reach) for tail in layout.tails)
    flanks = 2 * len(layout.tails) * reach * s
    return 2 * outline + (width + 2 * length + baseline + ends + flanks) * state.show_z


def pin_board_area(layout: Layout, state: State) -> float:
    """Inside face, show face, both edges, the far end, then the joint: end grain, floors, flanks, and laps."""
    width, length, reach = layout.width, layout.recipe.pin_board.length, min(layout.depth, state.show_y)
    inside, outside = (
        sum(right - left for left, right in (layout.socket_edges(tail, y) for tail in layout.tails))
        for y in (0.0, reach)
    )
    sockets = sum(socket_area(layout, tail, reach) for tail in layout.tails)
    inside_face = width * length + (width - inside) * state.pin_end
    show_face = width * length + (width - (0.0 if layout.is_half_blind else outside)) * state.pin_end
    edges_and_end = 2 * state.show_y * (length + state.pin_end) + width * state.show_y
    flanks = 2 * len(layout.tails) * reach * layout.flanks[0].stretch * state.pin_end
    laps = outside * state.pin_end if layout.is_half_blind else 0.0
    end_grain_and_floors = state.show_y * width
    assert sockets < end_grain_and_floors
    return inside_face + show_face + edges_and_end + end_grain_and_floors + flanks + laps


@pytest.mark.parametrize("state", ["as cut", "finished"])
@pytest.mark.parametrize("name", CASES)
def test_volumes_by_the_divergence_theorem_are_the_layouts(name: str, state: str) -> None:
    layout = case(name).layout
    meant = layout.as_cut if state == "as cut" else layout.as_finished
    solids = solids_of(file_of(name, state))
    assert list(solids) == ["tail board", "pin board"]
    assert solids["tail board"].volume == pytest.approx(tail_board_volume(layout, meant), rel=RELATIVE)
    assert solids["pin board"].volume == pytest.approx(pin_board_volume(layout, meant), rel=RELATIVE)


@pytest.mark.parametrize("state", ["as cut", "finished"])
@pytest.mark.parametrize("name", [name for name in CASES if "chamfered" not in name])
def test_surface_areas_are_those_of_the_layouts_faces(name: str, state: str) -> None:
    layout = case(name).layout
    meant = layout.as_cut if state == "as cut" else layout.as_finished
    solids = solids_of(file_of(name, state))
    assert solids["tail board"].area == pytest.approx(tail_board_area(layout, meant), rel=RELATIVE)
    assert solids["pin board"].area == pytest.approx(pin_board_area(layout, meant), rel=RELATIVE)


@pytest.mark.parametrize("name", CASES)
def test_both_boards_lie_in_the_joints_frame(name: str) -> None:
    layout, recipe = case(name).layout, case(name).layout.recipe
    solids = solids_of(file_of(name))
    width, lengths = layout.width, (recipe.tail_board.length, recipe.pin_board.length)
    thick, deep = recipe.tail_board.thickness, recipe.pin_board.thickness
    expected = {
        "tail board": ((0, -lengths[0], 0), (width, layout.depth + recipe.tail_board.proud, thick)),
        "pin board": ((0, 0, -lengths[1]), (width, deep, thick + recipe.pin_board.proud)),
    }
    for board, (low, high) in expected.items():
        assert solids[board].low == pytest.approx(low, abs=1e-9)
        assert solids[board].high == pytest.approx(high, abs=1e-9)


def test_no_occurrence_is_moved_or_turned_by_the_assembly() -> None:
    file = file_of("listed, no symmetry")
    places = [ref for record in file.all("ITEM_DEFINED_TRANSFORMATION") for ref in record.values[2:]]
    assert len(places) == 2 * 2
    for ref in places:
        at, z, x = (file.get(item).values[1] for item in file.get(ref, "AXIS2_PLACEMENT_3D").values[1:])
        assert (at, z, tuple(abs(value) for value in x)) == ((0, 0, 0), (0, 0, 1), (1, 0, 0))


# --- geometric validation properties -------------------------------------------------------------------


def stored(file: StepFile) -> dict[str, list[object]]:
    """What the geometric validation properties hold, by their kind, in the file's order."""
    found: dict[str, list[object]] = {}
    for link in file.all("PROPERTY_DEFINITION_REPRESENTATION"):
        if file.get(link.values[0]).values[0] == "geometric validation property":
            representation = file.get(link.values[1], "REPRESENTATION")
            item = file.get(representation.values[1][0])
            value = item.values[1]
            found.setdefault(representation.values[0], []).append(
                value.values[0] if isinstance(value, Record) else value
            )
    return found


@pytest.mark.parametrize("name", CASES)
def test_stored_validation_properties_are_what_the_planes_give(name: str) -> None:
    file = file_of(name)
    kept, found = stored(file), list(solids_of(file).values())
    assert kept["volume"] == pytest.approx([solid.volume for solid in found], rel=RELATIVE)
    assert kept["surface area"] == pytest.approx([solid.area for solid in found], rel=RELATIVE)
    assert np.array(kept["centroid"]) == pytest.approx(np.array([solid.centroid for solid in found]), abs=1e-6)


def test_volume_and_area_are_stored_in_millimetres() -> None:
    file = file_of("through")
    for kind, power in (("volume measure", 3.0), ("surface area measure", 2.0)):
        for item in (record for record in file.all("MEASURE_REPRESENTATION_ITEM") if record.values[0] == kind):
            (element,) = file.get(item.values[2], "DERIVED_UNIT").values[0]
            unit, exponent = file.get(element, "DERIVED_UNIT_ELEMENT").values
            assert exponent == power
            assert file.get(unit, "SI_UNIT").values == (Word("MILLI"), Word("METRE"))


# --- grammar ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("file_name", STEP_FILES)
@pytest.mark.parametrize("name", ["through", "half-blind", "ends left proud, chamfered"])
def test_every_line_of_every_step_file_follows_the_grammar(file_name: str, name: str) -> None:
    data = made(case(name), file_name)
    file = read_step(data)
    assert min(file.data) == 1
    assert len(file.data) == max(file.data) == data.count(b" = ")
    assert all(line.isascii() and line == line.rstrip(b"\r") for line in data.split(b"\n"))
    assert data.endswith(b"END-ISO-10303-21;\n")


SPOILT = {
    "a raw umlaut": (b"'tail board'", "'täil board'".encode()),
    "a control character": (b"'tail board'", b"'tail\tboard'"),
    "an apostrophe on its own": (b"'tail board'", b"'tail's board'"),
    "a backslash on its own": (b"'tail board'", b"'tail\\board'"),
    "an unknown directive": (b"'tail board'", b"'tail\\X2\\00e9\\X0\\board'"),
    "a reference to nothing": (b"CLOSED_SHELL('',(#", b"CLOSED_SHELL('',(#9999"),
    "an instance twice": (b"#2 = ", b"#1 = "),
    "a lower-case keyword": (b"= PLANE(", b"= Plane("),
    "a real without a point": (b"(1.,0.,-0.)", b"(1e0,0.,-0.)"),
    "a missing semicolon": (b");\n#3 = ", b")\n#3 = "),
    "a missing bracket": (b"= PLANE('',", b"= PLANE'',"),
    "a header in the wrong order": (b"FILE_NAME(", b"FILE_SCHEMA("),
    "no end of the header": (b"ENDSEC;\nDATA;", b"DATA;"),
    "no end mark": (b"END-ISO-10303-21;", b""),
}


@pytest.mark.parametrize("fault", SPOILT)
def test_the_reader_of_the_grammar_refuses(fault: str) -> None:
    job = case("through")
    data = step.step_bytes("corner", "x", step_parts(job.cut))
    was, becomes = SPOILT[fault]
    assert was in data
    with pytest.raises(SyntaxFaultError):
        read_step(data.replace(was, becomes, 1))


def test_the_measure_by_planes_finds_a_vertex_that_moved() -> None:
    job = case("through")
    file = read_step(step.step_bytes("corner", "x", step_parts(job.cut)))
    vertex = file.get(Ref(next(n for n, r in file.data.items() if r[0].keyword == "VERTEX_POINT"))).values[1]
    record = file.get(vertex)
    x, y, z = record.values[1]
    file.data[vertex.number] = (Record(record.keyword, (record.values[0], (x, y, z + 1e-6))),)
    with pytest.raises(AssertionError, match="off its plane"):
        solids_of(file)
