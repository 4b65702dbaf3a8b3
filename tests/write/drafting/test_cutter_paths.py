"""The paths of the maker's own cutters: which cutter for which board, rounds that clear a socket and the last one along
its walls, and grooves."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.ops import unary_union

from solids.bench.milling import ROUGHING_LEAVES, RUN_OUT, STEP_OVER, cuts
from solids.write.drafting.layers import machine_layer
from solids.write.drafting.outlines import machine_items, paths
from solids.write.drafting.sheet import Stroke
from tests.corners import layout_of
from tests.write.drafting.machine import (
    EVERY,
    areas_of,
    boards_named,
    boards_of,
    boards_of_box,
    layers_of,
    own,
    strokes_of,
)

KINDS = ("through", "half-blind", "listed, no symmetry", "graduated", "loose", "one tail", "inches")

each_piece = pytest.mark.parametrize(("piece", "name"), EVERY)


def paths_of(*asked: str, board: str) -> list[Stroke]:
    return strokes_of(paths(boards_of(*asked)[board]))


# --- which cutter --------------------------------------------------------------------------------


def test_the_thickest_cutter_that_passes_is_taken_for_each_board_and_its_layer_says_so() -> None:
    """The tool tray: pins of 3 mm stand 1:7 steep, so the opening between tails on the raw end, 0.5 mm proud, is
    3 - 2 x 0.5/7 = 2.857 mm, and 2.257 mm with 0.3 mm of wood on both lines; the sockets' entry at the inside face is
    18.75 - 2 x 12/7 = 15.321 mm. The boards are cut 10 and 10.5 mm deep."""
    tray = ("tool-tray", "kit.cutters=[1.5, 2, 2.5, 3, 6, 12, 15, 16]")
    assert layers_of(paths_of(*tray, board="tail board")) == ["flat clear D2 Z-10", "flat last D2 Z-10"]
    assert layers_of(paths_of(*tray, board="pin board")) == ["end clear D12 Z-10.5", "end last D12 Z-10.5"]


def test_a_file_in_millimetres_tells_an_inch_cutter_and_its_depth_in_millimetres_and_one_in_inches_in_inches() -> None:
    """1/16 in is 1.5875 mm; 1/4 in is 6.35 mm. Layers tell a thousandth of a millimetre or a ten-thousandth of an
    inch; a five beyond that goes to the even figure (IEEE 754)."""
    box_ = ("tea-box", 'kit.cutters=["1/16"]', "tail_board.thickness=0.25", "joint.pin=0.12")
    told = layers_of(paths_of(*box_, board="tail board"))
    assert told == ["flat clear D1.587 Z-6.35", "flat last D1.587 Z-6.35"]
    told = layers_of(paths_of(*box_, "paper.dxf_units=in", board="tail board"))
    assert told == ["flat clear D0.0625 Z-0.25", "flat last D0.0625 Z-0.25"]
    assert machine_layer("flat", "last", 10.5, "in", 25.4 / 8) == "flat last D0.125 Z-0.4134"
    assert machine_layer("left end", "outline", None, "in") == "left end outline"


def test_no_path_is_drawn_where_no_cutter_passes() -> None:
    tray = ("tool-tray", "kit.cutters=[3, 40]")
    assert paths_of(*tray, board="tail board") == []
    assert layers_of(paths_of(*tray, board="pin board")) == ["end clear D3 Z-10.5", "end last D3 Z-10.5"]


def test_no_path_is_drawn_for_a_cutter_that_bends() -> None:
    """1.9 mm passes the tool tray's 2.857 mm with wood on both lines, and 10 mm is 5.3 times as deep."""
    assert paths_of("tool-tray", "kit.cutters=[1.9]", board="tail board") == []
    last = [p for p in paths_of("tool-tray", "kit.cutters=[2]", board="tail board") if " last " in p.layer]
    assert len(last) == 5, "three between four tails, two at the edges"


@each_piece
def test_a_recipe_without_cutters_has_areas_and_no_paths(piece: str, name: str) -> None:
    for board in boards_named(piece, name):
        assert paths(board) == []
        assert not [item for item in machine_items(board) if " D" in item.layer]


def test_a_single_tail_lets_any_cutter_pass_beside_it_and_a_thin_one_goes_round_last() -> None:
    layers = layers_of(
        paths_of("tool-tray", "joint.width=30", "joint.tails=1", "kit.cutters=[3, 25]", board="tail board")
    )
    assert layers == ["flat clear D25 Z-10", "flat clear D3 Z-10", "flat last D3 Z-10"]


def test_a_thick_cutter_leaves_wood_on_every_wall_and_the_last_round_takes_it() -> None:
    (board,) = [b for b in boards_of("drawer-front", "kit.cutters=[3, 12]").values() if b.name == "pin board"]
    thick = [path for path in strokes_of(paths(board)) if path.layer == "end clear D12 Z-11.5"]
    last = [path for path in strokes_of(paths(board)) if path.layer == "end last D3 Z-11.5"]
    sockets = [Polygon(stroke.points) for stroke in areas_of(board) if " sockets " in stroke.layer]
    (end,) = [Polygon(stroke.points) for stroke in areas_of(board) if stroke.layer == "end outline"]
    assert len(last) == len(sockets)
    for socket in sockets:
        stays = end.difference(socket)
        # Seen from beside the board it may pass the other sockets' wood: the rings of this socket lie over it.
        (ring,) = [Polygon(path.points) for path in last if Polygon(path.points).intersects(socket)]
        rough = [Polygon(path.points) for path in thick if Polygon(path.points).intersects(socket)]
        assert rough
        assert stays.distance(unary_union(rough).buffer(6.0, quad_segs=64)) == pytest.approx(ROUGHING_LEAVES, abs=1e-3)
        assert stays.distance(ring.exterior) == pytest.approx(1.5, abs=1e-6)


@pytest.mark.parametrize("name", KINDS)
def test_rounds_of_clearing_lie_no_further_apart_than_the_share_of_the_cutter(name: str) -> None:
    """So that nothing is left between them: from each ring to the next one out, 0.45 of the diameter."""
    nearest = []
    for board in boards_named("corner", name, own(1.6, 2, 3, 6)):
        clear = [stroke for stroke in strokes_of(paths(board)) if " clear " in stroke.layer]
        for stroke in clear:
            diameter = float(re.findall(r" D([\d.]+) ", stroke.layer)[0])
            ring = LineString([*stroke.points, stroke.points[0]])
            around = [s for s in clear if s.layer == stroke.layer and Polygon(s.points).contains(ring)]
            if around:
                nearest.append(min(LinearRing(s.points).distance(ring) for s in around) / diameter)
    assert nearest
    assert nearest == pytest.approx([STEP_OVER] * len(nearest), abs=1e-6)


@pytest.mark.parametrize("name", KINDS)
def test_paths_run_clockwise_so_that_the_cutter_works_against_the_feed(name: str) -> None:
    """Inside a socket the wall lies to the left of a path that runs clockwise. There the edge of a cutter that turns
    clockwise moves the way that the cutter goes, so the wood pushes it back: no climb cut. Common practice."""
    boards = boards_named("corner", name, own(1.6, 2, 3, 6))
    rings = [stroke for board in boards for stroke in strokes_of(paths(board)) if stroke.closed]
    assert rings
    assert not any(LinearRing(ring.points).is_ccw for ring in rings)


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front", "carcase"])
def test_every_socket_gets_one_last_round_and_each_corner_that_stays_one_line_where_it_is_asked_for(
    preset: str,
) -> None:
    plain, relieved = (
        boards_of(preset, "kit.cutters=[2, 3, 4]", f"paper.corner_relief={asked}") for asked in ("false", "true")
    )
    layout = layout_of(preset, "kit.cutters=[2, 3, 4]", "paper.corner_relief=true")
    n = len(layout.tails)
    for cut, sockets in zip(cuts(layout), (n + 1, n), strict=True):
        names = [stroke.layer.split()[1] for stroke in strokes_of(paths(relieved[cut.board]))]
        assert names.count("last") == sockets
        assert names.count("relief") == cut.acute_corners
        without = [stroke for stroke in strokes_of(paths(relieved[cut.board])) if " relief " not in stroke.layer]
        assert strokes_of(paths(plain[cut.board])) == without


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "odd, tails on the ends"])
def test_each_end_of_a_box_has_a_last_round_for_every_socket_of_its_own_joint(name: str) -> None:
    for board in boards_named("box", name, "kit.cutters=[2, 2.5, 3, 10]"):
        told = Counter(stroke.layer for stroke in strokes_of(paths(board)) if " last " in stroke.layer)
        meant: Counter[str] = Counter()
        for setup in board.setups:
            for joint in setup.joints:
                cut = cuts(joint.layout)[joint.kind == "pin board"]
                for run in cut.runs[-1:]:
                    layer = machine_layer(setup.name, "last", cut.depth, "mm", run.cutter.diameter)
                    meant[layer] += len(joint.layout.tails) + (joint.kind == "tail board")
            for groove in setup.grooves:
                meant[machine_layer(setup.name, "last", groove.depth, "mm", 3.0)] += 1
        assert told == meant


# --- grooves -------------------------------------------------------------------------------------


def groove_paths(*asked: str, board: str = "left") -> list[Stroke]:
    """What is cut along the groove of a side of the keepsake box, 5 wide and 4 deep, 10 above the reference edge."""
    found = strokes_of(paths(boards_of_box("keepsake-box", *asked)[board]))
    return [stroke for stroke in found if stroke.layer.endswith("Z-4")]


def test_a_cutter_as_thick_as_the_groove_is_wide_runs_down_its_middle_once() -> None:
    """Stopped, from 8.5 to 152.5: the centre goes from 11 to 150, at 12.5 below the reference edge. Through, its edge
    runs 1 mm past both ends of 161 mm, and the centre 1 + 2.5."""
    (path,) = groove_paths("kit.cutters=[5]")
    assert (path.layer, path.closed) == ("flat last D5 Z-4", False)
    assert path.points == (pytest.approx((11.0, -12.5)), pytest.approx((150.0, -12.5)))
    (path,) = groove_paths("kit.cutters=[5]", "box.groove.ends=through")
    assert path.points == (pytest.approx((-RUN_OUT - 2.5, -12.5)), pytest.approx((161 + RUN_OUT + 2.5, -12.5)))


def test_a_thinner_cutter_goes_round_the_groove() -> None:
    """3 mm in 5: round at 1.5 from the walls, and once more inside that, with 0.25 left on them."""
    clear, last = groove_paths("kit.cutters=[3]")
    assert (clear.layer, last.layer) == ("flat clear D3 Z-4", "flat last D3 Z-4")
    assert Polygon(last.points).bounds == pytest.approx((8.5 + 1.5, -13.5, 152.5 - 1.5, -11.5))
    assert Polygon(clear.points).bounds == pytest.approx((8.5 + 1.75, -13.25, 152.5 - 1.75, -11.75))


def test_a_cutter_that_is_nearly_as_wide_needs_no_round_to_clear() -> None:
    """4.5 in 5 leaves 0.25 on each side, less than the wood that a last round takes."""
    (last,) = groove_paths("kit.cutters=[4.5]")
    assert Polygon(last.points).bounds == pytest.approx((8.5 + 2.25, -12.75, 152.5 - 2.25, -12.25))


def test_no_path_is_drawn_in_a_groove_that_no_cutter_fits() -> None:
    assert groove_paths("kit.cutters=[6, 12]") == []
    assert groove_paths("kit.cutters=[0.7]") == [], "0.7 mm is 5.7 times as deep: it bends"
