"""A lid that is a board of its own: its sizes, what it does through the year, and what is refused."""

from __future__ import annotations

import pytest

from solids.base.errors import RecipeError
from solids.layout.assembly import assembly_of
from solids.layout.box.cut_list import cut_list
from solids.layout.box.fitted.every import cuts_in, fitting_of
from solids.layout.box.fitted.lid_board import LID, bearing, lies_on, moves_by, outline, room_when_damp, tongue
from solids.layout.box.lid_words import inside_z, lid_words
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan
from solids.recipe.tables.lid_resolved import LidBoard
from solids.recipe.text.frozen import frozen_toml
from tests.lids import HINGED, HINGES, LIFT_OFF, chest

AIR = ("climate.shop=20 C, 50 %", "climate.home.damp=20 C, 70 %", "climate.home.dry=20 C, 30 %")


def lift_off(*overrides: str) -> tuple[BoxLayout, LidBoard]:
    box = chest(*overrides, text=LIFT_OFF)
    assert box.recipe.lid_board is not None
    return box, box.recipe.lid_board


def hinged(*overrides: str) -> tuple[BoxLayout, LidBoard]:
    box = chest(*HINGES, *overrides, text=HINGED)
    assert box.recipe.lid_board is not None
    return box, box.recipe.lid_board


def told(*overrides: str, text: str = LIFT_OFF) -> dict[str, str]:
    """What is refused, by key."""
    with pytest.raises(RecipeError) as err:
        plan(text, overrides)
    return {problem.key: f"{problem.wrong}; {problem.remedy}" for problem in err.value.told}


# --- its sizes ---------------------------------------------------------------------------------------


def test_a_lid_that_lifts_off_by_hand() -> None:
    """Outside 300 by 200 with 3 of overhang all round is 306 by 206. Inside 276 by 176: the tongue is 276 - 2 x 0.5
    along the grain, and less by what 176 grow across it. 6 of its 12 drop between the boards, so that what is left
    stands 6 above them."""
    box, lid = lift_off()
    assert outline(box, lid) == ((-3, 303), (-3, 203))
    (left, right), (front, back) = tongue(box, lid)
    assert (left, right) == pytest.approx((12.5, 287.5))
    assert back - front == pytest.approx(176 - 1 - 176 * lid.panel.grows)
    assert front + back == pytest.approx(200)
    assert (lid.drop, lid.rises) == (6, 6)
    part = next(part for part in fitting_of(box).parts if part.name == LID)
    assert part.extent.z == pytest.approx((134, 146))
    assert part.volume == pytest.approx(6 * 306 * 206 + 6 * 275 * (175 - 176 * lid.panel.grows))
    row = next(row for row in cut_list(box) if row.name == LID)
    assert row.finished == (306, 206, 12)
    assert row.grain == "from left to right"
    assert inside_z(box) == pytest.approx((box.recipe.floor, 134))


def test_a_hinged_lid_by_hand() -> None:
    """Flush at the back, 3 over the front and the sides. Each hinge takes from it what it takes from the back: 9 by
    1.5, and a triangle with legs of 2 sqrt(2) - 1.5, 40 long."""
    box, lid = hinged()
    assert outline(box, lid) == ((-3, 303), (-3, 200))
    each = 40 * (9 * 1.5 + (2 * 2**0.5 - 1.5) ** 2 / 2)
    piece, plain = assembly_of(box), assembly_of(chest(text=LIFT_OFF))
    assert piece.volume(LID, finished=True) == pytest.approx(306 * 203 * 12 - 2 * each)
    assert piece.volume("back", finished=False) == plain.volume("back", finished=False)
    assert piece.volume("back", finished=True) == pytest.approx(plain.volume("back", finished=True) - 2 * each)
    assert [cut.name for cut in cuts_in(box, "back", finished=True)] == ["hinge 1", "hinge 2"]
    assert not cuts_in(box, "back")


def test_what_it_lies_on_as_made() -> None:
    """300 x 200 - 276 x 176 = 11 424 mm2, less two leaves of 40 by 9."""
    assert bearing(*lift_off()) == pytest.approx(11424)
    assert bearing(*hinged()) == pytest.approx(11424 - 2 * 40 * 9)


def test_boards_are_as_high_as_without_a_lid() -> None:
    box, _ = lift_off()
    assert {row.finished[1] for row in cut_list(box) if row.name in box.boards} == {140}
    assert box.recipe.closed_height == box.recipe.rim == 140


# --- through the year --------------------------------------------------------------------------------


def test_room_in_the_dampest_air_by_hand() -> None:
    """Across the grain the tongue of 175 - 176 g grows to (175 - 176 g)(1 + g); along it 1 mm of room stays."""
    box, lid = lift_off(*AIR)
    g = lid.panel.grows
    assert g > 0.005
    across = 176 - (175 - 176 * g) * (1 + g)
    assert across == pytest.approx(g * g * 176 + 1 + g)
    assert room_when_damp(box, lid) == pytest.approx(min(across, 1.0))


def test_what_it_lies_on_in_the_driest_air_by_hand() -> None:
    """Shrunk, and pushed to the front until its tongue meets the front board, it lies on the back by its tongue, and
    the rebate there, less the distance between the boards."""
    box, lid = lift_off("box.lid.overhang=0", *AIR)
    g, s = lid.panel.grows, lid.panel.shrinks
    wide = 175 - 176 * g
    rebate = (200 - wide) / 2
    assert lies_on(box, lid)["back"] == pytest.approx((wide + rebate) * (1 - s) - 176)
    assert lies_on(box, lid)["front"] == pytest.approx(lies_on(box, lid)["back"])
    assert lies_on(box, lid)["left"] == pytest.approx(275 + 12.5 - 276)  # along the grain it does not move
    assert moves_by(box, lid) == pytest.approx((200 * g, 200 * s))


def test_a_hinged_lid_moves_at_the_front() -> None:
    box, lid = hinged("box.lid.overhang=0", *AIR)
    found = lies_on(box, lid)
    assert found["front"] == pytest.approx(12 - 200 * lid.panel.shrinks)
    assert (found["back"], found["left"], found["right"]) == pytest.approx((12, 12, 12))


def test_plywood_moves_both_ways_and_hardly() -> None:
    box, lid = lift_off("box.lid.panel.kind=plywood")
    assert lid.panel.moves == (0, 1)
    (left, right), (front, back) = tongue(box, lid)
    assert 275 - (right - left) == pytest.approx(276 * lid.panel.grows)
    assert 175 - (back - front) == pytest.approx(176 * lid.panel.grows)


def test_a_divider_stays_below_the_lid() -> None:
    box = chest("box.divider=[{}]", text=LIFT_OFF)
    (divider,) = box.recipe.dividers
    assert divider.top < 134


def test_a_frozen_box_is_the_same() -> None:
    for box, lid in (lift_off(), hinged(), lift_off("box.lid.panel.kind=plywood", "box.lid.overhang=1/8 in")):
        again = plan(frozen_toml(box.recipe))
        assert isinstance(again, BoxLayout)
        assert again.recipe.lid_board == lid
        assert not [choice.key for choice in again.recipe.choices]


def test_the_words_name_its_sizes() -> None:
    words = str(lid_words(lift_off()[0]))
    assert "lifts off" in words
    assert "hangs on its hinges" in str(lid_words(hinged()[0]))


# --- what is refused ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("overrides", "key", "says"),
    [
        (("box.lid.at=95",), "box.lid.at", 'own is not sawn off; leave it out, or take box.lid.kind = "sawn off"'),
        (("box.lid.kerf=1",), "box.lid.kerf", 'take box.lid.kind = "sawn off"'),
        (("box.lid.groove.down=9",), "box.lid.groove.down", "lies in no groove"),
        (
            ("box.lid.hinge.leaf=40",),
            "box.lid.hinge.leaf",
            "lifts off has no hinges; leave it out, or take box.lid.kind",
        ),
        (("box.lid.kind=hinged",), "box.lid.hinge.barrel", "is missing; measure it"),
        (("box.lid.kind=hinged", *HINGES, "box.lid.drop=6"), "box.lid.drop", 'take box.lid.kind = "lift off"'),
        (("box.lid.kind=hinged", *HINGES, "finish.ends=proud"), "finish.ends", "proud of the back; leave it out, or"),
        (("box.lid.kind=hinged", *HINGES, "box.lid.panel.grain=width"), "box.lid.panel.grain", 'take "length"'),
        (("box.lid.kind=hinged", *HINGES, "box.lid.panel.clearance=1"), "box.lid.panel.clearance", "needs no room"),
        (("box.lid.panel.clearance=0",), "box.lid.panel.clearance", "it would stick; accepted is 0.1 mm or more"),
        (
            ("box.lid.drop=11.5",),
            "box.lid.drop",
            "leaves 0.5 mm over the boards of a lid that is 12 mm thick; accepted is up to 11 mm",
        ),
        (("box.back.down=5",), "box.back.down", "5 mm leaves the back lower than the sides, which a lid lies on"),
        (("box.divider=[{height=125}]",), "box.divider.1.height", "and divider 1 reaches up to"),
        (("joint.lid_tails=1",), "joint.lid_tails", 'a lid of kind "sawn off"'),
        (
            ("box.lid.kind=hinged", *HINGES, "box.divider=[{at=50}]"),
            "box.lid.hinge.from_end",
            "hinge 1 is let into the housing for divider 1 in the back; move the hinges",
        ),
        (("box.lid.kind=hinged", *HINGES, "box.lid.panel.thickness=2"), "box.lid.hinge.barrel", "the lid has wood"),
        (
            (
                "box.groove.width=0",
                "box.length=950",
                "box.width=900",
                "box.lid.overhang=0",
                "tail_board.thickness=8",
                "pin_board.thickness=8",
                *AIR,
            ),
            "box.lid.overhang",
            "in the driest air, pushed aside, ",
        ),
    ],
)
def test_refusals_name_both_sides_and_what_is_accepted(overrides: tuple[str, ...], key: str, says: str) -> None:
    assert says in told(*overrides)[key]


def test_keys_of_a_board_are_refused_of_a_lid_that_is_sawn_off() -> None:
    sawn = LIFT_OFF.replace('kind = "lift off"', "at = 95")
    for key in ("box.lid.drop", "box.lid.overhang", "box.lid.panel.thickness"):
        assert "box.lid.kind" in told(f"{key}=4", text=sawn)[key]


def test_a_divider_as_high_as_the_maker_has_it_is_told_of_its_height_where_a_rule_chose_the_drop() -> None:
    """The lid drops to 134. A divider of 122.8 on a bottom 11.5 up reaches 134.3, and higher as it grows."""
    (key,) = found = told("box.divider=[{height = 122.8}]")
    assert key == "box.divider.1.height"
    most = found[key].rpartition("accepted is up to ")[2].removesuffix(" mm")
    assert lift_off(f"box.divider=[{{height = {most}}}]")
    assert list(told("box.divider=[{height = 122.8}]", "box.lid.drop=6")) == ["box.lid.drop"]


@pytest.mark.parametrize(("thick", "drop"), [("2", 1), ("2.1", 1), ("2.4", 1), ("2.9", 1.5), ("12", 6)])
def test_a_thin_lid_drops_by_a_rule_that_leaves_it_wood(thick: str, drop: float) -> None:
    """Half of it, rounded, or what leaves 1 over the boards."""
    assert lift_off(f"box.lid.panel.thickness={thick}")[1].drop == drop


def test_a_lid_too_thin_for_any_rebate_is_told_of_its_thickness() -> None:
    assert list(told("box.lid.panel.thickness=1.04")) == ["box.lid.panel.thickness"]


def test_hinges_that_find_no_room_are_not_told_of_a_housing() -> None:
    """They would lie on each other in the middle of the back, where the housing of the divider is."""
    with pytest.raises(RecipeError) as err:
        plan(HINGED, (*HINGES, "box.lid.hinge.from_end=142", "box.divider=[{height = 60}]"))
    (said,) = err.value.told
    assert said.key == "box.lid.hinge.from_end"
    assert said.wrong == "142 mm at both ends leaves 16 mm of a back of 300 mm for 2 hinges of 40 mm"
