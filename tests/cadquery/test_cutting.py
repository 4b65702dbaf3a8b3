"""A joint cut into boards of somebody else's model: what is taken, worked out by hand, and what is refused and why."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import cadquery as cq
import pytest

from solids.base.errors import FaultError, InputError, JointError
from solids.cadquery import corner, cut_joint, cutting
from solids.layout import Layout
from solids.layout.joint.volumes import (
    joint_overlap,
    pin_board_volume,
    socket_area,
    tail_area,
    tail_board_volume,
)
from solids.model.kernel import Solid
from solids.recipe import preset_text, read_recipe
from tests.corners import CASES, layout_of
from tests.irregular import at, irregular
from tests.sampling import few

TOP = 14.0
"""How far the pin boards run past the tail board's inside face (mm)."""


def block(x: float, y: float, z: float, *low: float) -> cq.Workplane:
    return cq.Workplane("XY").box(x, y, z, centered=False).translate(low)


def side(layout: Layout, past: float = 1.5) -> cq.Workplane:
    """A plain tail board that runs so far past the joint's depth."""
    return block(layout.width, 150 + layout.depth + past, layout.recipe.tail_board.thickness, 0, -150, 0)


def plain(layout: Layout) -> cq.Workplane:
    """A plain pin board."""
    top = max(TOP, layout.as_cut.pin_end)
    return block(layout.width, layout.recipe.pin_board.thickness, 150 + top, 0, 0, -150)


def bowed(layout: Layout, ends: float, middle: float) -> cq.Workplane:
    """A pin board with a bowed show face, so thick at its ends and half-way along."""
    arc = cq.Workplane("YZ").moveTo(0, -200).lineTo(0, TOP).lineTo(ends, TOP)
    return arc.threePointArc((middle, (TOP - 200) / 2), (ends, -200)).close().extrude(layout.width)


def tapered(layout: Layout, top: float, foot: float) -> cq.Workplane:
    """A leg: a pin board so thick at its top and at its foot."""
    outline = cq.Workplane("YZ").polyline([(0, -200), (foot, -200), (top, TOP), (0, TOP)])
    return outline.close().extrude(layout.width)


def volume(board: cq.Workplane | cq.Shape) -> float:
    return board.val().Volume() if isinstance(board, cq.Workplane) else board.Volume()  # type: ignore[union-attr]


def between_tails(layout: Layout, end: float) -> float:
    """The area that is cut from between the tails, from the baseline to their end."""
    return end * layout.width - sum(tail_area(layout, tail, end) for tail in layout.tails)


def sockets(layout: Layout, reach: float) -> float:
    """The area of all sockets from Y = 0 to a reach."""
    return sum(socket_area(layout, tail, reach) for tail in layout.tails)


def are_one_solid_each_and_apart(*boards: cq.Solid) -> None:
    assert all(board.isValid() and board.ShapeType() == "Solid" for board in boards)
    assert boards[0].intersect(boards[1]).Volume() == pytest.approx(0, abs=1e-6)


# --- what is taken -----------------------------------------------------------------------------------


@pytest.mark.parametrize("ends", [20.0, 22.0], ids=["just thick enough", "thicker"])
def test_a_bowed_drawer_front_loses_its_sockets_and_keeps_its_lap(ends: float) -> None:
    layout = layout_of("drawer-front")
    front, board = bowed(layout, ends, 31), side(layout, past=20)
    tails, pins = cut_joint(board, front, "drawer-front")
    are_one_solid_each_and_apart(tails, pins)
    d, thick = layout.depth, layout.recipe.tail_board.thickness
    assert volume(front) - volume(pins) == pytest.approx(TOP * sockets(layout, d), rel=1e-7)
    assert volume(board) - volume(tails) == pytest.approx(
        thick * (between_tails(layout, d) + 20 * layout.width), rel=1e-9
    )
    assert tails.BoundingBox().ymax == pytest.approx(d, abs=1e-6), "cut off at the lap"
    lap = block(layout.width, layout.recipe.lap, TOP, 0, d, 0).val()
    assert pins.intersect(lap).Volume() == pytest.approx(lap.Volume(), rel=1e-9)  # type: ignore[union-attr]


def test_a_tapered_leg_is_cut_through_its_leaning_face() -> None:
    """At a height z the leg is y = t + k (TOP - z) thick. Each socket there covers y w - (2 d y - y^2)/N + 2 y g s, so
    that over the height powers of y are integrated; the flank gap widens each socket."""
    layout = layout_of("tool-tray", "fit.flank_gap=0.05")
    thin, foot = 12.0, 20.0
    leg, board = tapered(layout, thin, foot), side(layout, past=3)
    tails, pins = cut_joint(board, leg, "tool-tray", ["fit.flank_gap=0.05"])
    are_one_solid_each_and_apart(tails, pins)
    lean = (foot - thin) / (200 + TOP)
    low, high = thin, thin + lean * TOP
    ys, squares = (high**2 - low**2) / (2 * lean), (high**3 - low**3) / (3 * lean)
    taken = sum(
        ys * (tail.width + 2 * layout.shift(layout.flanks[0]))
        - (2 * layout.depth * ys - squares) / layout.recipe.slope_ratio
        for tail in layout.tails
    )
    assert volume(leg) - volume(pins) == pytest.approx(taken, rel=1e-9)
    cut_away = layout.recipe.tail_board.thickness * between_tails(layout, layout.depth + 3)
    assert volume(board) - volume(tails) == pytest.approx(cut_away, rel=1e-9)


@pytest.mark.parametrize("past", [0.0, 2.5], ids=["as long as the joint", "longer"])
def test_an_irregular_joint_loses_what_its_flanks_its_rebate_and_its_mitre_take(past: float) -> None:
    """The boards of `tests/irregular.py` end 13.2 and 10.8 past the inside corner, as the joint's own do. Past that,
    the longer ones are cut through in the same lines, by trapezoids whose width half-way counts; and in the mitred
    strip nothing of them stays."""
    layout = irregular("finish.planing=0")
    tails = block(96, 150 + 13.2 + past, 10, 0, -150, 0)
    pins = block(96, 12, 150 + 10.8 + past, 0, 0, -150)
    ours = replace(layout.recipe.tail_board, length=150.0), replace(layout.recipe.pin_board, length=150.0)
    long = replace(layout, recipe=replace(layout.recipe, tail_board=ours[0], pin_board=ours[1]))
    cut_tails, cut_pins = map(cq.Solid, cutting.cut_both(layout, wrapped(tails), wrapped(pins)))
    are_one_solid_each_and_apart(cut_tails, cut_pins)
    middle = at(13.2 + past / 2)
    further = middle[0] + middle[2] - middle[1] + middle[4] - middle[3]
    assert volume(cut_tails) == pytest.approx(tail_board_volume(long, long.as_cut) + 8 * past * further, rel=1e-9)
    left = sum(layout.pin_widths(6.0))
    assert volume(cut_pins) == pytest.approx(pin_board_volume(long, long.as_cut) + 12 * past * left, rel=1e-9)


def wrapped(board: cq.Workplane) -> Solid:
    return board.val().wrapped  # type: ignore[union-attr, return-value]


def test_a_bowed_tail_board_is_cut_through_its_bowed_face() -> None:
    """A cushion: the board is a circle's segment thicker in the middle of its width, the joint within it."""
    layout = layout_of("tool-tray")
    width, thick = layout.width, layout.recipe.tail_board.thickness
    arc = cq.Workplane("XZ").moveTo(0, 0).lineTo(width, 0).lineTo(width, thick)
    cushion = arc.threePointArc((width / 2, thick + 5), (0, thick)).close().extrude(150 + layout.depth)
    board = cushion.translate((0, layout.depth, 0))
    tails, pins = cut_joint(board, plain(layout), "tool-tray")
    are_one_solid_each_and_apart(tails, pins)
    radius = (width**2 / 4 + 25) / 10

    def above(x: float) -> float:
        """What stands above the inside face from 0 to x, integrated."""
        u = x - width / 2
        return (u * math.sqrt(radius**2 - u**2) + radius**2 * math.asin(u / radius)) / 2 + x * (thick + 5 - radius)

    # By slices along the tails, at their middles.
    steps, taken = 200, 0.0
    for k in range(steps):
        y = layout.depth * (k + 0.5) / steps
        taken += sum(above(right) - above(left) for left, right in layout.gap_spans(y)) * layout.depth / steps
    assert volume(board) - volume(tails) == pytest.approx(taken, rel=1e-6)


@pytest.mark.parametrize("name", few(CASES, 6))
def test_plain_boards_become_the_boards_of_the_corner(name: str) -> None:
    preset, *overrides = CASES[name]
    layout = layout_of(preset, *overrides)
    cut = layout.as_cut
    boards = side(layout, past=cut.tail_end - layout.depth), plain(layout)
    made = cut_joint(*boards, preset, overrides)
    meant = corner(preset, [*overrides, "tail_board.length=150 mm", "pin_board.length=150 mm"]).objects
    for done, board in zip(made, ("tail board", "pin board"), strict=True):
        proved = meant[board].obj
        sawn = block(400, 400, cut.pin_end + 200, -100, -200, -200).val()
        inside = done.intersect(sawn)
        assert inside.Volume() == pytest.approx(proved.Volume(), rel=1e-9)
        assert inside.intersect(proved).Volume() == pytest.approx(proved.Volume(), rel=1e-9)
    shared = made[0].intersect(made[1]).Volume()
    assert shared == pytest.approx(joint_overlap(layout), rel=1e-7, abs=1e-6), "what tight flanks share, and no more"


def test_chamfers_and_hollows_come_with_the_joint() -> None:
    overrides = ["entry_chamfer.width=0.8", "undercut.depth=0.3"]
    layout = layout_of("tool-tray", *overrides)
    tails, pins = cut_joint(side(layout), plain(layout), "tool-tray", overrides)
    plain_tails, plain_pins = cut_joint(side(layout), plain(layout), "tool-tray")
    are_one_solid_each_and_apart(tails, pins)
    land, t = layout.recipe.undercut.land, layout.recipe.tail_board.thickness
    chamfers = 2 * 4 * layout.flanks[0].stretch * layout.chamfer_reach * 0.8**2 / 2
    hollows = 0.3 * (t - 2 * land) / 2 * (sum(layout.tail_board_gaps(0.0)) - 2 * land)
    assert volume(plain_tails) - volume(tails) == pytest.approx(chamfers + hollows, rel=1e-6)
    assert volume(plain_pins) - volume(pins) > 0


def test_boards_wider_than_the_joint_keep_shoulders_there() -> None:
    """10 mm more on one side, 4 on the other: of the tail board nothing passes the baseline there, and the pin board
    stays whole."""
    layout = layout_of("tool-tray")
    wide = layout.width + 14
    thick, deep = layout.recipe.tail_board.thickness, layout.recipe.pin_board.thickness
    board = block(wide, 150 + layout.depth, thick, -10, -150, 0)
    post = block(wide, deep, 150 + TOP, -10, 0, -150)
    tails, pins = cut_joint(board, post, "tool-tray")
    are_one_solid_each_and_apart(tails, pins)
    taken = thick * (between_tails(layout, layout.depth) + 14 * layout.depth)
    assert volume(board) - volume(tails) == pytest.approx(taken, rel=1e-9)
    assert volume(post) - volume(pins) == pytest.approx(TOP * sockets(layout, deep), rel=1e-9)


# --- where it is, and what it is cut by --------------------------------------------------------------

TURNED = cq.Plane(origin=(40, -7, 12), xDir=(0.6, 0, 0.8), normal=(0, 1, 0))


@pytest.mark.parametrize("as_location", [False, True], ids=["plane", "location"])
def test_the_joint_may_stand_anywhere(as_location: bool) -> None:
    layout = layout_of("drawer-front")
    at = TURNED.location if as_location else TURNED
    here = side(layout), bowed(layout, 22, 31)
    there = [cq.Workplane(board.val().moved(TURNED.location)) for board in here]  # type: ignore[union-attr]
    for meant, done in zip(cut_joint(*here, layout), cut_joint(*there, layout, at=at), strict=True):
        assert done.Volume() == pytest.approx(meant.Volume(), rel=1e-9)
        assert done.intersect(meant.moved(TURNED.location)).Volume() == pytest.approx(meant.Volume(), rel=1e-7)


@pytest.mark.whole
def test_a_recipe_comes_from_wherever_it_is(tmp_path: Path) -> None:
    layout, text = layout_of("tool-tray"), preset_text("tool-tray")
    file = tmp_path / "own.toml"
    file.write_text(text, "utf-8")
    sources = ("tool-tray", file, text, read_recipe("tool-tray"), layout)
    found = [cut_joint(side(layout).val(), plain(layout), source)[1].Volume() for source in sources]  # type: ignore[arg-type]
    assert found == pytest.approx([found[0]] * 5, rel=1e-12)


# --- what is refused ---------------------------------------------------------------------------------

REFUSED: dict[str, tuple[str, Callable[[Layout], tuple[object, object]], str]] = {
    "a tail board too thin": (
        "tool-tray",
        lambda it: (block(96, 200, 8, 0, -150, 0), plain(it)),
        r"the tail board lacks 2304 mm3 .*missing lies at X 0 mm to 96 mm, Y 0 mm to 12 mm, Z 8 mm to 10 mm",
    ),
    "a front bowed inward, thinner than its lap": (
        "drawer-front",
        lambda it: (side(it), bowed(it, 20, 15)),
        r"the pin board lacks .*missing lies at X 0 mm to 110 mm, Y .* to 20 mm, Z 0 mm to 11 mm",
    ),
    "a tail board that ends in the joint": (
        "tool-tray",
        lambda it: (side(it, past=-2), plain(it)),
        r"the tail board lacks 1920 mm3 .*Y 10 mm to 12 mm",
    ),
    "an inside face that is not flat": (
        "tool-tray",
        lambda it: (side(it), plain(it).union(block(20, 2, 5, 30, -2, 3))),
        r"the pin board stands out of its inside face \(Y = 0 of `at`\) by up to 2 mm where the tail board comes",
    ),
    "a tail board set too low": (
        "tool-tray",
        lambda it: (side(it).translate((0, 0, -0.25)), plain(it)),
        r"the tail board stands out of its inside face \(Z = 0 of `at`\) by up to 0.25 mm",
    ),
    "tails that run out until they meet": (
        "tool-tray",
        lambda it: (side(it, past=11), plain(it)),
        r"the tail board reaches out to Y = 23 mm of `at`, and at 22.5 mm the gaps between its tails have narrowed to",
    ),
    "a leg so thick that its pins vanish": (
        "tool-tray",
        lambda it: (side(it), tapered(it, 24, 30)),
        r"the pin board reaches out to Y = .*, and at 22.5 mm one of its pins has narrowed to nothing",
    ),
    "a tail board that falls apart": (
        "tool-tray",
        lambda it: (block(96, 13, 10, 0, 0, 0), plain(it)),
        r"the tail board does not stay one valid solid .*4 solids came out.* run on behind the joint in one piece",
    ),
    "two solids": (
        "tool-tray",
        lambda it: (side(it).add(block(5, 5, 5, 0, 0, 90)), plain(it)),
        "the tail board has 2 solids; give one",
    ),
    "a face": ("tool-tray", lambda it: (side(it), plain(it).faces(">Y").val()), "the pin board has 0 solids"),
    "no shape": ("tool-tray", lambda it: (side(it), "plank"), "the pin board is a str; give a cadquery Workplane"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_does_not_take_the_joint_is_refused_with_the_board_and_how_much(name: str) -> None:
    preset, boards, said = REFUSED[name]
    with pytest.raises(InputError, match=said):
        cut_joint(*boards(layout_of(preset)), preset)  # type: ignore[arg-type]


def test_a_board_inside_out_is_refused() -> None:
    layout = layout_of("tool-tray")
    turned = cq.Solid(side(layout).val().wrapped.Reversed())  # type: ignore[union-attr]
    with pytest.raises(InputError, match="the tail board is no valid solid"):
        cut_joint(turned, plain(layout), layout)


@pytest.mark.parametrize("at", [(0, 0, 0), "XY", cq.Vector(0, 0, 0)], ids=str)
def test_what_is_no_frame_is_refused(at: object) -> None:
    layout = layout_of("tool-tray")
    with pytest.raises(InputError, match=r"`at` is a .*; give a cadquery Plane or Location"):
        cut_joint(side(layout), plain(layout), layout, at=at)  # type: ignore[arg-type]


def test_a_frame_on_a_bowed_face_is_refused() -> None:
    """The frame lies on the show face of a bowed front, as if that were its inside."""
    layout = layout_of("drawer-front")
    at = cq.Location(cq.Vector(0, 25, 0))
    with pytest.raises(InputError, match=r"the pin board stands out of its inside face \(Y = 0 of `at`\)"):
        cut_joint(side(layout).translate((0, 25, 0)), bowed(layout, 22, 31), layout, at=at)


def test_what_is_wrong_with_both_boards_comes_at_once() -> None:
    layout = layout_of("tool-tray")
    with pytest.raises(InputError, match=r"^the tail board lacks .*\nthe pin board lacks .*Y 11 mm to 12 mm"):
        cut_joint(block(96, 200, 8, 0, -150, 0), block(96, 11, 164, 0, 0, -150), layout)


def test_a_recipe_that_is_no_good_joint_is_refused() -> None:
    layout = layout_of("tool-tray")
    boards = side(layout), plain(layout)
    with pytest.raises(JointError, match="anyway=True"):
        cut_joint(*boards, "tool-tray", ["fit.flank_gap=-0.2"])
    assert all(board.isValid() for board in cut_joint(*boards, "tool-tray", ["fit.flank_gap=-0.2"], anyway=True))
    with pytest.raises(InputError, match="single corner"):
        cut_joint(*boards, "keepsake-box")
    with pytest.raises(InputError, match="read it with them"):
        cut_joint(*boards, layout, ["joint.tails=5"])


# --- the proof can fail ------------------------------------------------------------------------------


def test_wood_that_both_boards_keep_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    layout = layout_of("tool-tray")
    tight = layout_of("tool-tray", "fit.flank_gap=-0.001")
    plainly = cutting._pin_tools
    monkeypatch.setattr(cutting, "_pin_tools", lambda _, board: plainly(tight, board))
    with pytest.raises(FaultError, match="they still share 0"):
        cut_joint(side(layout), plain(layout), layout)


def test_wood_that_is_gone_and_should_not_be_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    layout = layout_of("tool-tray")
    plainly = cutting._cut
    more = block(1, 1, 1, 40, -100, 4).val().wrapped  # type: ignore[union-attr]
    monkeypatch.setattr(cutting, "_cut", lambda board, tools: plainly(board, [*tools, more]))
    with pytest.raises(FaultError, match="mm3 are gone, its tools hold"):
        cut_joint(side(layout), plain(layout), layout)
