"""What a CAM program takes of each board, on layers that say how deep and with which cutter: every area once, paths of
the maker's own cutters only, words out of the way; and the picture at full size."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from shapely.geometry import LinearRing, LineString, Polygon, box
from shapely.ops import unary_union

from solids.bench.milling import cuts
from solids.layout.box.model import BoxLayout
from solids.layout.setups import machine_boards
from solids.write.drafting.layers import COLOURS, ISO_WIDTHS, LAYERS, WORDS, ZERO, layer_name, layer_of, machine_layer
from solids.write.drafting.outlines import (
    LASER,
    MARGIN,
    MILLED,
    machine_items,
    outlines,
    picture_at_full_size,
    setup_words,
)
from solids.write.drafting.sheet import Label, Stroke
from tests.boxes import box_of
from tests.write.drafting.flat import clashing, words_box
from tests.write.drafting.machine import EVERY, areas_of, boards_named, boards_of, boards_of_box, own, strokes_of

each_piece = pytest.mark.parametrize(("piece", "name"), EVERY)


# --- areas ---------------------------------------------------------------------------------------


@each_piece
def test_every_area_is_closed_and_runs_counter_clockwise_without_crossing_itself(piece: str, name: str) -> None:
    for board in boards_named(piece, name):
        assert areas_of(board)
        for stroke in areas_of(board):
            assert stroke.closed
            assert stroke.points[0] != stroke.points[-1]
            ring = LinearRing(stroke.points)
            assert ring.is_simple, stroke
            assert ring.is_ccw, stroke


@each_piece
def test_each_setup_has_its_outline_a_socket_for_each_tail_or_gap_and_its_groove(piece: str, name: str) -> None:
    for board in boards_named(piece, name):
        meant: Counter[str] = Counter()
        for setup in board.setups:
            meant[f"{setup.name} outline"] = 1
            for joint in setup.joints:
                tails, pins = cuts(joint.layout)
                flat = joint.kind == "tail board"
                layer = machine_layer(setup.name, "sockets", (tails if flat else pins).depth, "mm")
                meant[layer] += len(joint.layout.tails) + flat
            for groove in setup.grooves:
                meant[machine_layer(setup.name, "groove", groove.depth, "mm")] = 1
        assert Counter(stroke.layer for stroke in areas_of(board)) == meant


@each_piece
def test_what_is_cut_lies_on_the_board_and_an_outline_within_what_the_setup_covers(piece: str, name: str) -> None:
    """A flat tail board's outline runs round its sockets, so that these and the board fill the rectangle once."""
    for board in boards_named(piece, name):
        for setup in board.setups:
            here = [stroke for stroke in areas_of(board) if stroke.layer.startswith(f"{setup.name} ")]
            (outline,) = [Polygon(stroke.points) for stroke in here if stroke.layer.endswith("outline")]
            sockets = [Polygon(stroke.points) for stroke in here if " sockets " in stroke.layer]
            blank = box(setup.x[0], setup.y[0], setup.x[1], setup.y[1])
            assert outline.bounds == pytest.approx(blank.bounds)
            for stroke in here:
                assert blank.buffer(1e-6).covers(Polygon(stroke.points)), stroke
            taken = sum(socket.area for socket in sockets) if setup.is_flat else 0.0
            assert outline.area + taken == pytest.approx(blank.area, rel=1e-9)
            assert clashing([(str(number), socket.buffer(-1e-6)) for number, socket in enumerate(sockets)]) == []


@each_piece
def test_a_cross_marks_the_zero_that_all_setups_of_a_board_share(piece: str, name: str) -> None:
    """At 0, 0: where the outline of each setup has the corner of its reference edge."""
    for board in boards_named(piece, name):
        one, other = [LineString(stroke.points) for stroke in strokes_of(outlines(board)) if stroke.layer == ZERO]
        met = one.intersection(other)
        assert (met.x, met.y) == (0.0, 0.0)
        for setup in board.setups:
            corners = [(x, y) for x in setup.x for y in setup.y]
            assert (0.0, 0.0) in corners


@each_piece
def test_the_outlines_of_a_boards_setups_do_not_lie_on_each_other(piece: str, name: str) -> None:
    for board in boards_named(piece, name):
        found = [(s.layer, Polygon(s.points)) for s in areas_of(board) if s.layer.endswith("outline")]
        assert len(found) == len(board.setups)
        assert clashing(found) == []


# --- layers, words, pictures ---------------------------------------------------------------------


@each_piece
def test_every_layer_is_known_and_has_no_character_that_programs_refuse(piece: str, name: str) -> None:
    """Open Design Alliance, Drawings SDK Developer Guide, "Naming Objects": no < > / \\ " : ; ? , * | = `."""
    for board in boards_named(piece, name, own(2, 3, 6)):
        for item in machine_items(board):
            layer = layer_of(item.layer)
            assert layer.name == item.layer
            assert layer.width in ISO_WIDTHS
            assert not set(item.layer) & set('<>/\\":;?,*|=`')
            assert item.layer not in {known.name for known in LAYERS}
            assert item.layer in (ZERO, WORDS) or layer.colour in COLOURS.values()


def test_a_layer_that_no_board_has_is_no_layer() -> None:
    for name in ("flat", "outline", "flat holes Z-3", ""):
        with pytest.raises(KeyError):
            layer_of(name)


def test_names_of_layers_for_an_old_file_are_in_its_letters_and_still_apart() -> None:
    """Release 12 takes letters, digits, $, - and _ (DXF Reference of AutoCAD R12, from memory)."""
    assert layer_name("flat last D3 Z-10.5", "R12") == "FLAT_LAST_D3_Z-10_5"
    assert layer_name("flat last D3 Z-10.5", "R2010") == "flat last D3 Z-10.5"
    for piece, name in EVERY:
        for board in boards_named(piece, name, own(2, 3, 6)):
            names = {item.layer for item in machine_items(board)}
            old = {layer_name(each, "R12") for each in names}
            assert len(old) == len(names)
            assert all(re.fullmatch(r"[A-Z0-9$_-]{1,31}", each) for each in old), old


@pytest.mark.parametrize("cutters", [(), (1.6, 2, 3), (3, 50), (1, 6, 25)])
@each_piece
def test_words_stand_clear_of_boards_paths_crosses_and_each_other(
    piece: str, name: str, cutters: tuple[float, ...]
) -> None:
    for board in boards_named(piece, name, own(*cutters)):
        items = machine_items(board)
        drawn = unary_union([LineString(item.points) for item in items if isinstance(item, Stroke)])
        texts = [item for item in items if isinstance(item, Label)]
        assert len(texts) >= len(board.setups)
        shapes = [words_box(item) for item in texts]
        for item, shape in zip(texts, shapes, strict=True):
            assert not drawn.intersects(shape), item.text
        assert clashing([(item.text, shape) for item, shape in zip(texts, shapes, strict=True)]) == []


def test_words_say_how_each_board_lies_and_where_its_reference_edge_is() -> None:
    tails, pins = boards_of("tool-tray").values()
    assert [item.text for item in machine_items(tails) if isinstance(item, Label)] == [
        "flat: inside face up, reference edge away from you; zero is the cross, on the upper face",
        *MILLED,
    ]
    assert [item.text for item in machine_items(pins) if isinstance(item, Label)] == [
        "end: upright, the inside face toward you",
        "reference edge on the left; zero is the cross, on the raw end",
        *MILLED,
    ]
    front = " ".join(
        item.text for item in machine_items(boards_of_box("keepsake-box")["front"]) if isinstance(item, Label)
    )
    assert "left end: upright, the inside face toward you reference edge on the right" in front
    assert "right end: upright, the inside face toward you reference edge on the left" in front
    (bottom,) = [item for item in machine_items(boards_of_box("keepsake-box")["bottom"]) if isinstance(item, Label)]
    assert bottom.text.startswith("flat: good face up, back edge away from you")


@each_piece
def test_the_picture_at_full_size_has_each_edge_once_and_no_path(piece: str, name: str) -> None:
    """A laser would burn twice what is drawn twice: the sockets of a flat board are edges of its outline."""
    for board in boards_named(piece, name, own(2, 3, 6)):
        sheet = picture_at_full_size(board, "a title")
        assert (sheet.title, sheet.scale) == ("a title", 1.0)
        lines = [item for item in sheet.items if isinstance(item, Stroke)]
        assert not [item for item in lines if " D" in item.layer]
        assert not [item for item in lines if item.layer.startswith("flat sockets")]
        outline = [Polygon(item.points) for item in lines if item.layer.endswith("outline")]
        meant = [Polygon(item.points) for item in areas_of(board) if item.layer.endswith("outline")]
        assert [shape.area for shape in outline] == pytest.approx([shape.area for shape in meant])
        texts = [item for item in sheet.items if isinstance(item, Label)]
        assert {item.text for item in texts} >= set(LASER)
        page = box(MARGIN, MARGIN, sheet.width - MARGIN, sheet.height - MARGIN).buffer(1e-6)
        for item in lines:
            assert page.covers(LineString(item.points)), item
        for item in texts:
            assert box(0, 0, sheet.width, sheet.height).covers(words_box(item)), item.text


@each_piece
def test_who_mills_is_told_of_loose_pieces_and_who_has_a_laser_of_fire(piece: str, name: str) -> None:
    for board in boards_named(piece, name):
        milled = [item.text for item in machine_items(board) if isinstance(item, Label)]
        burnt = [item.text for item in picture_at_full_size(board, "a title").items if isinstance(item, Label)]
        work = [setup for setup in board.setups if setup.joints or setup.grooves]
        assert [milled.count(words) for words in MILLED] == [len(work)] * len(MILLED)
        assert [burnt.count(words) for words in LASER] == [1] * len(LASER)
        assert not set(MILLED) & set(burnt)
        assert not set(LASER) & set(milled)
    assert "no loose piece fly" in " ".join(MILLED)
    assert "cautions" in " ".join(MILLED)
    assert "fire" in " ".join(LASER)


# --- shaped bottoms ------------------------------------------------------------------------------


def rings_of(*asked: str) -> tuple[dict[str, list[tuple[float, float]]], BoxLayout]:
    """The extent of each line of the keepsake box's bottom: its least and its greatest corner, by the layer's name."""
    made = box_of("keepsake-box", "box.panel.thickness=9", *asked)
    found = {}
    for stroke in strokes_of(outlines(machine_boards(made)["bottom"])):
        if stroke.closed:
            found[stroke.layer] = [min(stroke.points), max(stroke.points)]
    return found, made


def test_the_shoulder_of_a_rebated_bottom_is_drawn_within_its_outline() -> None:
    """As far inside as the border is wide, on a layer that tells how deep the rebate is."""
    rings, made = rings_of()
    panel, slab = made.recipe.panel, made.panel
    assert panel.edge == "rebated"
    assert slab is not None
    long, wide, _ = slab.size
    assert rings["flat outline"] == [pytest.approx((0, -wide)), pytest.approx((long, 0))]
    (name,) = (name for name in rings if "shoulder" in name)
    assert name == f"flat shoulder Z-{panel.step:g}"
    inset = panel.border
    assert rings[name] == [pytest.approx((inset, inset - wide)), pytest.approx((long - inset, -inset))]


def test_a_fielded_bottom_has_the_line_of_its_field_and_that_of_its_tongue() -> None:
    rings, made = rings_of("box.panel.edge=fielded")
    panel, slab = made.recipe.panel, made.panel
    assert slab is not None
    long, wide, _ = slab.size
    deep, inset = made.recipe.groove.depth, panel.border
    assert rings["flat field"] == [pytest.approx((inset, inset - wide)), pytest.approx((long - inset, -inset))]
    (tongue,) = (name for name in rings if "tongue" in name)
    assert rings[tongue] == [pytest.approx((deep, deep - wide)), pytest.approx((long - deep, -deep))]
    told = list(setup_words(machine_boards(made)["bottom"], machine_boards(made)["bottom"].lies))
    assert any("bevel from the one line down to the other" in words for words in told)
