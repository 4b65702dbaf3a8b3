"""Mitre blocks: their angles by trigonometry, their faces against the boards as cut, planted faults, refusals."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solids.aids.catalogue import make_aids
from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.asked import AidsAsked
from solids.aids.mitre_block import plan as module
from solids.aids.mitre_block.plan import LONG, PAST, mitre_blocks
from solids.base.geometry import Frame
from solids.base.messages import said
from solids.layout import Layout
from solids.layout.joint.shape.placing import place
from solids.model.kernel import faces_of
from solids.model.kernel.shaping import placed, prism
from tests.aids.helpers import PRINTING, area, coplanar, faces_in_place, failing, first_use, in_place, shared, unit
from tests.aids.irregular import made, mitred, uneven
from tests.corners import layout_of

BOTH = ["mitre-block-tails", "mitre-block-pins", "mitre-block-tails-other-edge", "mitre-block-pins-other-edge"]


def blocks(layout: Layout) -> dict[str, Aid]:
    return made(mitre_blocks(layout, PRINTING))


@pytest.fixture
def unlettered(monkeypatch: pytest.MonkeyPatch) -> None:
    """Blocks without their words, which take most of the time of a proof."""
    monkeypatch.setattr(module, "engraved", lambda body, *_, **__: body)


def test_there_is_one_for_each_board_and_mitred_edge_and_none_without_a_mitre() -> None:
    assert list(blocks(mitred())) == BOTH
    assert list(blocks(uneven(mitre=6.0))) == BOTH[2:]
    assert mitre_blocks(layout_of("tool-tray"), PRINTING) == []


def test_every_block_proves_with_its_words_on() -> None:
    for aid in blocks(mitred()).values():
        assert failing(aid) == set(), aid.name


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize(
    "sizes",
    [(18.0, 12.0, 4.0, 0.0), (12.0, 12.0, 2.0, 0.5), (8.0, 22.0, 0.0, 0.3), (22.0, 8.0, 5.0, 0.0), (6, 6, 0, 0)],
)
def test_blocks_for_other_boards_prove_too(sizes: tuple[float, float, float, float]) -> None:
    for aid in blocks(mitred(*sizes)).values():
        assert failing(aid) == set(), aid.name


def test_boards_of_unequal_thickness_have_unequal_angles() -> None:
    """Tail board 18, pin board 12, nothing planed: the mitre runs 12 along Y and 18 up. To the faces of the tail board
    that is atan(18/12) = 56.31 degrees, to those of the pin board atan(12/18) = 33.69."""
    aids = blocks(mitred(18.0, 12.0))
    assert [aid.engraved for aid in aids.values()] == ["tails 56.3 deg", "pins 33.7 deg"] * 2
    assert said(dict(aids[BOTH[0]].figures)["mitre to the faces of the board"]) == "56.3 degrees"
    assert said(dict(aids[BOTH[0]].figures)["mitre"]) == f"8 mm wide, {math.hypot(12, 18):.2f} mm across"
    assert said(dict(aids[BOTH[2]].figures)["mitre"]).startswith("6 mm wide")


def test_planing_and_a_rebate_turn_the_mitre() -> None:
    """With 0.5 planed off both and a rebate of 4 it rises 18 - 4 - 0.5 = 13.5 over 11.5: 49.6 and 40.4 degrees."""
    layout = mitred(18.0, 12.0, 4.0, 0.5)
    assert math.degrees(math.atan(13.5 / 11.5)) == pytest.approx(49.57, abs=0.01)
    assert [aid.engraved for aid in blocks(layout).values()][:2] == ["tails 49.6 deg", "pins 40.4 deg"]


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize("rebate", [0.0, 4.0])
@pytest.mark.parametrize("name", BOTH)
def test_its_face_lies_in_the_mitre_of_the_board_as_cut(name: str, rebate: float) -> None:
    layout = mitred(rebate=rebate)
    aid = blocks(layout)[name]
    board = aid.uses[0].boards[0][1]
    leaning = [face for face in faces_of(board) if abs(unit(face)[0]) < 1e-9 and min(abs(unit(face)[1:])) > 0.1]
    assert len(leaning) == 2, "two mitres on this board"
    mitre = min(leaning, key=lambda face: abs(face[0][0][0] - (layout.width if "other" in name else 0.0)))
    (face,) = [face for face in faces_in_place(aid) if coplanar(face, mitre, 1e-6)]
    # From the inside corner to the outside face as cut, and 3 mm on.
    assert area(face) == pytest.approx((math.hypot(12.0, 18.0 - rebate) + PAST) * LONG, rel=0.03)
    corner = np.array(face[0])
    assert np.abs(corner[:, 1:] - (0.0, rebate)).sum(axis=1).min() == pytest.approx(0.0, abs=1e-6)


@pytest.mark.usefixtures("unlettered")
def test_the_front_of_the_flange_stands_in_the_baseline() -> None:
    """Of the tail board that is Y = 0, of the pin board Z = 4, where the rebate is 4 mm deep."""
    aids = blocks(mitred(rebate=4.0))
    for name, axis, at in ((BOTH[0], 1, 0.0), (BOTH[1], 2, 4.0)):
        fronts = [
            f for f in faces_in_place(aids[name]) if abs(unit(f)[axis]) > 1 - 1e-9 and abs(f[0][0][axis] - at) < 1e-9
        ]
        assert max(map(area, fronts)) > 8 * (LONG + 14), "beside the edge, and 15 mm over the inside face"


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize("name", BOTH)
def test_a_chisel_on_its_face_reaches_the_whole_mitre_and_meets_nothing_else(name: str) -> None:
    """A blade 3 mm thick, from 20 mm beside the edge to the end of the mitre, as wide as the mitre is long."""
    layout = mitred(rebate=4.0)
    aid = blocks(layout)[name]
    long, wide = math.hypot(12.0, 14.0), 6.0 if "other" in name else 8.0
    along, out = np.array([12.0, 14.0]) / long, np.array([14.0, -12.0]) / long
    if "pins" in name:
        out = -out
    corner = np.array([0.0, 4.0])
    outline = [tuple(corner + s * along + t * out) for s, t in ((0.01, 0.01), (long, 0.01), (long, 3.0), (0.01, 3.0))]
    if "pins" in name:
        outline.reverse()
    span = (layout.width - wide, layout.width + 20.0) if "other" in name else (-20.0, wide)
    blade = placed(prism(outline, *span), Frame.of((0, 1, 0), (0, 0, 1), (1, 0, 0), (0, 0, 0)))
    assert shared(blade, in_place(aid)) == 0.0
    assert shared(blade, aid.uses[0].boards[0][1]) == 0.0


# --- planted faults and refusals -------------------------------------------------------------------


@pytest.mark.usefixtures("unlettered")
def test_a_block_off_its_place_or_for_other_boards_is_caught() -> None:
    tails, other = blocks(mitred())[BOTH[0]], blocks(mitred(12.0, 12.0))[BOTH[0]]
    assert failing(first_use(tails, 0, 0, 0)) == set()
    assert "works" in failing(first_use(tails, 0.0, 0.05, 0.0))
    assert "bears" in failing(first_use(tails, -0.05, 0.0, 0.0))
    assert "meets" in failing(first_use(tails, 0.0, 0.0, 0.05))
    assert "works" in failing(first_use(tails, 0, 0, 0, solid=other.solid))


def test_a_board_too_short_for_a_clamp_is_refused_with_the_length_that_works() -> None:
    recipe = mitred().recipe
    short = place(replace(recipe, tail_board=replace(recipe.tail_board, length=14.0)))
    refusal, *others = mitre_blocks(short, PRINTING)
    assert isinstance(refusal, Refusal)
    assert "tail_board.length to 15 mm or more" in said(refusal.remedy)
    assert isinstance(others[0], Aid)
    enough = place(replace(recipe, tail_board=replace(recipe.tail_board, length=15.0)))
    assert list(blocks(enough)) == BOTH


def test_who_asks_for_one_without_a_mitre_is_told_why_there_is_none() -> None:
    (refusal,) = make_aids(layout_of("tool-tray"), AidsAsked(("mitre-block",))).refused
    assert "joint.mitre" in said(refusal.remedy)


def test_the_words_name_the_shoulder_of_a_rebate() -> None:
    plain, rebated = (blocks(mitred(rebate=rebate))[BOTH[0]] for rebate in (0.0, 4.0))
    assert "knifed baseline, 12.5 mm from the raw end" in said(plain.how_to)
    assert "flush with the shoulder of the rebate" in said(rebated.how_to)
    assert "Edge tools" in rebated.cautions
