"""Dividers proved on their solids: they bear, go in, are held and move; and faults that must be found."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from solids.base.geometry import IDENTITY
from solids.bench.assembling import Move, Order, steps_of
from solids.layout.assembly import assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan_of
from solids.model.kernel.shaping import placed
from solids.model.parts import Part
from solids.proof.assembly import PieceProof, _triangles, prove_piece
from solids.proof.dividers import divider_findings, left_above
from solids.proof.waste import proved_waste
from tests.boxes import meshes_of, raw_from
from tests.divided_boxes import divided_box
from tests.dividers import CARCASE, TRAY, tray
from tests.named_faces import check_names


@pytest.fixture(scope="module")
def proof() -> PieceProof:
    """The tray, proved once."""
    return prove_piece(tray())


def findings(proof: PieceProof, code: str) -> list[str]:
    return [f"{each.severity}: {each.said}" for each in proof.findings if each.code == code]


def test_a_tray_with_crossing_dividers_goes_together(proof: PieceProof) -> None:
    assert proof.passes
    moves = [(move.part, move.direction) for move in proof.order.moves[-3:]]
    assert moves == [(f"divider {number}", "from above") for number in (1, 2, 3)]
    assert not any("divider" in step for step in proof.steps), "what comes after the glue is no step of it"
    for part in (*proof.cut, *proof.finished):
        check_names(part)
    proved_waste(assembly_of(proof.box), proof.cut)


def test_what_is_found_of_its_dividers(proof: PieceProof) -> None:
    assert findings(proof, "divider-tie") == ["pass: The dovetails of divider 2 keep the boards from bowing outward."]
    held = "pass: Pushed aside, endways or down, dividers 1, 2 and 3 are held."
    assert findings(proof, "divider-hold") == [held]
    assert findings(proof, "divider-way") == ["pass: Dividers 1, 2 and 3 slide in from above when the box is glued."]
    (bears,) = findings(proof, "divider-bearing")
    # Each end and both sides in two housings, shoulders of one: 3 x 6 + 2. On the bottom: 3. Two crossings of 5.
    assert bears.startswith("pass: The dividers bear as they should: 33 pairs of faces")


def test_stopped_dividers_go_in_with_the_boards() -> None:
    shelves = prove_piece(tray(text=CARCASE))
    assert shelves.passes
    places = {move.part: place for place, move in enumerate(shelves.order.moves)}
    assert places["divider 3"] < max(places["left"], places["right"])
    assert places["divider 1"] > max(places[side] for side in ("front", "right", "back", "left"))
    assert any(step.startswith("Set divider 3 into its housings") for step in shelves.steps)


def test_a_divider_that_runs_through_without_a_bottom_is_held_by_glue_alone() -> None:
    text = TRAY.replace("[box.groove]\nup = 6.5\n", "")
    found = prove_piece(tray(text=text))
    assert found.passes
    (held, loose) = findings(found, "divider-hold")
    # Its taper holds the second, on which the third rests where they cross.
    assert held == "pass: Pushed aside, endways or down, dividers 2 and 3 are held."
    assert loose.startswith("note: Pushed aside or endways, divider 1 is held; down, by glue alone")


def changed(proof: PieceProof, name: str, by: tuple[float, float, float]) -> list[str]:
    """What fails of the dividers where one part is moved."""

    def there(part: Part) -> Part:
        rows = IDENTITY.shifted(by)
        return replace(part, solid=placed(part.in_place, rows), rows=IDENTITY) if part.name == name else part

    parts = tuple(map(there, proof.cut))
    meshes = {part.name: _triangles(part) for part in parts}
    return [each.code for each in divider_findings(proof.box, parts, meshes, proof.order) if each.severity == "fail"]


@pytest.mark.parametrize(
    ("name", "by"),
    [
        ("divider 1", (0.002, 0.0, 0.0)),
        ("divider 1", (0.0, 0.002, 0.0)),
        ("divider 2", (0.0, 0.0, 0.002)),
        ("divider 3", (0.0, 0.0, 0.002)),
        ("bottom", (0.0, 0.0, -0.002)),
        ("front", (0.0, -0.002, 0.0)),
    ],
)
def test_a_part_out_of_its_place_is_found(proof: PieceProof, name: str, by: tuple[float, float, float]) -> None:
    assert "divider-bearing" in changed(proof, name, by)


def test_a_divider_out_of_its_housings_is_not_held(proof: PieceProof) -> None:
    assert "divider-hold" in changed(proof, "divider 1", (0.0, 0.0, 70.0))


def test_a_dovetail_out_of_its_housing_ties_nothing(proof: PieceProof) -> None:
    assert "divider-tie" in changed(proof, "divider 2", (0.0, 0.0, 70.0))


def test_a_divider_that_cannot_come_last_from_above_is_found(proof: PieceProof) -> None:
    moves = [Move("divider 1", ""), *(move for move in proof.order.moves if move.part != "divider 1")]
    found = divider_findings(proof.box, proof.cut, meshes_of(proof), Order(tuple(moves), ()))
    (way,) = [each for each in found if each.code == "divider-way"]
    assert way.severity == "fail"
    assert 'box.divider.1.housing = "stopped"' in way.advice


def movement(box: BoxLayout) -> list[str]:
    return [each.severity for each in prove_piece(box).findings if each.code == "divider-movement"]


def test_what_grows_more_than_its_boards_stands_proud_at_the_dampest() -> None:
    """A beech divider as high as the space of 67.5 mm between cherry boards: it grows by its own share and they by
    theirs, so that 67.5 times the difference stands proud."""
    box = tray("box.divider.1.wood=beech", "box.divider.1.height=67.5")
    divider = box.recipe.dividers[0]
    damp, dry = left_above(box, divider)
    assert damp == pytest.approx(67.5 * (divider.sides_grow - divider.grows))
    assert damp < 0 < dry
    assert movement(box)[0] == "warning"


def test_alike_woods_move_alike() -> None:
    """As high as the space and of the same wood: never proud, at any air."""
    box = tray("box.divider.1.height=67.5")
    assert left_above(box, box.recipe.dividers[0]) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert "warning" not in movement(box)


@pytest.mark.parametrize("number", random.Random(20).sample(range(10**6), 20))
@pytest.mark.whole
def test_any_divided_box_is_refused_with_a_reason_or_proved(number: int) -> None:
    assert divided_box(number) == "proved"


def test_the_order_tells_ways_as_the_boards_lie() -> None:
    """While the left board lies flat, what comes from the right comes from above, and the lower edges are to the side.
    What goes in when the glue has set finds the box upright."""
    moves = (
        Move("left", ""),
        Move("right", "from the right"),
        Move("shelf", "from below"),
        Move("floor", "from below"),
    )
    steps = steps_of(Order(moves, ()), {"shelf": "Set the shelf {}.", "floor": "Lay the floor {}."}, late={"floor"})
    assert steps[1].startswith("Knock in the right board from above")
    assert steps[2:] == ["Set the shelf from the reference edges.", "Lay the floor from below."]


def test_a_stopped_divider_in_a_rebated_box_comes_from_the_reference_edges() -> None:
    """Its housings, 2.5 mm deep, begin in the rebate of 3.5 mm, which leaves their lower ends open."""
    text = (
        TRAY.partition("[[")[0].replace("up = 6.5", "").replace("[tail_board]", "[joint]\nhalf_pin = 10\n[tail_board]")
    )
    shelf = '[[box.divider]]\nhousing = "stopped"\ndepth = 2.5\n'
    proof = prove_piece(plan_of(raw_from(f'{text}[box.panel]\nheld = "rebate"\n{shelf}', "tray")))
    assert proof.passes, [each.said for each in proof.findings if each.severity == "fail"]
    assert "Set divider 1 into its housings from the reference edges. No glue is needed." in proof.steps
    (order,) = [each.said for each in proof.findings if each.code == "order"]
    assert order.endswith("Lay the bottom into its rebate from below, once the glue has set.")
