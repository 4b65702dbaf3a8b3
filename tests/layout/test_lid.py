"""A lid that is sawn off: where its tails and pins fall, what is left of each board, and what is refused."""

from __future__ import annotations

from functools import partial

import pytest

from solids.base.errors import RecipeError
from solids.layout.assembly import assembly_of
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.halves import half_pins_left, halves_of, sawn_parts, tails_cut_by
from solids.layout.box.fitted.hinges import leaf_spans, mortises
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan
from solids.recipe.text.frozen import frozen_toml
from tests.lids import CHEST, HINGES, chest

DEEP = (*HINGES, "box.lid.hinge.thickness=40")


def told(*overrides: str, text: str = CHEST) -> dict[str, str]:
    """What is refused, by key."""
    with pytest.raises(RecipeError) as err:
        plan(text, overrides)
    return {problem.key: f"{problem.wrong}; {problem.remedy}" for problem in err.value.told}


# --- the pin at the cut ------------------------------------------------------------------------------


def test_the_pin_at_the_cut_is_two_half_pins_the_kerf_and_both_planings() -> None:
    """By hand: half pins of 5, a kerf of 1 and 0.5 planed off both edges make a pin of 5 + 0.5 + 1 + 0.5 + 5 = 12, its
    middle at 95. Below it stand tails on 94 mm as on a box so high, above it on 44 mm."""
    layout = chest().corners["front left"].layout
    edges = [(round(tail.left, 9), round(tail.right, 9)) for tail in layout.tails]
    below, above = (94 - 2 * 5 - 2 * 3) / 3, (44 - 2 * 5 - 3) / 2
    assert edges == [
        (5, 5 + below),
        (8 + below, 8 + 2 * below),
        (11 + 2 * below, 89),
        (101, 101 + above),
        (104 + above, 135),
    ]
    assert half_pins_left(chest())["back right"] == pytest.approx((5, 5))


def test_the_maker_says_how_many_tails_are_on_the_lid() -> None:
    tails = chest("joint.tails=6", "joint.lid_tails=1").corners["front left"].layout.tails
    assert [tail.left > 95 for tail in tails] == [False] * 5 + [True]
    shared = chest("joint.tails=6").corners["front left"].layout.tails  # 44 of 138 mm are the lid's: 1.9 of 6
    assert [tail.left > 95 for tail in shared] == [False] * 4 + [True] * 2


@pytest.mark.parametrize("spacing", ["graduated", "by eye"])
def test_each_half_has_the_spacing_that_is_asked_for(spacing: str) -> None:
    """The box below the cut is laid out as a box of its height alone would be."""
    layout = chest(f"joint.spacing={spacing}", "joint.tails=8", "joint.lid_tails=3").corners["front left"].layout
    alone = plan(
        CHEST.replace("[box.lid]\nat = 95\n", ""), ("box.height=94", "joint.tails=5", f"joint.spacing={spacing}")
    )
    assert isinstance(alone, BoxLayout)
    widths = [tail.width for tail in alone.corners["front left"].layout.tails]
    assert [tail.width for tail in layout.tails][:5] == pytest.approx(widths)


def test_lists_of_the_maker_go_before_the_rule() -> None:
    flanks = "joint.flanks=[[5, 6.5], [40, 38.5], [52, 53.5], [135, 133.5]]"
    layout = chest(flanks, "box.lid.at=46").corners["front left"].layout
    assert [tail.left for tail in layout.tails] == [5, 52]
    assert half_pins_left(chest(flanks, "box.lid.at=46"))["front left"] == pytest.approx((5, 5))


def test_a_frozen_box_is_the_same_to_the_last_bit() -> None:
    for overrides in ((), HINGES, ("joint.spacing=by eye",), ("units=in", "box.lid.kerf=0.8 mm")):
        box = chest(*overrides) if "units=in" not in overrides else chest(*overrides, text=IN_INCHES)
        again = plan(frozen_toml(box.recipe))
        assert isinstance(again, BoxLayout)
        assert again.recipe.lid == box.recipe.lid
        assert again.recipe.top == box.recipe.top
        assert again.recipe.top_groove == box.recipe.top_groove
        for name, corner in box.corners.items():
            assert again.corners[name].layout.tails == corner.layout.tails
        assert not [choice.key for choice in again.recipe.choices]


IN_INCHES = CHEST.replace('units = "mm"', "").replace("= 12\n", '= "12 mm"\n').replace("= 300", '= "12 in"')
IN_INCHES = IN_INCHES.replace("= 200", '= "8 in"').replace("= 140", '= "5 1/2 in"').replace("= 5\n", '= "1/4 in"\n')
IN_INCHES = IN_INCHES.replace("= 95", '= "3 3/4 in"')


# --- what is left ------------------------------------------------------------------------------------


def test_what_is_left_of_a_board_by_hand() -> None:
    """The left side of the lid, 44 high, between baselines 176 long and 12 thick. Two tails of 15.5 at the face of a
    joint 12 deep lean 1 in 8: each 12 x 15.5 - 12 x 12 / 8 = 168 mm2 at either end. The groove, 5 by 4, runs 4 past
    both baselines."""
    parts = {part.name: part for part in sawn_parts(chest(), partial(grooved_volume, finished=True))}
    body, tails, groove = 44 * 176 * 12, 2 * 2 * 168 * 12, 5 * 4 * (176 + 2 * 4)
    assert parts["lid left"].volume == pytest.approx(body + tails - groove)
    assert parts["lid left"].size == pytest.approx((200, 44, 12))
    assert parts["front"].size == pytest.approx((300, 94, 12))


def test_a_sawn_board_and_what_the_saw_took_are_the_whole_board() -> None:
    """At the cut a tail board reaches from baseline to baseline, a pin board from end to end."""
    for overrides in (
        (),
        ("fit.flank_gap=-0.03",),
        ("joint.kind=half-blind",),
        ("finish.planing=0.4",),
        ("tail_board.rebate=2",),
    ):
        box = chest(*overrides)
        piece, lost = assembly_of(box), 2.0
        for side, board in box.boards.items():
            long = board.length if board.kind == "tail board" else board.end_to_end(finished=True)
            slab = long * (12 - box.planing) * lost
            groove = sum(cut.wood.volume for cut in fitting_of(box).cuts if cut.side == side)
            halves = piece.volume(side, finished=True) + piece.volume(f"lid {side}", finished=True)
            assert halves + slab == pytest.approx(grooved_volume(box, side, finished=True) - groove, rel=1e-12)


REBATE = "tail_board.rebate=2"


def test_the_closed_box_is_lower_by_what_saw_and_plane_took() -> None:
    assert chest().recipe.closed_height == pytest.approx(138)
    assert chest("box.lid.kerf=3", "box.lid.planing=0").recipe.closed_height == pytest.approx(137)
    (top,) = (part for part in fitting_of(chest()).parts if part.name == "top")
    assert top.extent.z == pytest.approx((128.5, 133.5))  # 6.5 down, as the bottom's is up
    assert top.lowered.z == pytest.approx((126.5, 131.5))


def test_both_halves_are_boxes_of_their_own() -> None:
    halves = halves_of(chest())
    assert halves is not None
    assert [len(half.corners["back left"].layout.tails) for half in (halves.box, halves.lid)] == [3, 2]
    assert halves.lid.recipe.groove.up == pytest.approx(128.5 - 96)
    assert halves_of(chest(text=CHEST.split("[box.lid]")[0])) is None


def test_what_a_cut_takes_of_tails() -> None:
    corner = chest().corners["front left"].layout.recipe
    assert tails_cut_by(corner, (94, 96)) == ()
    assert tails_cut_by(corner, (88, 90)) == (3,)
    assert tails_cut_by(corner, (60, 102)) == (2, 3, 4)


# --- hinges --------------------------------------------------------------------------------------------


def test_a_mortise_by_hand() -> None:
    """A leaf 9 wide and 1.5 thick takes 9 x 1.5 = 13.5 mm2. The barrel, 4 across, takes a slope with legs of
    2 sqrt(2) = 2.828: below the floor that is a triangle with legs of 2.828 - 1.5 = 1.328. Each is 40 long."""
    box = chest(*HINGES)
    assert box.recipe.lid is not None
    assert box.recipe.lid.hinge is not None
    assert box.recipe.lid.hinge.slope == pytest.approx(2.8284271)
    section = 9 * 1.5 + (2 * 2**0.5 - 1.5) ** 2 / 2
    for on_lid in (False, True):
        assert [cut.wood.volume for cut in mortises(box, on_lid=on_lid)] == pytest.approx([section * 40] * 2)
    plain, hung = assembly_of(chest()), assembly_of(box)
    for part in ("back", "lid back"):
        lost = plain.volume(part, finished=True) - hung.volume(part, finished=True)
        assert lost == pytest.approx(2 * 40 * section)
    assert hung.volume("front", finished=True) == plain.volume("front", finished=True)
    assert leaf_spans(box) == ((40, 80), (220, 260))


def test_a_thin_barrel_takes_no_slope() -> None:
    box = chest(*HINGES, "box.lid.hinge.barrel=1.6")
    assert [cut.wood.volume for cut in mortises(box, on_lid=True)] == pytest.approx([9 * 1.5 * 40] * 2)
    assert leaf_spans(chest(*HINGES, "box.lid.hinge.count=3"))[1] == pytest.approx((130, 170))


# --- what is refused ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("overrides", "key", "says"),
    [
        (("box.lid.at=139",), "box.lid.at", "leaves no lid on a box that is 140 mm high; accepted is up to"),
        (("box.lid.at=10",), "box.lid.at", "the groove for the bottom, which ends at 11 mm"),
        (("joint.tails=1",), "joint.tails", "accepted is 2 or more"),
        (("joint.tails=4", "joint.lid_tails=4"), "joint.lid_tails", "leave none on the box; accepted is 1 to 3"),
        (("undercut.depth=0.2",), "undercut.depth", "would lay that open; take 0"),
        (("finish.ends=proud",), "finish.ends", 'take finish.ends = "flush"'),
        (("box.back_above_bottom=true",), "box.back_above_bottom", "glued up whole"),
        (
            ("box.lid.groove.down=2",),
            "box.lid.groove.down",
            "across a pin at all four corners; accepted is from 6.5",
        ),
        (("box.lid.groove.down=40",), "box.lid.groove.down", "below the edge of a lid that is 44 mm high"),
        (("box.lid.groove.depth=9",), "box.lid.groove.depth", "12 mm thick; accepted is up to 8 mm"),
        (("box.lid.groove.depth=2.5",), "box.lid.groove.depth", "accepted is 2.74 mm or more, or plywood"),
        (
            ("joint.flanks=[[5, 6.5], [60, 58.5], [76, 77.5], [135, 133.5]]",),
            "box.lid.at",
            "from 94 mm to 96 mm with what is planed off, into tail 2 at the corners; accepted is from 66 mm to 70 mm",
        ),
        (
            ("joint.flanks=[[5, 6.5], [90, 88.5], [102, 103.5], [135, 133.5]]",),
            "box.lid.at",
            "leaves the box a half pin of 4 mm at the front left, and 5 mm is the least",
        ),
        ((*HINGES, "box.lid.hinge.leaf=160"), "box.lid.hinge.leaf", "takes 320 mm in all, and a back of 300 mm"),
        ((*HINGES, "box.lid.hinge.from_end=5"), "box.lid.hinge.from_end", "accepted is 12 mm or more"),
        ((*HINGES, "box.lid.hinge.width=14"), "box.lid.hinge.width", "12 mm thick; accepted is up to 11.95 mm"),
        ((*DEEP, "box.lid.hinge.barrel=50"), "box.lid.hinge.thickness", "the lid has wood, 32.5 mm; accepted is up to"),
        ((*HINGES, "box.lid.hinge.barrel=1"), "box.lid.hinge.barrel", "thinner than a leaf of 1.5 mm"),
        ((*HINGES, "box.lid.hinge.barrel=15"), "box.lid.hinge.barrel", "accepted is up to 14.77 mm"),
        ((*HINGES, "box.lid.hinge.from_end=120"), "box.lid.hinge.from_end", "of 40 mm; accepted is up to 110 mm"),
        ((*HINGES, "box.lid.hinge.count=12"), "box.lid.hinge.count", "has 220 mm between its ends; accepted is 2 to 5"),
        (("joint.mitre.other=12", "box.lid.groove.down=9"), "box.lid.groove.down", "accepted is from 1 mm to 6.95 mm"),
        (("box.lid.at=128.5",), "box.lid.at", "128.5 mm is too high: the groove for the top, 6.5 mm down and 5 mm"),
        (("box.lid.at=125",), "box.lid.at", "finds no place within a tail of a lid that is 14 mm high; accepted is up"),
        (("box.lid.kerf=19", "box.lid.planing=10"), "box.lid.planing", "25.5 mm high; accepted is up to 5 mm; or take"),
        (("box.lid.groove.depth=9", "finish.planing=0.5"), "box.lid.groove.depth", "11.5 mm thick, once it is planed"),
        (("box.lid.hinge.leaf=40",), "box.lid.hinge.width", "is missing; measure it"),
        (("joint.spacing=[40, 40, 40]", "joint.lid_tails=1"), "joint.lid_tails", "the list says"),
    ],
)
def test_refusals_name_both_sides_and_what_is_accepted(overrides: tuple[str, ...], key: str, says: str) -> None:
    assert says in told(*overrides)[key]


def test_a_cut_between_the_last_tail_and_a_mitred_shoulder_leaves_no_tail_on_the_lid() -> None:
    """By hand: a mitre of 30 at the upper edge leaves 110, and half pins of 14 bring the last of three listed tails to
    96. A cut at 103 then lies in a half pin, with room for its planings on both sides."""
    lists = ("joint.tails=3", "joint.pin=[4, 4]", "joint.mitre.other=30", "joint.half_pin=14", "box.lid.at=103")
    assert "leaves the lid without a tail" in told(*lists)["box.lid.at"]


def test_what_a_rule_chose_is_not_named_as_what_must_change() -> None:
    """The groove of the top follows from the cut, so that a lid too low for it is told of the cut; what is accepted
    there lays the box out, with hinges too."""
    for hinges in ((), HINGES):
        for at in (139, 130, 128.5, 125):
            said = told(*hinges, f"box.lid.at={at}")["box.lid.at"]
            assert "must change too" not in said
            most = said.partition("accepted is up to ")[2].partition(" mm")[0]
            assert chest(*hinges, f"box.lid.at={most}").recipe.lid


def test_a_lid_too_low_for_its_half_pins_is_told_a_cut_that_works() -> None:
    """Half pins of 8 and 12 and a tail that may close to a knife line, 8 + 12 + 3 + 0.05, need a lid of 23.05; with
    less than that a groove finds no place either."""
    uneven = "joint.half_pin=[8, 12]"
    said = told(uneven, "box.lid.at=125")
    assert list(said) == ["box.lid.at"]
    assert "must change too" not in said["box.lid.at"]
    most = said["box.lid.at"].partition("accepted is up to ")[2].partition(" mm")[0]
    assert chest(uneven, f"box.lid.at={most}").recipe.lid


def test_hinges_are_not_told_of_a_lid_that_is_too_low_for_its_groove() -> None:
    """How much wood is over the hinges follows from the groove of the top, which has no place yet."""
    assert list(told(*HINGES, "box.lid.at=125")) == ["box.lid.at"]


def test_a_hinge_as_wide_as_is_accepted_is_taken() -> None:
    """A back of 11 to 12, planed by 0.4, leaves 10.6, and a leaf of 10.55 leaves the least wood behind it."""
    uneven = (*HINGES, "box.back.thickness=[11, 12]", "finish.planing=0.4")
    assert "accepted is up to 10.55 mm" in told(*uneven, "box.lid.hinge.width=11")["box.lid.hinge.width"]
    assert chest(*uneven, "box.lid.hinge.width=10.55").recipe.lid


def test_a_divider_through_the_cut_is_told_of_its_height_alone() -> None:
    """Its housings run through the cut with it."""
    said = told("box.divider=[{height = 120}]")
    assert list(said) == ["box.divider.1.height"]


def test_no_slips_are_advised_beside_a_lid_that_is_sawn_off() -> None:
    """They leave the bottom open at the back, where the box is glued up whole."""
    damp = "climate.shop=20 C, 50 %", "climate.home.damp=20 C, 90 %", "climate.home.dry=20 C, 20 %"
    without = CHEST.partition("[box.lid]")[0]
    assert "grooved slips" in told(*damp, text=without)["box.groove.depth"]
    assert "grooved slips" not in told(*damp)["box.groove.depth"]


def test_tails_on_a_lid_mean_nothing_without_one() -> None:
    without = CHEST.split("[box.lid]")[0]
    assert "no lid is sawn off" in told("joint.lid_tails=1", text=without)["joint.lid_tails"]


def test_a_place_for_the_groove_is_told_with_the_cut_that_it_goes_with() -> None:
    """Half pins of 22.6 take 45.2 of a lid of 44. A lower cut makes room for them, and there the groove of the top has
    a place of its own."""
    said = told("pin_board.thickness=9", "joint.half_pin=22.6")["box.lid.at"]
    _, _, remedy = said.partition("; at ")
    at = remedy.partition(" mm give its place (box.lid.groove.down)")[0]
    down = remedy.partition("accepted is from ")[2].partition(" mm")[0]
    assert float(at) < 95
    assert chest("pin_board.thickness=9", "joint.half_pin=22.6", f"box.lid.at={at}", f"box.lid.groove.down={down}")
