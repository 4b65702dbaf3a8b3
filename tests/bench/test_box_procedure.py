"""The order of work for a whole box: groove, pairs, bottom and planing, as a maker ticks them off. No kernel."""

from __future__ import annotations

import re

import pytest

from solids.bench.box_bottom import groove_words
from solids.bench.box_procedure import BoxWork, box_stages, box_work
from solids.bench.dividers import CUT_HOUSINGS, housing_steps
from solids.bench.procedure import order_of_work
from solids.layout.box.fitted.every import cuts_in
from solids.layout.box.kinds import kinds_of_corner, shown_layout
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.proof.assembly import prove_piece
from solids.recipe.text.reading import check_box
from solids.recipe.text.texts import preset_text
from tests.boxes import box_of, raw_from
from tests.dividers import tray
from tests.drawers import drawer

FRONT = ("box.joints.front.kind=half-blind", "box.joints.front.lap=4")
STOPS = "it stops as far past the baseline as it is deep: chop those ends first."
LAPPED = "plough it right through: the lap hides it."


def work_of(box: BoxLayout) -> BoxWork:
    return box_work(box, [shown_layout(box, names) for names in kinds_of_corner(box)], ())


def told(box: BoxLayout) -> dict[str, str]:
    work = work_of(box)
    return {step.what: step.how for step in (*work.before, *work.after)}


def test_a_lipped_front_is_sawn_as_long_as_its_lip_reaches() -> None:
    """The drawer is 399 wide in an opening of 400. Its lip reaches 9 further on each side: 399 + 2 x 9 = 417."""
    box = drawer("box.front.lip.width=9")
    kinds = [shown_layout(box, names) for names in kinds_of_corner(box)]
    sawn = [step.how for layout in kinds for step in order_of_work(layout) if step.what == "Saw to length"]
    assert "pin board 417 mm, of which 399 mm stay behind the lip." in sawn[0]
    assert all("lip" not in how for how in sawn[1:])


# --- the groove ------------------------------------------------------------------------------------


def test_the_groove_is_ploughed_or_laid_out_before_any_joint_is_laid_out() -> None:
    """W. Noyes, Handwork in Wood, 1910, p. 166."""
    steps = list(told(box_of("desk-drawer")))
    assert steps.index("Plough the groove") < steps.index("Cut the joints")
    assert told(box_of("desk-drawer"))["Plough the groove"].endswith(
        "Plough it, or at least lay it out, before any joint."
    )


def test_behind_the_laps_of_a_drawer_every_groove_is_ploughed_right_through() -> None:
    words = groove_words(box_of("desk-drawer"))
    assert f"In the tail boards {LAPPED}" in words
    assert "chop" not in words
    assert "At the back it runs out below the back board" in words


def test_in_a_box_with_through_corners_the_groove_stops_at_all_of_them() -> None:
    assert f"In the tail boards {STOPS}" in groove_words(box_of("keepsake-box"))


def test_where_corners_differ_each_is_told_what_its_groove_does() -> None:
    words = groove_words(box_of("keepsake-box", *FRONT))
    assert f"In the tail boards at the front left and front right {LAPPED}" in words
    assert f"In the tail boards at the back left and back right {STOPS}" in words


def test_a_groove_that_the_maker_wants_through_runs_out_at_the_ends() -> None:
    words = groove_words(box_of("keepsake-box", *FRONT, "box.groove.ends=through"))
    assert "In the tail boards at the back left and back right it runs out at the ends." in words
    assert STOPS in groove_words(box_of("keepsake-box", *FRONT, "box.groove.ends=stopped"))
    assert groove_words(box_of("keepsake-box", "box.groove.width=0")) == ""


# --- sawing in pairs -------------------------------------------------------------------------------

BOTH_ENDS = "Left and right have the same tails at the front and the same at the back"


@pytest.mark.parametrize(
    ("recipe", "pair"),
    [
        (("keepsake-box",), BOTH_ENDS),
        (("desk-drawer",), BOTH_ENDS),
        (
            ("keepsake-box", "box.tails_on=ends"),
            "Front and back have the same tails at the left and the same at the right",
        ),
        (("keepsake-box", "box.joints.back_left.tails=2"), "Left and right have the same tails at the front:"),
        (("keepsake-box", "box.joints.front_left.slope=1:8"), "Left and right have the same tails at the back:"),
        # Boards of two thicknesses still have the same tails, if what they are joined to is of one.
        (("keepsake-box", "box.left.thickness=12"), BOTH_ENDS),
        (("keepsake-box", "box.front.thickness=14"), BOTH_ENDS),
    ],
)
def test_boards_with_the_same_tails_are_sawn_together_and_told_how(recipe: tuple[str, ...], pair: str) -> None:
    """Rights and lefts in pairs, ends and edges flush, then sawn at once: W. Noyes, Handwork in Wood, 1910, p. 166."""
    how = told(box_of(*recipe))["Cut the joints"]
    assert pair in how
    assert "inside faces together, raw ends and reference edges flush" in how


def test_the_booklet_tells_pairs_where_they_are_sawn() -> None:
    """The drawer has one kind of corner at the front and another at the back, each with a pair."""
    proof = prove_piece(box_of("desk-drawer"))
    layouts = [joint.layout for joint in proof.joints]
    stages = {stage.title: stage.steps for stage in box_stages(proof.box, layouts, proof.steps, proof.parts)}
    for title, end in (("front left and front right", "front"), ("back left and back right", "back")):
        steps = stages[f"Cut the joint: {title}"]
        names = [step.what for step in steps]
        place = names.index("Saw in pairs")
        assert names[place - 1 : place + 2] == ["Gauge", "Saw in pairs", "Mark and saw the tails"]
        assert steps[place].how.startswith(f"Left and right have the same tails at the {end}: saw both boards at once.")


def test_both_grooves_are_ploughed_while_the_plough_is_set() -> None:
    steps = [step.what for step in box_work(box_of("tea-chest"), (), ()).before]
    assert steps[1:4] == ["Plough the groove", "Plough the groove for the top", "Shape the bottom"]


@pytest.mark.parametrize("second", ["21, 27, 14", "21, 14, 27"], ids=["the other way round", "other tails"])
def test_tails_that_differ_from_the_reference_edge_are_not_sawn_together(second: str) -> None:
    """Laid inside to inside with their reference edges flush, such boards do not have their waste in one place."""
    first, at = "14, 27, 21", ("box.groove.width=0", "joint.half_pin=6")
    lists = [
        f"box.joints.{end}_{hand}.spacing=[{tails}]"
        for end in ("front", "back")
        for hand, tails in (("left", first), ("right", second))
    ]
    assert told(box_of("keepsake-box", *at, *lists))["Cut the joints"] == "Each kind of corner by its own setup sheet."
    alike = [text.replace(second, first) for text in lists]
    assert "saw both boards at once" in told(box_of("keepsake-box", *at, *alike))["Cut the joints"]


# --- the bottom ------------------------------------------------------------------------------------


def test_a_drawers_bottom_is_glued_at_the_front_and_slotted_at_the_back() -> None:
    """W. Noyes, Handwork in Wood, 1910, p. 190: fastened only to the front, so that it has play for shrinkage. It
    shrinks 2.92 and grows 1.69 mm: 4.61 in all, and 5 as a rule shows it."""
    how = told(box_of("desk-drawer"))["Fit the bottom"]
    assert "Before it is quite home, brush a little glue on its front edge alone" in how
    assert "a slot in the solid bottom, 5 mm (0.197 in) longer from front to back than the screw is thick" in how


def test_a_drawer_is_planed_and_tried_before_its_bottom_is_in() -> None:
    """The side that is planed lies on a board inside; and a drawer is tried on its runners."""
    steps = list(told(box_of("fitted-drawer")))
    after = ["Clamp and check", "Plane", "Fit the carcase", "Fit it sideways", "Fit it in height", "Fit the bottom"]
    assert steps[steps.index("Glue") + 1 :] == [*after, "Stop it"]


def test_a_plywood_bottom_under_the_back_needs_no_slots() -> None:
    how = told(box_of("desk-drawer", "box.panel.kind=plywood"))["Fit the bottom"]
    assert "no slots" in how
    assert "front" not in how


def test_a_bottom_under_the_back_that_moves_sideways_is_fixed_in_the_middle() -> None:
    """Its grain runs from front to back. 367 mm across it, flat-sawn, move as in the other drawer 436.5 mm do."""
    how = told(box_of("desk-drawer", "box.panel.grain=width"))["Fit the bottom"]
    assert "a dab of glue in the middle of its front edge" in how
    assert "in the middle through a plain hole, and beside that through slots across the grain" in how


def test_feet_come_last_as_a_gauge_runs_along_the_lower_edge() -> None:
    steps = list(told(box_of("tea-chest")))
    assert steps.index("Plane the edges") < steps.index("Let in the hinges") < steps.index("Fit the feet")


@pytest.mark.parametrize(
    ("overrides", "glue"),
    [
        ((), "Glue on the flanks, in the groove only a dab in the middle of each end-grain edge of the bottom. Brush"),
        (
            ("box.panel.kind=plywood",),
            "Glue on the flanks, and in the groove of the bottom too if you like: plywood hardly moves. Brush",
        ),
        (("box.groove.width=0",), "Glue on the flanks. Brush"),
    ],
    ids=["solid", "plywood", "no bottom"],
)
def test_glue_goes_into_the_groove_of_a_bottom_that_hardly_moves(overrides: tuple[str, ...], glue: str) -> None:
    assert glue in told(box_of("keepsake-box", *overrides))["Glue"]


@pytest.mark.parametrize("kind", ["solid", "plywood"])
def test_a_bottom_that_slides_in_under_the_back_takes_no_glue_before(kind: str) -> None:
    assert (
        "none in the groove of the bottom: it slides in later"
        in told(box_of("desk-drawer", f"box.panel.kind={kind}"))["Glue"]
    )


def test_a_top_of_boards_takes_dabs_alone_whatever_the_bottom_takes() -> None:
    """The work box has a bottom of plywood and a top of boards."""
    how = told(box_of("work-box"))["Glue"]
    assert "in the groove of the bottom too if you like: plywood hardly moves; in the groove only a dab" in how
    assert "each end-grain edge of the top." in how
    assert "each end-grain edge of the bottom and the top." in told(box_of("tea-chest"))["Glue"]


def test_a_bottom_that_its_groove_holds_all_round_needs_no_fastening() -> None:
    assert "Fit the bottom" not in told(box_of("keepsake-box"))
    assert "Fit the bottom" not in told(box_of("keepsake-box", "box.groove.width=0"))


# --- planing ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["keepsake-box", "desk-drawer"])
def test_planing_tells_its_direction_once_and_first(name: str) -> None:
    how = told(box_of(name))["Plane"]
    assert how.startswith("Work from the arris inward, along the board, never off the arris. Ends of the ")
    assert how.count("arris") == 2
    assert not re.search(r"toward the middle", how)


def test_nothing_to_plane_is_told_as_such() -> None:
    assert told(box_of("keepsake-box", "finish.ends=proud"))["Plane"] == "Nothing: the ends stay as they are."


# --- dividers --------------------------------------------------------------------------------------


def test_dividers_with_the_same_notches_are_told_together() -> None:
    divided = "".join(f'[[box.divider]]\nruns = "{runs}"\nthickness = 6\n' for runs in ("across", "across", "along"))
    box = lay_out_box(check_box(raw_from(preset_text("keepsake-box") + divided, "box")))
    (how,) = (how for what, how in housing_steps(box) if what == "Halve the crossings")
    assert "Dividers 1 and 2, each from its upper edge: " in how
    assert "Divider 3, from its lower edge: " in how
    assert how.count("from its front end") == 1
    assert how.count("from its left end") == 2


def test_a_dovetailed_housing_is_marked_by_its_mouth() -> None:
    """Divider 2 of the tray is 7 mm thick and stands at 190. Its housings are 3.5 deep and lean 1:8 at both sides, so
    they open 3.5 / 8 = 0.44 past the near face and 0.875 narrower. They taper 1.5 over 67.5 mm, 3 of them above it:
    7.07 and 5.57 at the floor, 6.19 and 4.69 at the mouth. The layout's own corners say the same."""
    steps = dict(housing_steps(tray()))
    marked, undercut = steps["Mark the housings"], steps["Undercut the sliding dovetails"]
    assert "at 90 mm (3.543 in) (divider 1): there the near face stands" in marked
    assert "at 190.45 mm (7.498 in) (divider 2): there the dovetailed housing opens" in marked
    assert "measure 6.19 mm (0.244 in) from that line at the upper end and 4.69 mm (0.185 in) at the lower" in marked
    assert "1:8 from the knife lines, so that the floor is 7.07 mm (0.278 in) wide at the upper end" in undercut
    assert "Plane dividers 1 and 3 until each slides in by hand." in steps[CUT_HOUSINGS], "not the dovetailed one"
    housing = cuts_in(tray(), "front")[1].wood
    inside = 10.0
    lower, upper = (sorted(x for x, y, _ in end if y == inside) for end in (housing.start, housing.end))
    assert [near - 10 for near, _ in (lower, upper)] == pytest.approx([190.4375, 190.4375])
    assert [far - near for near, far in (lower, upper)] == pytest.approx([4.69, 6.19], abs=0.005)
