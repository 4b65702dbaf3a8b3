"""What holds whatever a recipe or a box asks for, and random ones to try it on.

The tests try a few, always the same; `tests/campaign/` tries them by the thousand, other ones each time.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from solids.base.errors import InputError, RecipeError
from solids.layout import Layout, lay_out, with_layout_problems
from solids.layout.assembly import assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.model.box import block, box_parts
from solids.model.corner import corner_parts, make_corner
from solids.model.kernel import common, volume_of
from solids.model.kernel.shaping import cut
from solids.model.parts import Part
from solids.proof.assembly import PieceProof, prove_piece
from solids.proof.joint.corner import prove
from solids.proof.verdict import of_open_box
from solids.proof.waste import proved_waste
from solids.recipe import parse_recipe
from solids.recipe.text.reading import check_box
from solids.recipe.text.toml import parse_toml
from tests import sections
from tests.advice import BOX_CASES, CORNER_CASES, what_is_told_is_accepted
from tests.lids import a_lid_board_is_proved_or_refused, a_lid_is_proved_or_refused, lid_boards, lids
from tests.named_faces import check_names
from tests.recipes import recipe_texts, try_lay_out


def examples(count: int) -> settings:
    """So many examples, the same each time unless the profile of hypothesis says otherwise, however long one takes."""
    return settings(max_examples=count, deadline=None, suppress_health_check=list(HealthCheck))


# --- corners ---------------------------------------------------------------------------------------


def arithmetic_accepts_or_explains(text: str) -> None:
    try:
        layout = lay_out(parse_recipe(text))
    except RecipeError as err:
        for problem in with_layout_problems(err).told:
            assert problem.key
            assert problem.wrong
            assert problem.remedy
        return
    except InputError as err:
        assert str(err)
        return
    raw = layout.as_cut.tail_end
    assert all(width > 0 for width in layout.tail_board_gaps(raw))
    assert all(width > 0 for width in layout.pin_widths(layout.depth))
    assert all(layout.tail_width(tail, 0) > 0 for tail in layout.tails)
    assert layout.tails[-1].right < layout.width
    for state in (layout.as_cut, layout.as_finished):
        assert tail_board_volume(layout, state) > 0
        assert pin_board_volume(layout, state) > 0
    assert tail_board_volume(layout, layout.as_finished) <= tail_board_volume(layout, layout.as_cut)


def what_is_accepted_is_built_and_proved(text: str) -> None:
    layout = try_lay_out(text)
    assume(layout is not None)
    assert layout is not None
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    for part in (*corner_parts(cut), *corner_parts(finished)):
        check_names(part)
    proof = prove(cut, finished)
    assert {f.code for f in proof.findings if f.severity == "fail"} == meant_to_fail(layout)
    assert not proof.overlap.disagreements


def meant_to_fail(layout: Layout) -> set[str]:
    """The codes under which an accepted joint fails through its own recipe: flanks tighter than the wood forgives, a
    gap that lets go, and what no hand can cut."""
    too_tight = -layout.recipe.flank_gap > layout.recipe.tight_limit
    lets_go = furthest_out(layout) >= 0.9 * layout.depth
    return ({"overlap"} if too_tight else set()) | ({"lets-go"} if lets_go else set()) | cut_by_no_hand(layout)


def furthest_out(layout: Layout) -> float:
    """How far the tail board can slide out before a flank, or the wall of a mitred shoulder or of a strip beside the
    joint, stops it, by linear programming: no face may move into its mate by more than the gap between them."""
    gap = max(layout.recipe.flank_gap, 0.0)
    if gap == 0:
        return 0.0
    rows = [(flank.normal[0], -flank.normal[1], gap) for flank in layout.flanks]
    near, far = (mitre > 0 or strip > 0 for mitre, strip in zip(layout.mitred, layout.strips, strict=True))
    if near and layout.tails[0].left > 0:
        rows.append((1.0, 0.0, 0.0))
    if far and layout.tails[-1].right < layout.width:
        rows.append((-1.0, 0.0, 0.0))
    aside, out, room = zip(*rows, strict=True)
    found = linprog((0, -1), A_ub=[*zip(aside, out, strict=True)], b_ub=room, bounds=((None, None), (0, None)))
    assert found.success, found.message
    return float(-found.fun)


def cut_by_no_hand(layout: Layout) -> set[str]:
    """What fails though the boards go together, reckoned from the flanks: sockets and gaps under 1.5 mm where a chisel
    goes in, pins and the gaps at the raw end under 0.3 mm where a saw does."""
    d, end, gap = layout.depth, layout.depth + layout.recipe.tail_board.proud, layout.recipe.flank_gap
    necks = [sections.socket(layout, tail, 0.0) for tail in layout.tails]
    necks += [(sections.line(layout, tail, -1, 0.0), sections.line(layout, tail, 1, 0.0)) for tail in layout.tails]
    found = {"thin-neck"} if min(right - left for left, right in necks) < 1.5 - 1e-9 else set()
    ends = sections.edges(layout)
    for y, inward, least in ((end, 0.0, 0.3), (d, -gap, 0.3), (0.0, 0.0, 1.5)):
        for left, right in sections.gaps(layout, y, inward):
            half = left in ends or right in ends
            if right - left < least - 1e-9 and not (half and inward == 0.0):
                found.add("thin-half-pin" if half else "thin-pin")
    return found


# --- boxes -----------------------------------------------------------------------------------------

CORNER_KEYS = ("front_left", "front_right", "back_left", "back_right")


def thickness() -> st.SearchStrategy[float]:
    return st.floats(5, 24).map(lambda x: round(x, 2))


def joint() -> st.SearchStrategy[dict[str, object]]:
    return st.fixed_dictionaries(
        {},
        optional={
            "tails": st.integers(1, 4),
            "slope": st.sampled_from(["1:5", "1:6", "1:7", "1:8", "9 deg"]),
            "pin": st.floats(1, 8),
            "kind": st.sampled_from(["through", "half-blind"]),
            "spacing": st.sampled_from(["even", "graduated", "by eye"]),
        },
    )


BOXES = st.fixed_dictionaries(
    {
        "units": st.just("mm"),
        "joint": st.fixed_dictionaries({}, optional={"half_pin": st.floats(5, 12)}),
        "tail_board": st.fixed_dictionaries(
            {"thickness": thickness()}, optional={"wood": st.sampled_from(["cherry", "white pine"])}
        ),
        "pin_board": st.fixed_dictionaries(
            {"thickness": thickness()}, optional={"proud": st.sampled_from([0, 0.3, 1.2])}
        ),
        "box": st.fixed_dictionaries(
            {"length": st.floats(70, 500), "inside_width": st.floats(40, 400), "height": st.floats(45, 140)},
            optional={
                "tails_on": st.sampled_from(["sides", "ends"]),
                "back_above_bottom": st.booleans(),
                "front": st.fixed_dictionaries({"thickness": thickness()}),
                "left": st.fixed_dictionaries({"thickness": thickness()}),
                "joints": st.fixed_dictionaries({}, optional={key: joint() for key in CORNER_KEYS}),
                "groove": st.fixed_dictionaries(
                    {},
                    optional={
                        "width": st.floats(1, 8),
                        "depth": st.floats(2, 8),
                        "ends": st.sampled_from(["hidden", "stopped", "through", "plugged"]),
                    },
                ),
                "panel": st.fixed_dictionaries(
                    {"wood": st.sampled_from(["spruce", "mahogany"])},
                    optional={
                        "kind": st.sampled_from(["solid", "plywood"]),
                        "grain": st.sampled_from(["length", "width"]),
                    },
                ),
            },
        ),
    },
    optional={
        "fit": st.fixed_dictionaries({"flank_gap": st.sampled_from([-0.03, -0.001, 0.05, 0.2])}),
        "entry_chamfer": st.fixed_dictionaries({"width": st.floats(0.2, 1.5)}),
        "undercut": st.fixed_dictionaries({"depth": st.floats(0.05, 0.5)}),
        "finish": st.one_of(
            st.fixed_dictionaries({"planing": st.floats(0.05, 1)}),
            st.fixed_dictionaries({"ends": st.just("proud")}),
        ),
    },
)


def box_is_proved_or_refused(raw: dict[str, object]) -> None:
    try:
        found = lay_out_box(check_box(raw))
    except RecipeError as err:
        check_reasons(err)
        return
    check_proved_box(found)


def check_reasons(err: RecipeError) -> None:
    """A refusal has reasons, and each names its key, what is wrong and what would be accepted."""
    assert err.told
    for problem in err.told:
        assert problem.key, problem
        assert problem.wrong, problem
        assert problem.remedy, problem


def check_proved_box(found: BoxLayout) -> PieceProof:
    """Proves a box that was accepted: it has no fault, but where a joint fails through its own recipe."""
    proof = prove_piece(found)
    for part in (*proof.cut, *proof.finished):
        check_names(part)
    # What woods do not forgive, or air between faces, is a verdict on a corner, and no fault of the box.
    places = {corner.kind.title for corner in proof.joints}
    faults = [each for each in proof.findings if each.severity == "fail" and each.place not in places]
    assert not faults, [each.said for each in faults]
    assert proof.passes == (not any(meant_to_fail(corner.layout) for corner in proof.joints))
    aside = {name for name, stuff in proof.assembly.parts.items() if stuff.of_carcase} | of_open_box(found)
    assert {move.part for move in proof.order.moves} == {part.name for part in proof.cut} - aside
    return proof


def accepted_box_is_proved(number: int, text_of: Callable[[random.Random], str]) -> str:
    """Boxes are drawn by `text_of` until one is accepted, so that all cases of a campaign take about as long."""
    dice = random.Random(number)
    while True:
        raw = parse_toml(text_of(dice), "the box")
        try:
            found = lay_out_box(check_box(raw))
            break
        except RecipeError as err:
            check_reasons(err)
    proof = check_proved_box(found)
    if proof.passes:
        proved_waste(assembly_of(found), proof.cut)
    return "proved"


@st.composite
def plain_boxes(draw: st.DrawFn) -> dict[str, Any]:
    """Boxes that fit as drawn, of four thicknesses and four numbers of tails."""
    thick = [draw(st.floats(5, 22)) for _ in range(4)]
    groove: dict[str, Any] = {
        "width": draw(st.floats(2, 7)),
        "depth": draw(st.floats(1.5, 6)),
        "ends": draw(st.sampled_from(["hidden", "stopped", "through", "plugged"])),
    }
    up = draw(st.one_of(st.none(), st.floats(3, 30)))
    if up is not None:
        groove["up"] = up
    return {
        "joint": {"slope": f"1:{draw(st.floats(5, 9))}"},
        "tail_board": {"thickness": thick[0]},
        "pin_board": {"thickness": thick[1]},
        "box": {
            "length": draw(st.floats(60, 400)),
            "width": draw(st.floats(60, 300)),
            "height": draw(st.floats(50, 160)),
            "tails_on": draw(st.sampled_from(["sides", "ends"])),
            "back_above_bottom": draw(st.booleans()),
            "back": {"thickness": thick[2]},
            "right": {"thickness": thick[3]},
            "joints": {key: {"tails": draw(st.integers(1, 5))} for key in CORNER_KEYS},
            "groove": groove,
        },
    }


PLAIN_BOXES = plain_boxes()


def plain_box_is_proved_or_refused(raw: dict[str, object]) -> None:
    try:
        box = lay_out_box(check_box(raw))
    except RecipeError as err:
        assert all(problem.remedy for problem in err.told)
        return
    proof = prove_piece(box)
    failing = [finding.said for finding in proof.findings if finding.severity == "fail"]
    assert proof.passes == (not any(meant_to_fail(corner.layout) for corner in proof.joints)), failing


# --- the wood to take away -------------------------------------------------------------------------


def try_plan(raw: str | dict[str, object]) -> Layout | BoxLayout | None:
    """A corner of a text or a box of tables laid out; None where it is refused."""
    if isinstance(raw, str):
        return try_lay_out(raw)
    try:
        return lay_out_box(check_box(raw))
    except InputError:
        return None


def a_plain_board_less_its_waste_is_the_board(raw: str | dict[str, object]) -> None:
    """As it is proved when the file is made, and by what the kernel leaves of a block when it subtracts the waste."""
    plan = try_plan(raw)
    assume(plan is not None)
    assert plan is not None
    boards = {part.name: part.solid for part in as_cut(plan)}
    for sawn in proved_waste(assembly_of(plan), as_cut(plan)):
        left = cut(block(sawn.blank), [part.solid for part in sawn.waste])
        board = boards[sawn.name]
        assert volume_of(left) == pytest.approx(volume_of(board), rel=1e-9)
        assert sum(map(volume_of, common(left, board))) == pytest.approx(volume_of(board), rel=1e-9)


def as_cut(plan: Layout | BoxLayout) -> tuple[Part, ...]:
    """The parts of a piece as cut, without their proof."""
    if isinstance(plan, BoxLayout):
        return box_parts(plan, finished=False)
    return corner_parts(make_corner(plan, plan.as_cut))


# --- all of them -----------------------------------------------------------------------------------

PROPERTIES: dict[str, tuple[st.SearchStrategy[Any], Callable[[Any], None]]] = {
    "arithmetic": (recipe_texts(), arithmetic_accepts_or_explains),
    "proof": (recipe_texts(), what_is_accepted_is_built_and_proved),
    "boxes": (BOXES, box_is_proved_or_refused),
    "plain-boxes": (PLAIN_BOXES, plain_box_is_proved_or_refused),
    "waste": (st.one_of(recipe_texts(), BOXES, PLAIN_BOXES), a_plain_board_less_its_waste_is_the_board),
    "corner-advice": (CORNER_CASES, what_is_told_is_accepted),
    "box-advice": (BOX_CASES, what_is_told_is_accepted),
    "lids": (lids(), a_lid_is_proved_or_refused),
    "lid-boards": (lid_boards(), a_lid_board_is_proved_or_refused),
}
"""For the campaign: what to draw, and what must hold of it."""
