"""A side of a drawer runs on below the back: what that changes at the bench, on paper, for CAM, and in the proof of the
corner. The back is 94 wide and begins 16 above the lower edge of sides of 110."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.aids.catalogue import make_aids
from solids.aids.making.asked import AidsAsked
from solids.base.errors import RecipeError
from solids.base.messages import said
from solids.bench.listing import tail_rows
from solids.bench.milling import tail_board_cut
from solids.bench.place_words import place_words
from solids.bench.procedure import order_of_work
from solids.bench.settings import bench_of
from solids.layout import Layout
from solids.layout.box.kinds import kinds_of_corner, shown_layout
from solids.layout.joint.volumes import tail_board_volume
from solids.layout.setups import machine_boards
from solids.model.boards import face_count, tail_board
from solids.model.corner import make_corner
from solids.model.kernel import bounds, faces_of, moved, topology, volume_of
from solids.proof.assembly import prove_piece
from solids.proof.joint import corner
from solids.proof.joint.contacts import contacts
from solids.proof.waste import proved_waste
from solids.write.drafting.dimensions import drawn, words_width
from solids.write.drafting.outlines import outlines, paths
from solids.write.drafting.pockets import tail_board_sockets
from solids.write.drafting.sheet import Label, Stroke
from solids.write.drafting.template import strips
from solids.write.drafting.views import shop_drawing
from solids.write.page.contents import flat_layout
from tests.boxes import box_of

KIT = ("kit.cutters=[6, 3]", "kit.saw_kerf=0.6", "kit.chisels=[6, 7]")
BACK = {"back left": (16.0, 0.0), "back right": (0.0, 16.0)}
"""How far the tail board runs on past X = 0 and past X = W: one corner's frame runs up, the other's down."""

each_back = pytest.mark.parametrize("name", BACK)


def back(name: str, *overrides: str) -> Layout:
    return shown_layout(box_of("desk-drawer", *KIT, *overrides), (name,))  # type: ignore[arg-type]


def edges(name: str) -> tuple[float, float]:
    """The X of the wall toward the joint, and of the board's own edge."""
    return (0.0, -16.0) if name == "back left" else (94.0, 110.0)


@each_back
def test_the_tail_board_is_as_wide_as_the_side_and_its_strip_as_long(name: str) -> None:
    layout = back(name)
    assert (layout.width, layout.strips) == (94, BACK[name])
    for state in (layout.as_cut, layout.as_finished):
        board = tail_board(layout, state)
        (x0, y0, _), (x1, y1, _) = bounds(board)
        assert (x0, x1) == pytest.approx((min(0.0, edges(name)[1]), max(94.0, edges(name)[1])))
        assert (y0, y1) == pytest.approx((-layout.recipe.tail_board.length, state.tail_end))
        plain = replace(layout, below=0.0)
        strip = 16 * state.show_z * (layout.recipe.tail_board.length + state.tail_end)
        assert volume_of(board) - volume_of(tail_board(plain, state)) == pytest.approx(strip, rel=1e-12)
        assert tail_board_volume(layout, state) == pytest.approx(volume_of(board), rel=1e-12)
        assert topology(board).faces == face_count(layout, state)[0] == face_count(plain, state)[0] + 2


@each_back
@pytest.mark.parametrize(
    "overrides",
    [(), ("fit.flank_gap=0.08",), ("fit.flank_gap=-0.03",), ("undercut.depth=0.3", "finish.planing=0.4")],
)
def test_such_a_corner_passes_and_its_edge_lies_against_the_wood(name: str, overrides: tuple[str, ...]) -> None:
    layout = back(name, *overrides)
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    proof = corner.prove(cut, finished)
    assert [finding.said for finding in proof.findings if finding.severity == "fail"] == []
    (edge,) = [contact for contact in proof.contacts if contact.meeting.kind == "edge"]
    assert edge.matches
    assert edge.area == pytest.approx(12 * 11), "the back's thickness by the side's"


@each_back
def test_a_back_that_stands_off_the_wood_beside_it_is_seen(name: str) -> None:
    layout = back(name)
    cut = make_corner(layout, layout.as_cut)
    away = 0.01 if name == "back left" else -0.01
    pins = faces_of(moved(cut.pin_board, (away, 0.0, 0.0)))
    untrue = {found.meeting.kind for found in contacts(layout, faces_of(cut.tail_board), pins) if not found.matches}
    assert "edge" in untrue


@each_back
def test_the_socket_beside_the_wood_that_stays_is_sawn_and_chopped(name: str) -> None:
    layout = back(name)
    bench = bench_of(layout)
    beside = [fit for fit in bench.chisels if fit.sockets == "tail board, beside the wood that stays"]
    assert [(fit.is_open, fit.own) for fit in beside] == [(False, 7)]
    assert beside[0].widest == pytest.approx(6 + (12 - 3) / 7), "a half pin, and what the flank leans above the blade"
    (line,) = [line for line in bench.saw_lines if line.name == "beside the wood that stays"]
    assert (line.start, line.end) == (0, 0), "where the joint begins, at either corner"
    assert line.kerf == pytest.approx((0, 0.6)), "in the waste, and not aslant"
    work = {step.what: step.how for step in order_of_work(layout)}
    assert "At the other, saw square down beside the wood that stays" in work["Clear between the tails"]
    assert "both edges" not in work["Clear between the tails"]


def test_the_order_of_work_says_where_the_back_lies_on_the_side() -> None:
    for name in BACK:
        lies = next(s.how for s in order_of_work(back(name)) if s.what == "Mark the pins")
        assert "the pin board's reference edge on the line where the joint begins" in lies


@each_back
def test_no_path_of_a_cutter_leaves_its_socket_into_the_wood_that_stays(name: str) -> None:
    layout = back(name)
    board = machine_boards(box_of("desk-drawer", *KIT))[name.removeprefix("back ")]
    (flat,) = board.setups
    (joint,) = [each for each in flat.joints if each.corner == name]
    # Flat, inside face up: the strip is the 16 mm along the edge at Y = 0, and the board's back end is at this X.
    end, inward = (flat.x[0], 1.0) if joint.side == "left" else (flat.x[1], -1.0)
    assert (joint.side == "left") is (name == "back left")
    back_end = [
        stroke.points
        for stroke in paths(board)
        if isinstance(stroke, Stroke)
        and stroke.layer == "flat last D3 Z-11"
        and all((x - end) * inward < layout.as_cut.tail_end for x, _ in stroke.points)
    ]
    assert len(back_end) == 4
    radius = 1.5
    assert max(y for ring in back_end for _, y in ring) == pytest.approx(-16 - radius)
    (outline,) = [s for s in outlines(board) if isinstance(s, Stroke) and s.layer == "flat outline"]
    reach = [y for x, y in outline.points if x == pytest.approx(end)]
    assert {0.0, -16.0} <= {round(y, 9) + 0.0 for y in reach}, "the strip ends where the tails do"
    closed = [len(pocket.closed_corners) for pocket in tail_board_sockets(layout)]
    assert closed == ([2, 2, 2, 1] if name == "back left" else [1, 2, 2, 2])


@each_back
def test_a_cutter_must_pass_the_closed_socket_too(name: str) -> None:
    """At the raw end a half pin has 6 - 0.5/7, a pin 4 - 1/7: with no pin between two tails the half pin decides."""
    assert tail_board_cut(back(name)).opening == pytest.approx(4 - 1 / 7)
    alone = back(name, "box.joints.back.tails=1")
    assert tail_board_cut(alone).opening == pytest.approx(6 - 0.5 / 7)


@each_back
def test_the_drawing_has_the_strip_within_its_frame_and_its_width(name: str) -> None:
    layout = back(name)
    sheet = shop_drawing(layout, "A4")
    labels = {item.text for item in drawn(sheet.items) if isinstance(item, Label)}
    assert "16" in labels
    assert set(place_words(layout)) <= labels
    wide = shop_drawing(back(name, "box.groove.up=50", "box.height=150"), "A4")
    for found in (sheet, wide):
        points = [point for item in drawn(found.items) if isinstance(item, Stroke) for point in item.points]
        frame = [p for item in found.items if isinstance(item, Stroke) and item.layer == "frame" for p in item.points]
        for axis in (0, 1):
            assert min(p[axis] for p in points) >= min(p[axis] for p in frame) - 1e-9
            assert max(p[axis] for p in points) <= max(p[axis] for p in frame) + 1e-9


@each_back
def test_the_template_is_as_wide_as_the_side_and_shows_the_wood_that_stays(name: str) -> None:
    """The side is 110 wide, the back 94: 16 stay beside the joint. The strip is cut to 110 and its cut line stands 16
    from the lower edge, which is on the left at the back left corner and on the right at the back right."""
    layout = back(name)
    tails, pins = strips(layout)
    assert (tails.width, pins.width) == pytest.approx((110, 94))
    wall = 16.0 if name == "back left" else 94.0
    walls = [s for s in tails.items if isinstance(s, Stroke) and {x for x, _ in s.points} == {wall}]
    assert [(s.layer, s.points[0][1], s.points[1][1]) for s in walls] == [("cut lines", *tails.baselines)]
    stays = [item for item in tails.items if isinstance(item, Label) and item.text == "stays"]
    assert len(stays) == 3, "on both faces and on the end"
    low, high = (0.0, 16.0) if name == "back left" else (94.0, 110.0)
    assert all(low < item.at[0] < high for item in stays)
    assert not [item for item in pins.items if isinstance(item, Label) and item.text == "stays"]


@each_back
def test_the_template_shows_the_groove_of_the_side_where_the_bottom_runs(name: str) -> None:
    """The groove is 10 to 16 from the side's lower edge, 5 deep, and runs out at the end: its notch in the end grain
    hangs 5 below the fold of the inside face. The back stands above it and has none."""
    tails, pins = strips(back(name))
    low, high = (10.0, 16.0) if name == "back left" else (94.0, 100.0)
    face, notch = [s.points for s in tails.items if isinstance(s, Stroke) and s.layer == "groove"]
    assert {x for x, _ in face} == {x for x, _ in notch} == {low, high}
    assert (min(y for _, y in face), max(y for _, y in face)) == pytest.approx((tails.folds[1], tails.height))
    assert (min(y for _, y in notch), max(y for _, y in notch)) == pytest.approx((tails.folds[1] - 5, tails.folds[1]))
    assert not [s for s in pins.items if isinstance(s, Stroke) and s.layer == "groove"]


def test_one_drawing_for_both_hands_shows_the_groove_at_either_edge_and_says_so() -> None:
    """Keepsake box: 10 to 15 from the lower edge of 80, so 65 to 70 where the paper is turned; 4 deep, and stopped 4
    past the baseline of the tail board."""
    found = box_of("keepsake-box")
    layout = shown_layout(found, tuple(found.corners))
    tails, pins = strips(layout)
    for strip, end in ((tails, tails.baselines[1] - 4), (pins, pins.baselines[1])):
        grooves = [s.points for s in strip.items if isinstance(s, Stroke) and s.layer == "groove"]
        assert sorted((min(x for x, _ in g), max(x for x, _ in g)) for g in grooves) == [(10, 15), (65, 70)]
        assert [min(y for _, y in g) for g in grooves] == pytest.approx([end, end])
    (step,) = [step.how for step in order_of_work(layout) if step.what == "Plough the groove"]
    assert "5 mm wide, 4 mm deep, 10 mm above the reference edge, in the inside face of both boards" in step
    assert "stop it 8.5 mm short of the raw end" in step, "12 thick and 0.5 proud, less 4"
    assert "In the pin board plough right through" in step, "10 to 15 is within the first socket"
    assert "cut it at the reference edge alone" in step


def test_the_groove_is_cut_before_a_joint_is_laid_out_and_only_where_there_is_one() -> None:
    steps = [step.what for step in order_of_work(back("back left"))]
    assert steps.index("Saw to length") < steps.index("Plough the groove") < steps.index("Gauge")
    found = box_of("keepsake-box", "box.groove.width=0")
    layout = shown_layout(found, tuple(found.corners))
    assert layout.groove is None
    assert "Plough the groove" not in [step.what for step in order_of_work(layout)]


@each_back
def test_the_page_draws_the_strip_beside_the_tails(name: str) -> None:
    layout = back(name)
    flat = flat_layout(layout)
    xs = [float(point.split(",")[0]) for point in flat.board.split()]
    ends = {float(x) for x, y in (point.split(",") for point in flat.board.split()) if float(y) == 0.0}
    assert (min(xs), max(xs)) == (min(0.0, edges(name)[1]), max(94.0, edges(name)[1]))
    assert ends == set(edges(name)), "as far as the tails reach"
    left, _, width, _ = (float(part) for part in flat.box.split())
    assert left < min(xs)
    assert left + width > max(xs)
    assert tail_rows(layout)[0][1] == "from line"


def test_a_refusal_of_an_aid_names_keys_that_a_box_has() -> None:
    small = box_of("keepsake-box", "box.length=40", "box.width=44", "box.groove.width=0")
    layout = shown_layout(small, tuple(small.corners))
    refused = {item.name: said(item.remedy) for item in make_aids(layout, AidsAsked(("paring-blocks",))).refused}
    assert refused == {
        "paring-block-tails": "Take a larger box.width.",
        "paring-block-pins": "Take a larger box.length.",
    }


def test_planing_names_the_end_of_the_wood_that_runs_on() -> None:
    (ends,) = [each.what for each in bench_of(back("back left")).planing if "tails" in each.what]
    assert ends == "ends of the tails and of the wood beside them, on the pin board's show face"


@pytest.mark.parametrize("name", ["keepsake-box", "desk-drawer"])
def test_the_drawing_shows_the_groove_and_no_word_on_it(name: str) -> None:
    found = box_of(name)
    for names in kinds_of_corner(found):
        layout = shown_layout(found, names)
        groove = layout.groove
        assert groove is not None
        sheet = shop_drawing(layout, "A4")
        labels = [item for item in drawn(sheet.items) if isinstance(item, Label)]
        sizes = f"groove: {groove.width:g} mm wide, {groove.depth:g} mm deep, {groove.up:g} mm above the reference edge"
        assert [label for label in labels if label.text.startswith(sizes)]
        hidden = [item.points for item in sheet.items if isinstance(item, Stroke) and item.layer == "hidden edges"]
        wide = groove.width * sheet.scale
        upright = [points for points in hidden if len(points) == 4 and points[0][0] == points[1][0]]
        assert [points[2][0] - points[1][0] for points in upright] == pytest.approx([wide] * len(groove.spans))
        for label in (label for label in labels if "°" in label.text):
            half = words_width(label.text) / 2
            for points in upright:
                low, high = points[0][0], points[-1][0]
                assert label.at[0] + half < low or high < label.at[0] - half


# --- a back that ends below the sides too ------------------------------------------------------------

DOWN = "box.back.down=4"
"""The sides run on 16 below the back and 4 above it: the back is 90 wide."""


@each_back
def test_wood_may_stay_on_both_sides_of_a_joint(name: str) -> None:
    """By hand: on either side a strip of 11 thick runs with the board and past the baseline to the tails' ends, 20 wide
    in all."""
    layout = back(name, DOWN)
    strips_by_x = (16.0, 4.0) if name == "back left" else (4.0, 16.0)
    assert (layout.width, layout.strips) == (90, strips_by_x)
    plain = replace(layout, below=0.0, above=0.0)
    for state in (layout.as_cut, layout.as_finished):
        board = tail_board(layout, state)
        (x0, _, _), (x1, _, _) = bounds(board)
        assert (x0, x1) == pytest.approx((-strips_by_x[0], 90 + strips_by_x[1]))
        strip = 20 * state.show_z * (layout.recipe.tail_board.length + state.tail_end)
        assert volume_of(board) - tail_board_volume(plain, state) == pytest.approx(strip, rel=1e-12)
        assert tail_board_volume(layout, state) == pytest.approx(volume_of(board), rel=1e-12)
        assert topology(board).faces == face_count(layout, state)[0] == face_count(plain, state)[0] + 4


@each_back
def test_both_edges_of_the_back_lie_against_the_wood(name: str) -> None:
    layout = back(name, DOWN)
    proof = corner.prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))
    assert [finding.said for finding in proof.findings if finding.severity == "fail"] == []
    edges = [contact for contact in proof.contacts if contact.meeting.kind == "edge"]
    assert [(edge.meeting.name, edge.area) for edge in edges] == [
        (f"pin board's {which} beside the wood that runs on", pytest.approx(12 * 11))
        for which in (("edge", "other edge") if name == "back left" else ("other edge", "edge"))
    ]


@each_back
def test_what_is_said_of_wood_on_both_sides(name: str) -> None:
    layout = back(name, DOWN)
    told = " ".join(place_words(layout))
    assert "begins 16 mm (0.63 in) above the reference edge and ends 4 mm (0.157 in) below the other edge" in told
    assert "below and above it stays" in told
    bench = bench_of(layout)
    assert [fit.is_open for fit in bench.chisels if fit.sockets == "tail board, beside the wood that stays"] == [False]
    assert len([line for line in bench.saw_lines if line.name == "beside the wood that stays"]) == 2
    work = {step.what: step.how for step in order_of_work(layout)}
    assert "At both edges saw square down beside the wood that stays" in work["Clear between the tails"]
    assert not [line for line in bench.scribes if "edge" in line.face and line.board == "tail board"]
    tails, pins = strips(layout)
    assert (tails.width, pins.width) == pytest.approx((110, 90))
    assert len([item for item in tails.items if isinstance(item, Label) and item.text == "stays"]) == 6


def test_a_drawer_whose_back_ends_lower_is_proved_with_its_waste() -> None:
    """Each board less its waste is the board as cut, and all go together."""
    proof = prove_piece(box_of("desk-drawer", DOWN))
    assert proof.passes
    assert proof.box.boards["back"].width == 90
    assert proof.box.corners["back left"].above == proof.box.corners["back right"].above == 4
    assert len(proved_waste(proof.assembly, proof.cut)) == 4


def test_a_back_that_ends_lower_needs_the_tails_on_the_sides() -> None:
    with pytest.raises(RecipeError, match=r"box\.back\.down: needs the tails on the sides"):
        box_of("keepsake-box", DOWN, 'box.tails_on="ends"')


def test_a_box_with_its_bottom_in_all_boards_may_have_a_lower_back() -> None:
    """The groove passes through the back's lowest tail; above the back its sides stand 4 higher."""
    proof = prove_piece(box_of("keepsake-box", DOWN))
    assert proof.passes
    assert proof.box.boards["back"].width == proof.box.recipe.height - 4
    assert proof.box.corners["back left"].turned.strips == (0.0, 4.0)
