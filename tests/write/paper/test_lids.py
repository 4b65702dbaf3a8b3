"""A box with a lid that is sawn off: every paper of a corner has the groove of the top beside that of the bottom, and
the cut of the lid, in the places of the layout."""

from __future__ import annotations

import pytest

from solids.bench.procedure import corner_stages
from solids.bench.settings import bench_of
from solids.layout.assembly import assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.layout.setups import MachineBoard, machine_boards
from solids.recipe.tables.box_resolved import SIDES
from solids.write.drafting.boards import sketched
from solids.write.drafting.sheet import Stroke
from solids.write.drafting.template import strips
from solids.write.drafting.whole.board_views import names_told
from solids.write.named import USES, use_of
from solids.write.notes.machine_words import machine_words
from solids.write.paper.booklet.boards import _key as key_to_sketches
from solids.write.paper.numbers import _numbers as numbers
from tests.bench.test_box_procedure import box_of
from tests.lids import chest as lidded


def meeting(box: BoxLayout) -> list[MachineBoard]:
    """The sides of a box, as they lie in the machine."""
    return [board for name, board in machine_boards(box).items() if name in SIDES]


@pytest.fixture(scope="module")
def chest() -> BoxLayout:
    """The work box: 140 high, its top 7 below the upper edge in a groove 6 wide and 4 deep, the lid sawn off between
    103 and 105."""
    return box_of("work-box")


def corners(box: BoxLayout) -> list[Layout]:
    return [kind.layout for kind in assembly_of(box).kinds]


def test_a_corner_knows_both_grooves_and_the_cut_from_its_own_edge(chest: BoxLayout) -> None:
    """Where the reference edge is X = 0, the top's groove lies from 127 to 133; mirrored, from 7 to 13."""
    for layout in corners(chest):
        bottom, top = layout.grooves
        assert (bottom.is_top, top.is_top) == (False, True)
        assert top.gauged == (pytest.approx(7), "below the upper edge")
        assert bottom.gauged == (pytest.approx(7), "above the reference edge")
        span = (7, 13) if layout.mirrored else (127, 133)
        cut = (35, 37) if layout.mirrored else (103, 105)
        assert top.spans == (pytest.approx(span),)
        assert layout.lid_cuts == pytest.approx(cut)


def test_template_sketch_and_sheet_have_both(chest: BoxLayout) -> None:
    for layout in corners(chest):
        for strip in strips(layout):
            drawn = [item for item in strip.items if isinstance(item, Stroke)]
            assert len([item for item in drawn if item.layer == "groove"]) == 2
            cuts = [item for item in drawn if item.layer == "lid cut"]
            assert len(cuts) == 2
            assert all({y for _, y in cut.points} == {0.0, strip.height} for cut in cuts)
        told = dict(numbers(layout, bench_of(layout)))
        assert told["groove: wide / deep / above the reference edge"] == "6 mm / 4 mm / 7 mm"
        assert told["top groove: wide / deep / below the upper edge"] == "6 mm / 4 mm / 7 mm"
        steps = [step.what for step in corner_stages(layout)[0].steps]
        assert [step for step in steps if "groove" in step] == ["Plough the groove", "Plough the groove for the top"]
    for board in sketched(chest)[:4]:
        assert [groove.heights for groove in board.grooves] == [pytest.approx((7, 13)), pytest.approx((127, 133))]
        assert board.sawn == pytest.approx((103, 105))


def test_the_note_for_a_router_tells_of_both(chest: BoxLayout) -> None:
    boards = meeting(chest)
    told = machine_words(corners(chest)[0], boards)["groove_words"]
    assert told.index("Plough it before") < told.index("Plough the groove for the top too")
    plain = box_of("keepsake-box")
    assert "for the top" not in machine_words(corners(plain)[0], meeting(plain))["groove_words"]


@pytest.mark.parametrize(
    ("names", "whole", "short"),
    [
        (["front"], "front", "front"),
        (["front", "back"], "front and back", "front and back"),
        (["left slip", "right slip"], "left and right slip", "slip, 2 alike"),
        (["divider 1", "divider 2", "divider 3"], "divider 1, 2 and 3", "divider, 3 alike"),
        (["foot front left", "foot back left"], "foot front and back left", "foot left, 2 alike"),
    ],
)
def test_what_alike_parts_have_in_common_is_told_once(names: list[str], whole: str, short: str) -> None:
    assert (names_told(names), names_told(names, short=True)) == (whole, short)


@pytest.mark.parametrize(
    ("file", "use"),
    [
        ("booklet.pdf", "paper"),
        ("boards/front.pdf", "paper"),
        ("drawings/views.dxf", "paper"),
        ("corner/drawing.svg", "paper"),
        ("cut-list.csv", "paper"),
        ("boards/front.dxf", "machine"),
        ("corner-cnc-jig-note.md", "machine"),
        ("aids/comb.stl", "aids"),
        ("aids-note.md", "aids"),
        ("box.step", "design"),
        ("waste.step", "design"),
        ("box.glb", "design"),
        ("report.json", "design"),
    ],
)
def test_every_file_is_listed_under_what_it_is_for(file: str, use: str) -> None:
    assert use_of(file) == use
    assert use in USES


@pytest.mark.parametrize(
    ("overrides", "told"),
    [
        ((), "the grooves for bottom and top,"),
        (("box.panel.held=rebate", "joint.half_pin=9"), "the rebate for the bottom and the groove for the top,"),
        (("box.groove.width=0",), "the groove for the top,"),
        (("box.lid.groove.width=0",), "the groove,"),
    ],
)
def test_the_key_to_the_sketches_names_what_is_there(overrides: tuple[str, ...], told: str) -> None:
    assert f"Blue dashes: {told} on the inside face." in key_to_sketches(lidded(*overrides))


def test_a_top_is_marked_as_a_bottom_is(chest: BoxLayout) -> None:
    marked = {board.row.name for board in sketched(chest) if board.is_good_face_up}
    assert marked == {"bottom", "top"}
