"""Moves of handles: which keys they change, and that the joint follows."""

from __future__ import annotations

import json

import pytest

from solids.app.desk.piece.moves import moved
from solids.app.desk.piece.typing_in import in_words, snapped
from solids.base.errors import InputError
from solids.layout import Layout
from solids.recipe import box_preset_names, preset_names, preset_text
from tests.app.desk.piece.moves import EVEN, KINDS, handles, move, page

STEP = {"mm": 0.5, "in": 25.4 / 64}
FINE = {"mm": 0.1, "in": 25.4 / 128}


def test_the_handles_of_an_even_joint_by_hand() -> None:
    found = handles(page(EVEN)[1])
    assert [name for name in found if name.startswith("flank")] == [f"flank {n}" for n in range(1, 9)]
    # Half pin 6, tail 18.75, pin 3: the left flank of tail 2 is at 27.75. The board is drawn 18 mm behind the baseline.
    third = found["flank 3"]
    assert (third["value_mm"], third["shown"], third["words"]) == (27.75, "27.75 mm", "left flank of tail 2")
    assert third["at"] == [27.75, 18 + 12]
    assert third["drawing"] == "face"
    assert third["along"] == "x"
    assert (third["step_mm"], third["fine_mm"]) == (0.5, 0.1)
    # The first flank runs in by 12/7 mm to the baseline.
    assert found["slope"]["at"] == pytest.approx([6 + 12 / 7, 18], abs=1e-4)
    assert found["slope"]["shown"] == "1:7"
    assert found["pin 1"]["at"][0] == 27.75
    assert found["pin 1"]["value_mm"] == 3
    assert found["half pin 2"]["at"][0] == 90
    assert found["half pin 2"]["value_mm"] == 6
    assert found["baseline"]["value_mm"] == 12
    assert found["baseline"]["along"] == "y"
    assert (found["tails"]["value_mm"], found["tails"]["shown"]) == (4, "4 tails")


def test_a_flank_of_an_even_joint_gives_every_flank_a_place() -> None:
    changes, reading, state = move(EVEN, "flank 3", 0.5)
    assert json.loads(changes.pop("joint.flanks") or "") == [6, 24.75, 28.3, 46.5, 49.5, 68.25, 71.25, 90]
    assert changes == {"joint.tails": None, "joint.pin": None, "joint.half_pin": None}, "the slope stays"
    assert isinstance(reading.plan, Layout)
    assert reading.plan.ratios == (7.0,)
    assert state["good"]
    assert handles(state)["flank 3"]["value_mm"] == 28.3


@pytest.mark.parametrize(
    ("handle", "by", "key", "value"),
    [
        ("pin 2", 0.5, "joint.pin", "3.5"),
        ("half pin 1", 0.5, "joint.half_pin", "6.5"),
        ("half pin 2", 0.5, "joint.half_pin", "5.5"),  # to the right, toward its edge
        ("slope", 0.1, "joint.slope", "1:6.6"),  # 12 / (12/7 + 0.1)
        ("slope", 0.01, "joint.slope", "1:6.96"),
        ("slope", -5.0, "joint.slope", "1:30"),
        ("baseline", 0.5, "pin_board.thickness", "11.5"),  # up, toward the end
        ("tails", 1, "joint.tails", "5"),
        ("tails", -1, "joint.tails", "3"),
        ("tails", 3, "joint.tails", "7"),
    ],
)
def test_what_follows_a_rule_stays_one_key(handle: str, by: float, key: str, value: str) -> None:
    assert move(EVEN, handle, by)[0] == {key: value}


def test_lists_keep_their_form() -> None:
    assert move(KINDS["pins"], "pin 2", 0.5)[0] == {"joint.pin": "[3, 4.5, 5]"}
    assert move(KINDS["pins"], "half pin 2", -0.5)[0] == {"joint.half_pin": "[6, 8.5]"}
    slopes = json.loads(move(KINDS["slopes"], "slope 2", -0.1)[0]["joint.slope"] or "")
    assert slopes[0::2] == ["1:6", "1:8"]
    assert slopes[1] == "1:6.6"
    changes, *_ = move(KINDS["with feet"], "flank 2", 0.5)
    assert json.loads(changes["joint.flanks"] or "")[:2] == [[6, 8], [24.5, 23]], "it keeps its slope"
    changes, *_ = move(KINDS["with feet"], "slope 2", 0.5)
    assert json.loads(changes["joint.flanks"] or "")[:2] == [[6, 8], [24, 23]], "its foot alone has moved"


def test_inches_are_written_as_a_maker_writes_them() -> None:
    changes, *_ = move(KINDS["inches"], "pin 1", 25.4 / 64)
    assert changes == {"joint.pin": "9/64 in"}  # from 1/8 in
    assert in_words(25.4 * (1 + 43 / 128), "in") == "1 43/128 in"
    assert in_words(25.4 / 3, "in") == 0.333
    assert snapped(24.75 + 0.5, "mm") == pytest.approx(25.3)


def test_tails_come_and_go_by_flanks() -> None:
    changes, _, state = move(KINDS["with feet"], "tails", 1)
    # The widest tail is the third, from 50 to 90. Pins of 4 and 4 mm make one of 4 in its middle, 70.
    assert [face for face, _ in json.loads(changes["joint.flanks"] or "")] == [6, 24, 28, 46, 50, 68, 72, 90]
    assert state["good"]
    assert handles(state)["tails"]["value_mm"] == 4
    changes, *_ = move(KINDS["flanks"], "tails", -1)
    assert len(json.loads(changes["joint.flanks"] or "")) == 6


def test_several_tails_come_and_go_at_once() -> None:
    """Two more: the third is parted as above. Then all are 18 mm wide, and the first is parted at its middle, 15."""
    changes, *_ = move(KINDS["with feet"], "tails", 2)
    faces = [face for face, _ in json.loads(changes["joint.flanks"] or "")]
    assert faces == [6, 13, 17, 24, 28, 46, 50, 68, 72, 90]
    changes, _, state = move(KINDS["with feet"], "tails", -2)
    assert [face for face, _ in json.loads(changes["joint.flanks"] or "")] == [6, 90]
    assert handles(state)["tails"]["shown"] == "1 tail"


def test_a_half_tail_keeps_its_edge() -> None:
    changes, reading, _ = move(KINDS["half tail"], "flank 1", 0.5)
    assert len(json.loads(changes["joint.flanks"] or "")) == 7
    assert "joint.edges" not in changes
    assert isinstance(reading.plan, Layout)
    assert reading.plan.tails[0].is_half
    changes, reading, _ = move(KINDS["measured half tail"], "flank 1", 0.5)
    assert changes["joint.edges"] == '["half tail", "half pin"]'
    assert reading.plan is not None


@pytest.mark.parametrize("name", KINDS)
def test_every_handle_moves_what_it_says(name: str) -> None:
    """By a step each way: the drawing's handle follows, or the page says why that cannot be."""
    before, state = page(KINDS[name])
    step, fine = STEP[state["units"]], FINE[state["units"]]
    assert before.plan is not None
    assert len(state["handles"]) > 5
    for handle in state["handles"]:
        kind = handle["name"].rstrip("0123456789 ")
        for by in (1, -1) if kind == "tails" else (step, -step):
            if name == "one tail" and (kind, by) == ("tails", -1):
                continue
            changes, reading, now = move(KINDS[name], handle["name"], by)
            if reading.problems:
                assert all(told.wrong and told.remedy for told in reading.problems)
                continue
            moved_to = handles(now)[handle["name"]]
            if kind in ("flank", "slope"):
                assert abs(moved_to["at"][0] - handle["at"][0] - by) <= 2 * fine, changes
            elif kind == "tails":
                assert moved_to["value_mm"] - handle["value_mm"] == by
            elif kind != "baseline":
                assert abs(abs(moved_to["value_mm"] - handle["value_mm"]) - step) <= fine, changes


@pytest.mark.parametrize("name", [*preset_names(), *box_preset_names()])
def test_every_preset_can_be_moved(name: str) -> None:
    reading, state = page(preset_text(name))
    assert reading.tables is not None
    assert reading.plan is not None
    joints = state.get("joints", [state])
    for handle in (handle for joint in joints for handle in joint["handles"]):
        assert moved(reading.tables, reading.plan, handle["name"], 1.0), handle["name"]


def test_a_name_in_a_box_survives_a_move_that_parts_its_corners() -> None:
    _, _, state = move(preset_text("keepsake-box"), "front left: flank 2", 0.5)
    assert state["good"]
    assert [joint["title"] for joint in state["joints"]] == ["front left and back right", "front right and back left"]
    # At the front left the reference edge is at the right: half a mm to the right is nearer to it.
    assert handles(state)["front left: flank 2"]["value_mm"] == pytest.approx(25.8)


def test_a_flank_at_one_end_of_a_drawer_leaves_the_other_as_it_was() -> None:
    before = page(preset_text("desk-drawer"))[1]["joints"]
    changes, reading, state = move(preset_text("desk-drawer"), "front left: flank 3", 0.5)
    assert state["good"], reading.problems
    assert changes["joint.pin"] is None
    assert changes["box.joints.back.pin"] == "4"
    assert handles(state)["front left: flank 3"]["value_mm"] == 39.5
    after = {joint["title"]: joint for joint in state["joints"]}
    for joint in before[2:]:
        assert after[joint["title"]]["drawings"] == joint["drawings"], joint["title"]


@pytest.mark.parametrize(
    ("handle", "by"),
    [
        ("flank 9", 1.0),
        ("flank 0", 1.0),
        ("nothing", 1.0),
        ("", 1.0),
        ("tails", 0),
        ("tails", 1.5),
        ("tails", 0.5),
        ("tails", 97),
        ("tails", -4),
        ("pin 4", 1.0),
        ("back left: pin 1", 1.0),
        ("pin 1", float("nan")),
        ("pin 1", float("inf")),
        ("pin 1", 1000000000.0),
        ("flank x", 1),
    ],
)
def test_what_cannot_be_moved_is_refused_in_words(handle: str, by: float) -> None:
    reading, _ = page(EVEN)
    assert reading.tables is not None
    assert reading.plan is not None
    with pytest.raises(InputError, match=r"moved|tails"):
        moved(reading.tables, reading.plan, handle, by)


def test_one_tail_is_the_least() -> None:
    reading, _ = page(KINDS["one tail"])
    assert reading.tables is not None
    assert reading.plan is not None
    with pytest.raises(InputError, match="from 1 to"):
        moved(reading.tables, reading.plan, "tails", -1)
