"""A box with a lid on the page: the saw's lines, the top, and moves of the handles where it is sawn off; the board
where it is one."""

from __future__ import annotations

import pytest

from solids.app.desk.piece.values import is_needed
from solids.layout.box.model import BoxLayout
from tests.app.desk.piece.moves import handles, move, page
from tests.lids import CHEST, HINGED, HINGES, LIFT_OFF, chest


def test_the_saw_s_lines_and_the_top_are_drawn() -> None:
    """The kerf of 1 mm has its middle at 95: two lines on each of four sides, at 94.5 and 95.5, and two in the cut."""
    state = page(CHEST)[1]
    plan, section = state["box"]["plan"], state["box"]["section"]
    sawn = [one for one in plan["shapes"] if one["words"] == "the lid is sawn off here"]
    assert len(sawn) == 8
    heights = {high for one in sawn for _, high in one["points"]}
    assert max(heights) - min(heights) > 100  # on the back as on the front
    across = [one["points"] for one in section["shapes"] if one["words"] == "the lid is sawn off here"]
    assert [end[1] for line in across for end in line] == pytest.approx([94.5, 94.5, 95.5, 95.5])
    assert [one["kind"] for one in section["shapes"] if one["words"] == "top"] == ["wood", "number"]
    assert [one["kind"] for one in plan["shapes"] if one["words"] == "top"] == ["hidden"]


@pytest.mark.parametrize(
    ("handle", "by", "key"),
    [("tails", 1, "joint.tails"), ("pin 1", 0.5, "joint.pin"), ("half pin 1", -0.5, "joint.half_pin")],
)
def test_grips_keep_the_rule_for_the_pin_at_the_cut(handle: str, by: float, key: str) -> None:
    corner = next(name.rpartition(": ")[0] for name in handles(page(CHEST)[1]) if name.endswith(": tails"))
    changes, reading, state = move(CHEST, f"{corner}: {handle}", by)
    assert [name.rpartition(".")[2] for name in changes] == [key.rpartition(".")[2]] * len(changes)
    assert isinstance(reading.plan, BoxLayout)
    assert state["good"]


def test_the_pin_at_the_cut_moves_by_its_flanks() -> None:
    corner = next(name.rpartition(": ")[0] for name in handles(page(CHEST)[1]) if name.endswith(": tails"))
    changes, _, state = move(CHEST, f"{corner}: pin 3", 1.0)
    assert all(name.endswith(".flanks") for name in changes if changes[name] is not None)
    assert state["good"]


def test_a_lid_that_lifts_off_is_drawn() -> None:
    """306 by 206 about a box of 300 by 200; in the cut it stands 3 out over the side and drops 6 between the boards,
    with its upper face 6 above them."""
    state = page(LIFT_OFF)[1]
    plan, section = state["box"]["plan"], state["box"]["section"]
    (edge,) = (one["points"] for one in plan["shapes"] if one["words"] == "lid")
    wide, deep = (max(values) - min(values) for values in zip(*edge, strict=True))
    assert (wide, deep) == pytest.approx((306, 206))
    assert [one["kind"] for one in plan["shapes"] if one["words"] == "tongue of the lid"] == ["hidden"]
    (board,) = (one["points"] for one in section["shapes"] if one["words"] == "lid" and one["kind"] == "wood")
    assert {round(high, 6) for _, high in board} == {134, 140, 146}
    side = next(one["points"] for one in section["shapes"] if one["kind"] == "wood" and one["words"] != "lid")
    assert min(x for x, _ in side) - min(x for x, _ in board) == pytest.approx(3)
    assert section["height"] == pytest.approx(146)


def test_a_hinged_lid_is_drawn_flush_at_the_back() -> None:
    text = HINGED + "[box.lid.hinge]\n" + "\n".join(item.removeprefix("box.lid.hinge.") for item in HINGES) + "\n"
    assert chest(text=text).recipe.hinge
    plan = page(text)[1]["box"]["plan"]
    (edge,) = (one["points"] for one in plan["shapes"] if one["words"] == "lid")
    wide, deep = (max(values) - min(values) for values in zip(*edge, strict=True))
    assert (wide, deep) == pytest.approx((306, 203))


def test_a_hinged_lid_asks_for_its_hinges() -> None:
    for kind, needed in (("hinged", True), ("lift off", False)):
        tables = {"box": {"lid": {"kind": kind}}}
        assert is_needed("box.lid.hinge.leaf", tables, is_box=True) is needed
